"""Shipped facts about botanicals, each with its source."""
