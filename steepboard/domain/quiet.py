"""When the shelf keeps quiet, and when what was held back may be said."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo

from steepboard.domain.local_time import DAY, local_day, local_instant


@dataclass(frozen=True, slots=True)
class Away:
    """The days on which nobody is there, both included."""

    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Quiet:
    """Quiet hours in wall-clock time, none where both are the same, and days away."""

    start: time
    end: time
    morning: time
    """When the day back from away begins, where no quiet hours hold its midnight."""
    away: Away | None = None

    def released(self, at: datetime, zone: tzinfo) -> datetime:
        """Return the first instant from `at` on at which something may be said."""
        before = None
        while before != at:  # the end of one may lie within the other
            before = at
            at = self._after_hours(self._after_away(at, zone), zone)
        return at

    def _after_away(self, at: datetime, zone: tzinfo) -> datetime:
        if self.away is None:
            return at
        left = local_instant(self.away.first, time.min, zone)
        overnight = self.start > self.end or self.start == time.min < self.end
        morning = self.end if overnight else self.morning
        back = local_instant(self.away.last + DAY, morning, zone)
        return back if left <= at < back else at

    def _after_hours(self, at: datetime, zone: tzinfo) -> datetime:
        if self.start == self.end:
            return at
        today = local_day(at, zone)
        for evening in (today, today - DAY, today - 2 * DAY):  # two for a zone that skips a day
            morning = evening + DAY * (self.start > self.end)
            ends = local_instant(morning, self.end, zone)
            if local_instant(evening, self.start, zone) <= at < ends:
                return ends
        return at
