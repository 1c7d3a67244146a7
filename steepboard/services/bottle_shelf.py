"""What stands in bottles: what each holds, what is in it, what to mind, what is not bottled yet."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from steepboard.domain.bottle_fold import fold
from steepboard.domain.bottles import Bottle, BottleState, Purpose
from steepboard.domain.mixing import Liquid
from steepboard.errors import UnknownBottle
from steepboard.services import material, straining
from steepboard.services.cautions import own_cautions
from steepboard.services.details import details
from steepboard.store import bottles as store
from steepboard.store import jars

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from steepboard.catalogue.load import Caution
    from steepboard.domain.balance import Balance
    from steepboard.domain.bottles import BottleEntry
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk

_UNREAD_U = 0.01
"""± by volume of a strength that was worked out of a charge alone; assumed, label and leaf."""


@dataclass(frozen=True, slots=True)
class Inside:
    """What is in a bottle beside alcohol, and what to mind of it."""

    jars: tuple[tuple[Jar, float], ...]
    """Each batch and its part of the volume, the largest first."""
    allergens_eu: tuple[str, ...]
    allergens_us: tuple[str, ...]
    cautions: tuple[Caution, ...]
    own_cautions: tuple[Caution, ...]
    """Those of the botanicals themselves."""


@dataclass(frozen=True, slots=True)
class Rest:
    """What of a jar went into bottles, in mL with its ±, and what should be left over."""

    recovered_ml: float
    recovered_u_ml: float
    bottled_ml: float
    bottled_u_ml: float

    @property
    def left_ml(self) -> float:
        """Recovered and not bottled; below 0 where more was bottled."""
        return self.recovered_ml - self.bottled_ml

    @property
    def left_u_ml(self) -> float:
        """± of it."""
        return hypot(self.recovered_u_ml, self.bottled_u_ml)


def bottles(desk: Desk, *, ended: bool = False) -> tuple[Bottle, ...]:
    """Return the bottles that stand, by batch and letter; `ended` ones too where asked for."""
    found = _folded(desk, store.needed(desk.store, store.EVERY if ended else store.STANDING))
    wanted = (one for one in found.values() if ended or one.state is BottleState.STANDING)
    return tuple(sorted(wanted, key=lambda one: (one.tag.batch, one.tag.id)))


def bottle(desk: Desk, code: str) -> Bottle:
    """Return one bottle; raises `UnknownBottle`, also where its fill was taken back."""
    tag = store.tag(desk.store, code)
    found = _folded(desk, store.needed(desk.store, "id = ?", tag.id)) if tag else {}
    if tag is None or tag.id not in found:
        raise UnknownBottle(code)
    return found[tag.id]


def of_jar(desk: Desk, jar: Jar) -> tuple[Bottle, ...]:
    """Return every bottle that anything of a jar was poured into, ended ones too."""
    found = _folded(desk, store.needed(desk.store, store.FROM_JAR, jar.id))
    ids = store.filled_from(desk.store, jar.id)
    return tuple(found[id_] for id_ in ids if id_ in found)


def standing_of(desk: Desk, jar: Jar) -> tuple[Bottle, ...]:
    """Return the bottles that stand and hold something of a jar."""
    return tuple(one for one in of_jar(desk, jar) if one.state is BottleState.STANDING)


def diary(desk: Desk, one: Bottle) -> tuple[BottleEntry, ...]:
    """Return the diary of a bottle, oldest first, undone entries included."""
    return store.entries(desk.store, [one.tag.id])


def draws(desk: Desk, since: datetime, purpose: Purpose | None = None) -> tuple[BottleEntry, ...]:
    """Return what was drawn since an instant and not taken back, oldest first."""
    found = store.drawn(desk.store, since)
    return tuple(entry for entry in found if purpose in (None, entry.purpose))


def inside(desk: Desk, one: Bottle) -> Inside:
    """Return which batches a bottle holds, and what to mind of any of them."""
    found = ((jars.by_id(desk.store, id_), share) for id_, share in one.liquid.shares)
    parts = sorted(((jar, share) for jar, share in found if jar), key=lambda part: -part[1])
    lines = [line for jar, _ in parts for line in jar.charge.botanicals]
    # Dried or fresh: what a plant is allergenic by does not depend on that.
    ids = (line.catalogue_id for line in lines if line.catalogue_id)
    plants = [plant for id_ in ids if (plant := desk.library.find(id_))]
    cautions = {c.code: c for jar, _ in parts for c in details(desk, jar).cautions}
    return Inside(
        tuple(parts),
        _each_once(name for plant in plants for name in plant.allergens_eu),
        _each_once(name for plant in plants for name in plant.allergens_us),
        tuple(cautions.values()),
        own_cautions(lines, desk.library),
    )


def contained(found: Iterable[Inside]) -> tuple[str, ...]:
    """Return the allergens of all these; one that both lists name only once."""
    insides = tuple(found)
    eu = _each_once(name for one in insides for name in one.allergens_eu)
    us = _each_once(name for one in insides for name in one.allergens_us)
    return (*eu, *(name for name in us if not name.endswith(eu)))


def liquid_of(desk: Desk, jar: Jar) -> Liquid:
    """Return what a mL of a jar's liquid holds: by its balance, or else by its charge.

    Where the hydrometer or a dried sample tells it more sharply, they are believed.
    """
    known, balance = details(desk, jar), straining.balance(desk, jar)
    made, tools = known.liquor, desk.settings.instruments
    solids = material.solids(jar.charge, tools, desk.library_for(jar))
    soluble_u_g = hypot(*(solid.dry_g * solid.soluble_u for solid in solids))
    strength, strength_u = made.true_strength, _UNREAD_U
    dissolved, dissolved_u = made.dissolved_g / made.volume_ml, soluble_u_g / made.volume_ml
    if balance:
        strength, strength_u = _strength(balance)
        dissolved = balance.dissolved_g_ml
        dried = balance.residue_g_ml
        if dried and dried.u < dissolved_u:
            dissolved, dissolved_u = dried.value, dried.u
    return Liquid(strength, dissolved, known.intensity, strength_u, dissolved_u, ((jar.id, 1.0),))


def recovered(desk: Desk, jar: Jar) -> tuple[float, float] | None:
    """Return the mL at 20 °C that came out of a jar in the end and their ±, or None unread."""
    if not any(jar.reading(measure) for measure in straining.FINAL):
        return None
    balance = straining.balance(desk, jar)
    return (balance.recovered.ml, balance.recovered.ml_u) if balance else None


def rest(desk: Desk, jar: Jar) -> Rest | None:
    """Return what of a jar is bottled and what is left over; None where nothing was read."""
    out = recovered(desk, jar)
    if out is None:
        return None
    poured = [
        part.volume
        for entry in store.entries(desk.store, store.filled_from(desk.store, jar.id))
        if not entry.undone
        for part in entry.poured
        if part.jar_id == jar.id
    ]
    return Rest(*out, sum(one.value for one in poured), hypot(*(one.u for one in poured)))


def _strength(balance: Balance) -> tuple[float, float]:
    read = balance.hydrometer
    if read and read.u < balance.strength_u:
        return read.value, read.u
    return balance.strength, balance.strength_u


class _Liquids(dict[int, Liquid]):
    """The liquids of the jars that are asked for, each worked out once."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk

    def __missing__(self, jar_id: int) -> Liquid:
        jar = jars.by_id(self._desk.store, jar_id)
        self[jar_id] = liquid_of(self._desk, jar) if jar else Liquid(0.0)
        return self[jar_id]


def _folded(desk: Desk, ids: Iterable[int]) -> dict[int, Bottle]:
    ids = tuple(ids)
    return fold(
        store.tags(desk.store, ids),
        store.entries(desk.store, ids),
        _Liquids(desk),
        desk.settings.arithmetic.solids_ml_per_g,
    )


def _each_once(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))
