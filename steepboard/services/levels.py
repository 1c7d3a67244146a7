"""What bottles hold and what was drawn of them, by name: worked out once until a diary grows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import hypot
from typing import TYPE_CHECKING

from steepboard.domain.bottle_fold import fold
from steepboard.domain.bottles import BottleState
from steepboard.domain.forecast import MEMORY_DAYS, NINE_IN_TEN
from steepboard.domain.mixing import Liquid
from steepboard.services.bottle_shelf import liquid_of, recovered
from steepboard.services.details import details
from steepboard.store import bottles, jars
from steepboard.store import stock as store

if TYPE_CHECKING:
    from collections.abc import Mapping

    from steepboard.domain.bottles import Bottle
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk

_ANY = Liquid(0.5)  # of a bottle that only one jar was poured into, no volume hangs on its strength


@dataclass(frozen=True, slots=True)
class Level:
    """What stands of one name, in mL with its ±."""

    name: str
    bottles: tuple[Bottle, ...]
    """The first filled first; their liquids may be unknown here."""

    @property
    def left_ml(self) -> float:
        """All of them together."""
        return sum(one.left_ml for one in self.bottles)

    @property
    def left_u_ml(self) -> float:
        """± of that."""
        return hypot(*(one.left_u_ml for one in self.bottles))


@dataclass(frozen=True, slots=True)
class Known:
    """What the diaries of all bottles tell, by the name in small letters."""

    standing: Mapping[str, Level]
    last: Mapping[str, Jar]
    """The jar that was bottled last of each name that ever stood, without its contents."""
    drawn: Mapping[str, list[tuple[datetime, float]]]
    since: Mapping[str, datetime]
    """When the first bottle of a name was filled."""


def known(desk: Desk, now: datetime) -> Known:
    """Return what stands and what was drawn, remembered until a bottle's diary grows."""
    last = store.last_entry(desk.store)
    if not last:
        return Known({}, {}, {}, {})
    return desk.store.remembered(("levels", desk.settings), lambda: _known(desk, now), of=last)


def expected(desk: Desk, jar: Jar) -> tuple[float, float]:
    """Return the mL that a jar brings and their ±: as read, or else as is to be expected."""
    key = ("expected", jar.id, desk.settings)
    of = (jar.state, jar.charged_at, jar.readings)
    return desk.store.remembered(key, lambda: _expected(desk, jar), of=of)


def _expected(desk: Desk, jar: Jar) -> tuple[float, float]:
    whole = jars.by_id(desk.store, jar.id)
    if whole is None:
        return 0.0, 0.0
    if read := recovered(desk, whole):
        return read
    told = details(desk, whole).expected
    return told.expected_ml, (told.high_ml - told.low_ml) / (2.0 * NINE_IN_TEN)


class _Liquids(dict[int, Liquid]):
    """The liquids of the jars whose bottles were weighed or mixed; of others any will do."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._weighty = desk, store.weighty_jars(desk.store)

    def __missing__(self, jar_id: int) -> Liquid:
        desk = self._desk
        jar = jars.by_id(desk.store, jar_id) if jar_id in self._weighty else None
        self[jar_id] = _ANY if jar is None else _liquid(desk, jar)
        return self[jar_id]


def _liquid(desk: Desk, jar: Jar) -> Liquid:
    key = ("liquid", jar.id, desk.settings)
    return desk.store.remembered(key, lambda: liquid_of(desk, jar), of=jar)


def _known(desk: Desk, now: datetime) -> Known:
    ids = bottles.needed(desk.store, bottles.STANDING)
    solids = desk.settings.arithmetic.solids_ml_per_g
    tags, entries = bottles.tags(desk.store, ids), bottles.entries(desk.store, ids)
    found = fold(tags, entries, _Liquids(desk), solids).values()
    by_name: dict[str, list[Bottle]] = {}
    for one in sorted(found, key=lambda one: (one.filled_at, one.tag.id)):
        if one.state is BottleState.STANDING:
            by_name.setdefault(one.tag.name.casefold(), []).append(one)
    drawn: dict[str, list[tuple[datetime, float]]] = {}
    for name, at, ml in store.used(desk.store, now - timedelta(days=MEMORY_DAYS)):
        drawn.setdefault(name.casefold(), []).append((at, ml))
    last = store.last_jars(desk.store)
    made = {jar.id: jar for jar in jars.some(desk.store, last.values())}
    return Known(
        {key: Level(stand[-1].tag.name, tuple(stand)) for key, stand in by_name.items()},
        {name.casefold(): made[id_] for name, id_ in last.items() if id_ in made},
        drawn,
        {name.casefold(): at for name, at in store.first_filled(desk.store).items()},
    )
