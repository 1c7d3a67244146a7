"""From wall-clock times to instants and back, by the rules of a zone and by nothing else.

A time that a clock change skips moves forward by the gap; one that it repeats counts the first
time only.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import cache, partial

DAY = timedelta(days=1)


def local_instant(day: date, wall: time, zone: tzinfo) -> datetime:
    """Return the UTC instant at which clocks in `zone` show `wall` on `day`.

    Skipped times move forward by the gap; of a repeated time the first counts.
    """
    return datetime.combine(day, wall.replace(fold=0), tzinfo=zone).astimezone(UTC)


def local_day(at: datetime, zone: tzinfo) -> date:
    """Return the last day that has begun; it goes on where clocks go back over its midnight."""
    shown = at.astimezone(zone).date()
    return shown + DAY if local_instant(shown + DAY, time.min, zone) <= at else shown


class LocalClock:
    """One moment as the clocks of a zone show it; `day` and `instant` remember their answers."""

    def __init__(self, now: datetime, zone: tzinfo) -> None:
        """Take an aware `now`."""
        self.now, self.zone = now, zone
        self.day = cache(partial(local_day, zone=zone))
        self.instant = cache(partial(local_instant, zone=zone))
        self.today = self.day(now)
        self._latest: dict[time, date] = {}

    def latest(self, wall: time) -> date:
        """Return the last day whose `wall` has come."""
        if wall not in self._latest:
            days = (self.today - DAY * back for back in range(3))  # two for a skipped day
            self._latest[wall] = next(d for d in days if self.instant(d, wall) <= self.now)
        return self._latest[wall]
