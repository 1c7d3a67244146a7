"""Where one jar stands with its reminders: what is due, until when it is put off, what comes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.domain import schedule
from steepboard.domain.records import State
from steepboard.services.rhythms import quiet_of, series_of
from steepboard.services.starts import start_series
from steepboard.store import deliveries

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.domain.records import Jar
    from steepboard.domain.schedule import ReminderKind
    from steepboard.services.desk import Desk


@dataclass(frozen=True, slots=True)
class Waiting:
    """What a jar asks for, now and next."""

    due: tuple[ReminderKind, ...]
    """What matters now, put off or not; the most pressing first."""
    put_off: tuple[tuple[ReminderKind, datetime], ...]
    """What of it *Later* put off, and until when."""
    ahead: tuple[tuple[ReminderKind, datetime], ...]
    """When each thing is said next, the soonest first, as if what is due is left undone."""

    @property
    def again_at(self) -> datetime | None:
        """When it is spoken of again, where all that is due is put off."""
        if len(self.put_off) < len(self.due):
            return None
        return min((until for _, until in self.put_off), default=None)


def if_put_off(desk: Desk, jar: Jar, now: datetime) -> Waiting | None:
    """Return where a jar stands of which anything is put off, else None; cheap for a whole list."""
    snoozes = deliveries.snoozes(desk.store).items()
    if any(jar_id == jar.id and until > now for (jar_id, _), until in snoozes):
        return waiting(desk, jar, now)
    return None


def waiting(desk: Desk, jar: Jar, now: datetime) -> Waiting:
    """Return where a jar stands with its reminders; of a bottled one, with the next like it."""
    quiet, snoozes = quiet_of(desk), deliveries.snoozes(desk.store)
    series = series_of(desk, jar)
    if jar.state is State.BOTTLED:
        series = tuple(one for one in start_series(desk, now) if one.jar_id == jar.id)
    due = tuple(found.kind for found in schedule.standing(series, quiet, desk.zone, now))
    put_off = {
        (jar.id, kind): until
        for kind in due
        if (until := snoozes.get((jar.id, kind))) and until > now
    }
    ahead = []
    for one in series:
        own = {key: until for key, until in put_off.items() if key[1] is one.kind}
        if at := schedule.next_wake((one,), quiet, desk.zone, now, own):
            ahead.append((one.kind, at))
    ahead.sort(key=lambda found: found[1])
    return Waiting(due, tuple((kind, at) for (_, kind), at in put_off.items()), tuple(ahead))
