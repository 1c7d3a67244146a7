"""The days ahead: strain, taste, get ready, bottle and start, jar by jar."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from steepboard.domain.records import Jar, State
from steepboard.services.rhythms import bottle_on, rhythm_of
from steepboard.services.starts import starts
from steepboard.store import jars

if TYPE_CHECKING:
    from steepboard.services.desk import Desk


class DayKind(StrEnum):
    """What a jar asks of a day."""

    STRAIN = "strain"
    START = "start"
    """By when a jar like this one is to be charged."""
    BOTTLE = "bottle"
    GET_READY = "get ready"
    TASTE = "taste from"
    CHARGED = "charged"


@dataclass(frozen=True, slots=True)
class DayItem:
    """One jar's matter on one day."""

    day: date
    kind: DayKind
    jar: Jar
    late_days: int = 0


def between(desk: Desk, first: date, last: date, now: datetime) -> tuple[DayItem, ...]:
    """Return what the unfinished jars ask for from `first` to `last`, in order.

    A late strain stands on its own day and, as long as it is not done, on today.
    """
    today, active = desk.day(now), jars.active(desk.store)
    items = [item for jar in active for item in _items(desk, jar, today)]
    for one in starts(desk, now, active):
        day, late = max(one.day, today), one.late_days(today)
        items.append(DayItem(day, DayKind.START, one.jar, late))
    order = {kind: rank for rank, kind in enumerate(DayKind)}
    return tuple(
        sorted(
            (item for item in items if first <= item.day <= last),
            key=lambda item: (item.day, order[item.kind], item.jar.code),
        )
    )


def _items(desk: Desk, jar: Jar, today: date) -> list[DayItem]:
    if jar.state is State.PLANNED or jar.charged_at is None:
        return []
    charged = desk.day(jar.charged_at)
    items = [DayItem(charged, DayKind.CHARGED, jar)]
    if settled := bottle_on(desk, jar):
        return [*items, DayItem(max(settled, today), DayKind.BOTTLE, jar)]
    late = max((today - jar.strain_on).days, 0)
    items += [
        DayItem(jar.strain_on, DayKind.STRAIN, jar, late),
        DayItem(jar.strain_on - timedelta(days=1), DayKind.GET_READY, jar),
    ]
    if late:
        items.append(DayItem(today, DayKind.STRAIN, jar, late))
    taste_from = charged + timedelta(days=rhythm_of(desk, jar).taste_from_day)
    if taste_from < jar.strain_on:
        items.append(DayItem(taste_from, DayKind.TASTE, jar))
    return items
