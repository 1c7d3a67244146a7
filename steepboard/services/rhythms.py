"""How a jar is reminded of: its own habit over the ways of the house."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from steepboard.domain import schedule
from steepboard.domain.quiet import Quiet
from steepboard.domain.records import State
from steepboard.domain.schedule import ReminderKind, Rhythm, Series, Steep
from steepboard.store import shelf

if TYPE_CHECKING:
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk

_NO_DAYS: frozenset[date] = frozenset()  # a new one takes 216 bytes though empty, measured here


def rhythm_of(desk: Desk, jar: Jar) -> Rhythm:
    """Return when a jar is reminded of."""
    own, house = jar.habit, desk.settings.reminders
    return Rhythm(
        own.stir_every_days or jar.charge.stir_every_days,
        own.stir_at or house.stir_at,
        own.taste_from_day or jar.charge.taste_from_day or house.taste_from_day,
        own.taste_every_days or house.taste_every_days,
        own.taste_at or house.taste_at,
        house.get_ready_at,
        own.strain_at or house.strain_at,
        own.muted_until,
    )


def steep_of(desk: Desk, jar: Jar) -> Steep:
    """Return what the schedule needs of `jar`; ValueError where it was never charged."""
    if jar.charged_at is None:
        raise ValueError(f"{jar.code} is not charged")
    return Steep(
        jar.id,
        jar.code,
        jar.name,
        desk.day(jar.charged_at),
        jar.strain_on,
        rhythm_of(desk, jar),
        _days(desk, jar.stirred_at),
        _days(desk, jar.tasted_at),
        jar.charged_at,
    )


def _days(desk: Desk, moments: tuple[datetime, ...]) -> frozenset[date]:
    return frozenset(map(desk.day, moments)) if moments else _NO_DAYS


def bottle_on(desk: Desk, jar: Jar) -> date | None:
    """Return the day from which a strained jar is settled, None where it was not strained."""
    if jar.strained_at is None:
        return None
    return desk.day(jar.strained_at) + timedelta(days=desk.settings.steep.settle_days)


def series_of(desk: Desk, jar: Jar) -> tuple[Series, ...]:
    """Return all that an unfinished jar asks for."""
    if jar.state is State.STEEPING:
        return steep_of(desk, jar).series()
    settled = bottle_on(desk, jar)
    if jar.state is not State.SETTLING or settled is None or jar.strained_at is None:
        return ()
    rhythm = rhythm_of(desk, jar)
    bottle = schedule.once(ReminderKind.BOTTLE, jar.id, jar.code, jar.name, settled, rhythm)
    moved = (desk.day(jar.strained_at) - jar.strained_at.date()).days
    return (replace(bottle, moved_days=moved, not_before=jar.strained_at),)


def quiet_of(desk: Desk) -> Quiet:
    """Return the quiet hours and the days away of the shelf."""
    house = desk.settings.reminders
    return Quiet(house.quiet_from, house.quiet_to, house.stir_at, shelf.away(desk.store))
