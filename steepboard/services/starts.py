"""The next jars as the reminders ask for them: once for a batch, when its start-by date comes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from steepboard.domain import schedule
from steepboard.domain.schedule import ReminderKind
from steepboard.services.rhythms import rhythm_of
from steepboard.store import stock as store

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date, datetime

    from steepboard.domain.records import Jar
    from steepboard.domain.schedule import Series
    from steepboard.services.desk import Desk


@dataclass(frozen=True, slots=True)
class Start:
    """A jar that is to be made again, and by when."""

    jar: Jar
    """The last one of its name, without its contents."""
    day: date

    def late_days(self, today: date) -> int:
        """Return how many days ago it should have been charged."""
        return max((today - self.day).days, 0)


def starts(desk: Desk, now: datetime, active: Iterable[Jar] | None = None) -> tuple[Start, ...]:
    """Return what is to be started by when, the soonest first.

    `active` are the unfinished jars, where they are known already.
    """
    if not store.last_entry(desk.store):
        return ()
    from steepboard.services.stock import stock  # a shelf without bottles need not load it

    found = [Start(s.last, s.start.day) for s in stock(desk, now, active) if s.last and s.start]
    return tuple(sorted(found, key=lambda one: (one.day, one.jar.code)))


def start_series(
    desk: Desk, now: datetime, active: Iterable[Jar] | None = None
) -> tuple[Series, ...]:
    """Return what the next jars ask for, each under the jar that is to be made again.

    An occurrence is named by the day that jar was bottled, not by the date, which moves with each
    draw: so it is said once for each batch.
    """
    series = []
    for one in starts(desk, now, active):
        if bottled_at := one.jar.bottled_at:
            rhythm = rhythm_of(desk, one.jar)
            jar_id, code = one.jar.id, one.jar.code
            asked = schedule.once(ReminderKind.START, jar_id, code, one.jar.name, one.day, rhythm)
            moved_days = (one.day - bottled_at.date()).days
            series.append(replace(asked, moved_days=moved_days, not_before=bottled_at))
    return tuple(series)
