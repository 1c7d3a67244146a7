"""Widgets that know neither store nor services."""
