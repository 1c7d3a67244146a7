"""Settings under which each stir is said by itself and at once, with no tasting between them.

More lines of the last table may follow.
"""

from __future__ import annotations

SETTINGS = """[clock]
zone = "UTC"
[reminders]
stir_at = "00:00"
taste_at = "23:59"
group_minutes = 0
quiet_from = "00:00"
quiet_to = "00:00"
"""
