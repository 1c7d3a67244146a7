"""From wall-clock times to instants and back, by the rules of a zone and by nothing else.

A time that a clock change skips moves forward by the gap; one that it repeats counts the first
time only.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, tzinfo

DAY = timedelta(days=1)


def local_instant(day: date, wall: time, zone: tzinfo) -> datetime:
    """Return the UTC instant at which clocks in `zone` show `wall` on `day`.

    Skipped times move forward by the gap; of a repeated time the first counts.
    """
    return datetime.combine(day, wall.replace(fold=0), tzinfo=zone).astimezone(UTC)


class LocalClock:
    """One moment as the clocks of a zone show it; remembers what it worked out."""

    def __init__(self, now: datetime, zone: tzinfo) -> None:
        """Take an aware `now`."""
        self.now, self.zone = now, zone
        self.today = now.astimezone(zone).date()
        self._instants: dict[tuple[date, time], datetime] = {}
        self._latest: dict[time, date] = {}

    def day(self, at: datetime) -> date:
        """Return the local date of an instant."""
        return at.astimezone(self.zone).date()

    def instant(self, day: date, wall: time) -> datetime:
        """Return `local_instant` in this zone."""
        key = day, wall
        if key not in self._instants:
            self._instants[key] = local_instant(day, wall, self.zone)
        return self._instants[key]

    def latest(self, wall: time) -> date:
        """Return the last day whose `wall` has come."""
        if wall not in self._latest:
            # One day ahead for a zone that skips a day: both times then fall together.
            days = (self.today + DAY * ahead for ahead in (1, 0, -1, -2))
            self._latest[wall] = next(d for d in days if self.instant(d, wall) <= self.now)
        return self._latest[wall]
