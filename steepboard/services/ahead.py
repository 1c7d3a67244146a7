"""What to start within four weeks, what to buy for it, and which jars and room it needs."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from steepboard.domain.liquor import fill_ml
from steepboard.domain.records import State
from steepboard.services import levels, material
from steepboard.services.details import details
from steepboard.services.stock import Coming, start_of, stock
from steepboard.store import jars

if TYPE_CHECKING:
    from collections.abc import Iterator

    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk
    from steepboard.services.stock import Stock

WEEKS = 4
_MOST_REPEATS = 8  # of one kind within the weeks; assumed, more would want a larger jar


@dataclass(frozen=True, slots=True)
class Begin:
    """A jar to charge, like the last of its name."""

    day: date
    """Its start-by date, today where that is past."""
    late_days: int
    like: Jar
    strain_on: date
    ready_on: date
    fill_ml: float
    """What solids and liquor fill of its vessel."""
    brings_ml: float


@dataclass(frozen=True, slots=True)
class Buy:
    """What all of it takes of one botanical or spirit."""

    name: str
    amount: float
    """In g of a botanical, in mL at its strength of a spirit."""
    by: date
    strength: float | None = None
    """Of a spirit; None of a botanical."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """The plan of the next four weeks."""

    begins: tuple[Begin, ...]
    buys: tuple[Buy, ...]
    jars_now: int
    """Steeping today."""
    jars_most: int
    """Steeping at one time within the weeks."""
    room_most_ml: float
    """What the jars that steep then fill together."""


def ahead(desk: Desk, now: datetime) -> Ahead:
    """Return what is to be started within four weeks, and what that takes."""
    today = desk.day(now)
    last_day = today + timedelta(weeks=WEEKS)
    found = [begin for one in stock(desk, now) for begin in _begins(desk, one, now, last_day)]
    begins = tuple(sorted(found, key=lambda one: (one.day, one.like.code)))
    steeping = [jar for jar in jars.active(desk.store) if jar.state is State.STEEPING]
    stands = [(today, max(jar.strain_on, today), _fill(desk, jar)) for jar in steeping]
    stands += [(one.day, one.strain_on, one.fill_ml) for one in begins]
    room = [
        [ml for first, last, ml in stands if first <= day <= last]
        for day in (today + timedelta(days=n) for n in range(7 * WEEKS + 1))
    ]
    return Ahead(
        begins, _buys(begins), len(steeping), max(map(len, room)), max(map(sum, room), default=0.0)
    )


def _begins(desk: Desk, one: Stock, now: datetime, last_day: date) -> Iterator[Begin]:
    """Yield each jar of a kind to start by then: those before it are counted on."""
    like = jars.by_id(desk.store, one.last.id) if one.last else None
    if like is None or like.charged_at is None:
        return
    today, steep = desk.day(now), like.strain_on - desk.day(like.charged_at)
    brings_ml, u_ml = levels.expected(desk, like)
    for _ in range(_MOST_REPEATS):
        start = start_of(desk, one, now) if one.start else None
        if start is None or start.day > last_day:
            return
        day = max(start.day, today)
        ready_on = day + steep + timedelta(days=desk.settings.steep.settle_days)
        late = max((today - start.day).days, 0)
        yield Begin(day, late, like, day + steep, ready_on, _fill(desk, like), brings_ml)
        coming = Coming(like, ready_on, brings_ml, u_ml)
        one = replace(one, coming=(*one.coming, coming))


def _fill(desk: Desk, jar: Jar) -> float:
    known = details(desk, jar)
    solids = material.solids(jar.charge, desk.settings.instruments, desk.library)
    return fill_ml(solids, known.liquor)


def _buys(begins: tuple[Begin, ...]) -> tuple[Buy, ...]:
    """Return what all jars take together: botanicals first, each by when it is first needed."""
    amounts: defaultdict[tuple[bool, str, float], float] = defaultdict(float)
    by: dict[tuple[bool, str, float], date] = {}
    for one in begins:
        charge = one.like.charge
        needs = [((False, line.name, 0.0), line.mass_g) for line in charge.botanicals]
        needs += [
            ((True, line.name, line.strength), line.volume_ml)
            for line in charge.spirits
            if line.strength > 0.0
        ]
        for key, amount in needs:
            amounts[key] += amount
            by.setdefault(key, one.day)
    return tuple(
        Buy(name, amounts[is_spirit, name, strength], by[is_spirit, name, strength],
            strength if is_spirit else None)
        for is_spirit, name, strength in sorted(amounts)
    )  # fmt: skip
