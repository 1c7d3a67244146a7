"""House doses: kept, converted for the bottle in hand, and drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from steepboard.domain import guards
from steepboard.domain.bottles import Purpose
from steepboard.domain.dosing import (
    Added,
    Counted,
    HouseDose,
    Tool,
    added,
    converted_ml,
    counted,
    dose_findings,
)
from steepboard.domain.readings import Measured
from steepboard.errors import NotKept, OtherTincture
from steepboard.services import bottles, house
from steepboard.services.bottle_shelf import bottle
from steepboard.services.bottles import Drawn
from steepboard.services.droppers import portion
from steepboard.services.limited import limited
from steepboard.store import house as store
from steepboard.text import clean

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.domain.base import Base
    from steepboard.domain.bottles import Bottle
    from steepboard.domain.findings import Finding
    from steepboard.domain.limits import DoseSum
    from steepboard.services.desk import Desk

POURED_U = 0.1  # ± of a dose poured by hand, as a part of it; assumed, a small jigger's worth
_MOST_ML = 60.0  # of a tincture in one drink; assumed, a large measure of spirit


@dataclass(frozen=True, slots=True)
class DoseFor:
    """A house dose as it is poured from one bottle."""

    dose: HouseDose
    bottle: Bottle
    volume_ml: float
    drops: Counted
    dashes: Counted
    added: Added | None
    """What it brings into the drink; None where the drink is not known."""
    limits: tuple[DoseSum, ...]
    """Of limited substances in a litre of the drink."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What there is to say of it in whole drops and in whole dashes."""
        return (*dose_findings(self.drops), *dose_findings(self.dashes))


def doses(desk: Desk) -> tuple[HouseDose, ...]:
    """Return the house doses, by name."""
    return store.doses(desk.store)


def dose(desk: Desk, name: str) -> HouseDose:
    """Return the house dose of a name; raises `NotKept`."""
    wanted = house.named(desk, "dose", name)
    for one in doses(desk):
        if one.name == wanted:
            return one
    raise NotKept("dose", wanted)


def keep(
    desk: Desk,
    name: str,
    volume_ml: float,
    code: str,
    gives: str,
    now: datetime,
    *,
    drink: Base | None = None,
) -> DoseFor:
    """Keep a dose as it is right with this bottle, whose intensity is its reference.

    Raises `UnknownBottle`, and `OutOfRange` for more than a dose can be, or a bottle that has no
    intensity.
    """
    found = bottle(desk, code)
    one = HouseDose(name, found.tag.name, gives, volume_ml, found.liquid.intensity, drink)
    with desk.store.writing():
        return _for(desk, put(desk, one, now), found)


def put(desk: Desk, one: HouseDose, now: datetime) -> HouseDose:
    """Keep a dose that tells its reference itself; raises `OutOfRange` for what is no dose."""
    guards.within("dose", one.volume_ml, 0.0, _MOST_ML, f"at most {_MOST_ML:g} mL in a drink")
    guards.positive("dose", one.volume_ml)
    guards.positive("intensity", one.intensity)
    name = house.named(desk, "dose", one.name)
    drink = replace(one.drink, name=clean(one.drink.name, 80)) if one.drink else None
    one = HouseDose(
        name, clean(one.of, 80), clean(one.gives, 200), one.volume_ml, one.intensity, drink
    )
    with desk.store.writing() as db:
        store.add_dose(db, house.write(desk, db, "dose", name, "keep", now), one)
    return one


def for_bottle(desk: Desk, code: str) -> tuple[DoseFor, ...]:
    """Return every house dose of what a bottle holds; raises `UnknownBottle`."""
    found = bottle(desk, code)
    return tuple(_for(desk, one, found) for one in doses(desk) if _fits(one, found))


def one_for(desk: Desk, name: str, code: str) -> DoseFor:
    """Return one dose from one bottle; raises `NotKept`, `UnknownBottle`, `OtherTincture`."""
    one, found = dose(desk, name), bottle(desk, code)
    if not _fits(one, found):
        raise OtherTincture(one.name, one.of, found.code, found.tag.name)
    return _for(desk, one, found)


def draw(
    desk: Desk, name: str, code: str, now: datetime, *, times: int = 1, by: Tool | None = None
) -> Bottle:
    """Write down so many doses as drawn, by volume or in whole drops or dashes."""
    made = one_for(desk, name, code)
    drawn = _drawn(made, by)
    typed = f"{times} × {made.dose.name}, {drawn.typed}"
    volume = Measured(drawn.volume.value * times, 0.0)
    return bottles.draw(desk, code, replace(drawn, volume=volume, typed=typed), Purpose.DOSE, now)


def _drawn(made: DoseFor, by: Tool | None) -> Drawn:
    if by is None:
        volume = Measured(made.volume_ml, 0.0)
        return Drawn(volume, f"{made.volume_ml:.3g} mL", made.dose.name, POURED_U)
    found = made.drops if by is Tool.DROP else made.dashes
    word = {Tool.DROP: "drops", Tool.DASH: "dashes"}[by]
    volume, own = Measured(found.volume_ml, 0.0), found.portion
    return Drawn(volume, f"{found.whole} {word}", own.name, own.u)


def _for(desk: Desk, one: HouseDose, found: Bottle) -> DoseFor:
    volume_ml = converted_ml(one, found.liquid.intensity)
    strength = min(1.0, found.liquid.strength)
    in_drink = None
    if one.drink:
        house_solids = desk.settings.arithmetic.solids_ml_per_g
        in_drink = added(found.liquid, volume_ml, one.drink, house_solids)
    return DoseFor(
        one,
        found,
        volume_ml,
        counted(volume_ml, portion(desk, Tool.DROP, strength)),
        counted(volume_ml, portion(desk, Tool.DASH, strength)),
        in_drink,
        limited(desk, [(found, in_drink.ml_per_l)]) if in_drink else (),
    )


def _fits(one: HouseDose, found: Bottle) -> bool:
    return one.of.casefold() == found.tag.name.casefold()
