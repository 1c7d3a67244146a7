"""The board."""
