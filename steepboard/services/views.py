"""What is on the shelf and what wants a hand now: read models for board and command line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from steepboard.domain import schedule
from steepboard.domain.records import State
from steepboard.domain.schedule import ReminderKind
from steepboard.services.rhythms import bottle_on, quiet_of, steep_of
from steepboard.services.starts import starts
from steepboard.store import jars

if TYPE_CHECKING:
    from collections.abc import Collection

    from steepboard.domain.quiet import Away
    from steepboard.domain.records import Entry, Jar
    from steepboard.domain.schedule import Steep
    from steepboard.services.desk import Desk

_DAY = timedelta(days=1)


class Mark(StrEnum):
    """What a day was, is or will be for one jar."""

    CHARGED = "charged"
    STIRRED = "stirred"
    MISSED = "missed"
    STIR = "stir"
    """Today, and not stirred yet."""
    AHEAD = "ahead"
    """A stir to come."""
    REST = "rest"
    """In the steep, with no stir asked for."""
    STRAIN = "strain"
    LATE = "late"
    """Past the strain day and not strained."""
    SETTLING = "settling"


class Hand(StrEnum):
    """What a jar may want of a person, the most pressing first, in the order of the reminders."""

    STRAIN_LATE = "strain late"
    STRAIN = "strain"
    GET_READY = "get ready"
    START = "start the next"
    """The next jar like this bottled one."""
    TASTE = "taste"
    STIR = "stir"
    BOTTLE = "bottle"
    CHARGE = "charge"


@dataclass(frozen=True, slots=True)
class Want:
    """One thing to do now; a jar may want several."""

    hand: Hand
    jar: Jar
    days: int = 0
    """Days late for a strain or a start, days settled for a bottling."""


@dataclass(frozen=True, slots=True)
class Row:
    """One jar as a row over the days."""

    jar: Jar
    marks: dict[date, Mark]
    days_left: int | None
    """Until the strain day, negative when late; None unless it steeps."""


@dataclass(frozen=True, slots=True)
class ShelfView:
    """The shelf at one moment."""

    now: datetime
    today: date
    wants: tuple[Want, ...]
    rows: tuple[Row, ...]
    """Unfinished jars: steeping by strain day, then settling, then planned."""
    away: Away | None = None
    """The days away that are going on or to come."""

    @property
    def waiting(self) -> int:
        """How many jars want a hand."""
        return len({want.jar.code for want in self.wants})


def shelf(desk: Desk, now: datetime) -> ShelfView:
    """Return the unfinished jars and what they want of a person at `now`."""
    today, found = desk.day(now), jars.active(desk.store)
    steeps = {jar.id: steep_of(desk, jar) for jar in found if jar.state is State.STEEPING}
    rows = [_row(desk, jar, steeps.get(jar.id), today) for jar in found]
    quiet = quiet_of(desk)
    series = (one for steep in steeps.values() for one in steep.series())
    asked = {(one.jar_id, one.kind) for one in schedule.standing(series, quiet, desk.zone, now)}
    wants = [want for jar in found for want in _wants(desk, jar, steeps.get(jar.id), asked, today)]
    wants += [
        Want(Hand.START, one.jar, one.late_days(today))
        for one in starts(desk, now, found)
        if one.day <= today
    ]
    order = {hand: rank for rank, hand in enumerate(Hand)}
    return ShelfView(
        now,
        today,
        tuple(sorted(wants, key=lambda want: (order[want.hand], -want.days, want.jar.code))),
        tuple(sorted(rows, key=_row_order)),
        quiet.away if quiet.away and quiet.away.last >= today else None,
    )


def all_jars(desk: Desk) -> tuple[Jar, ...]:
    """Return every jar, unfinished ones first, then the last ended first."""
    return jars.active(desk.store) + jars.ended(desk.store)


def jar(desk: Desk, code: str) -> Jar:
    """Return one jar; raises `UnknownJar`."""
    return jars.by_code(desk.store, code)


def diary(desk: Desk, jar: Jar) -> tuple[Entry, ...]:
    """Return the diary of a jar, oldest first, undone entries included."""
    return jars.diary(desk.store, jar.id)


def _row_order(row: Row) -> tuple[int, date, str]:
    states = (State.STEEPING, State.SETTLING, State.PLANNED)
    return states.index(row.jar.state), row.jar.strain_on, row.jar.code


def _row(desk: Desk, jar: Jar, steep: Steep | None, today: date) -> Row:
    days_left = (jar.strain_on - today).days if steep else None
    return Row(jar, _marks(desk, jar, today), days_left)


def _wants(
    desk: Desk,
    jar: Jar,
    steep: Steep | None,
    asked: Collection[tuple[int, ReminderKind]],
    today: date,
) -> list[Want]:
    """Return all that a jar wants on a day; `asked` is what its reminders ask for now."""
    if jar.state is State.PLANNED:
        return [Want(Hand.CHARGE, jar)]
    if steep is None:
        ready = bottle_on(desk, jar)
        if ready is None or today < ready:
            return []
        return [Want(Hand.BOTTLE, jar, (today - ready).days + desk.settings.steep.settle_days)]
    late = (today - steep.strain_on).days
    wants = [Want(Hand.STRAIN_LATE if late else Hand.STRAIN, jar, late)] if late >= 0 else []
    stir_today = steep.stirs_on(today) and today not in steep.stirred_on
    for kind, hand, so in (
        (ReminderKind.GET_READY, Hand.GET_READY, False),
        (ReminderKind.TASTE, Hand.TASTE, False),
        (ReminderKind.STIR, Hand.STIR, stir_today),
    ):
        overtaken = kind is ReminderKind.GET_READY and late >= 0
        if so or ((jar.id, kind) in asked and not overtaken):
            wants.append(Want(hand, jar))
    return wants


def _marks(desk: Desk, jar: Jar, today: date) -> dict[date, Mark]:
    """Return a mark for each day from charging to the strain day or today."""
    if jar.charged_at is None:
        return {}
    steep = steep_of(desk, jar)
    strained = desk.day(jar.strained_at) if jar.strained_at else None
    end = strained or jar.strain_on
    marks = {
        day: _mark(steep, day, today, strained)
        for day in _days(steep.charged_on, max(end, today) if strained is None else end)
    }
    if strained:
        bottled = desk.day(jar.bottled_at) if jar.bottled_at else today
        marks |= dict.fromkeys(_days(strained + _DAY, bottled), Mark.SETTLING)
    return marks


def _mark(steep: Steep, day: date, today: date, strained: date | None) -> Mark:
    if day == (strained or steep.strain_on):
        return Mark.STRAIN
    if day > steep.strain_on:
        return Mark.LATE
    if day in steep.stirred_on:
        return Mark.STIRRED
    if not steep.stirs_on(day):
        return Mark.CHARGED if day == steep.charged_on else Mark.REST
    if day == today:
        return Mark.STIR
    return Mark.AHEAD if day > today else Mark.MISSED


def _days(first: date, last: date) -> list[date]:
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]
