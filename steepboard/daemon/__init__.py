"""Reminders: deliver what the schedule says is due."""
