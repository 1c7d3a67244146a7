"""The SQLite record."""
