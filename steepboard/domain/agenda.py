"""What a calendar says of a jar: one matter for each thing that it asks for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, time, timedelta, tzinfo

from steepboard.domain.local_time import DAY, local_instant
from steepboard.domain.quiet import Away
from steepboard.domain.schedule import ReminderKind, Series


@dataclass(frozen=True, slots=True)
class Matter:
    """One thing to do, on one day or again and again, at one wall-clock time."""

    summary: str
    description: str
    zone: str
    """Its name in the tz database; empty for a zone that has none there."""
    wall: time
    first: date
    every: int = 0
    """Days from one to the next; 0 for what is done once."""
    last: date | None = None
    left_out: tuple[date, ...] = ()
    """Days on which it is done already, or not to be spoken of."""
    alarms: tuple[timedelta, ...] = ()
    """From its start; negative ones come before."""
    added: tuple[date, ...] = ()
    """Days beside the repeated ones, on which it is made up for."""

    def days(self) -> tuple[date, ...]:
        """Return the days on which it is to be done."""
        repeated = _days(self.first, self.every, self.last) if self.last else (self.first,)
        kept = (day for day in repeated if day not in self.left_out)
        return tuple(sorted((*kept, *self.added)))


def matters(
    series: Iterable[Series],
    notes: Mapping[ReminderKind, str],
    away: Away | None,
    zone: tzinfo,
    zone_name: str,
) -> dict[ReminderKind, Matter]:
    """Return what a calendar says of one jar; getting ready is a second alarm of straining.

    Days on which the jar is muted or everybody is away are left out; what fell on the last of them
    and still matters is asked for on the first day after. What is done once keeps its day, and its
    alarm comes on the first day on which it may be spoken of.
    """
    asked = {one.kind: one for one in series}
    eve = asked.pop(ReminderKind.GET_READY, None)
    made = {}
    for kind, one in asked.items():
        every, last, left_out = (0, None, ()) if one.last is None else _repeated(one, away)
        matter = Matter(
            f"{kind.value.capitalize()} {one.code} {one.name}",
            notes[kind],
            zone_name,
            one.wall,
            one.first,
            every,
            last,
            left_out,
            _alarms(one, eve, away, zone),
            _made_up(one, away) if last else (),
        )
        if matter.days():
            made[kind] = matter
    return made


def _repeated(one: Series, away: Away | None) -> tuple[int, date | None, tuple[date, ...]]:
    """Return the days from one to the next, the last day, and those that are left out."""
    last = one.up_to(one.last or one.first)
    if last is None:  # the jar is strained before the first
        return 0, None, (one.first,)
    days = _days(one.first, one.every, last)
    out = (day for day in days if day in one.done or _spoken_of(day, one, away) != day)
    return one.every, last, tuple(out)


def _made_up(one: Series, away: Away | None) -> tuple[date, ...]:
    """Return the days on which what fell on silent days is asked for, where none is due anyway."""
    days = _days(one.first, one.every, one.up_to(one.last or one.first) or one.first)
    again = ((day, _spoken_of(day, one, away)) for day in days)
    return tuple(
        spoken
        for day, spoken in again
        if spoken != day and one.up_to(spoken) == day and one.matters_again(spoken)
    )


def _alarms(
    one: Series, eve: Series | None, away: Away | None, zone: tzinfo
) -> tuple[timedelta, ...]:
    if one.last is not None:
        return (timedelta(0),)
    start = local_instant(one.first, one.wall, zone)
    said = local_instant(_spoken_of(one.first, one, away), one.wall, zone)
    if eve is None or _spoken_of(eve.first, eve, away) != eve.first:
        return (said - start,)
    return local_instant(eve.first, eve.wall, zone) - start, said - start


def _spoken_of(day: date, one: Series, away: Away | None) -> date:
    """Return the first day from `day` on that is neither muted nor away."""
    day = max(day, one.muted_until or day)
    return away.last + DAY if away and away.first <= day <= away.last else day


def _days(first: date, every: int, last: date) -> tuple[date, ...]:
    return tuple(first + timedelta(days=n) for n in range(0, (last - first).days + 1, every))
