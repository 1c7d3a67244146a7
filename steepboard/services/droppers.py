"""Droppers and dashers: calibrated by counting or weighing, and as they serve for a liquid."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from steepboard.catalogue.droppers import usual_drops
from steepboard.domain import guards
from steepboard.domain.dosing import (
    Dropper,
    Portion,
    Tool,
    counted_out,
    portion_of,
    usual_portion,
    weighed_out,
)
from steepboard.domain.figures import short
from steepboard.domain.mixing import density
from steepboard.errors import NotKept
from steepboard.services import house
from steepboard.store import house as store

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from steepboard.domain.mixing import Liquid
    from steepboard.domain.readings import Measured
    from steepboard.services.desk import Desk


_SIZES_ML = {Tool.DROP: (0.002, 0.5), Tool.DASH: (0.05, 10.0)}
"""What a drop or a dash may hold. Assumed: a tenth and ten times of what is usual, and more."""


def droppers(desk: Desk) -> tuple[Dropper, ...]:
    """Return the droppers and dashers of the house."""
    return store.droppers(desk.store)


def count(
    desk: Desk, name: str, tool: Tool, number: int, volume: Measured, strength: float, now: datetime
) -> Dropper:
    """Calibrate by counting the drops to a volume. Raises `OutOfRange`."""
    each_ml, u = counted_out(number, volume)
    how = f"{number} {_words(tool)} to {short(volume.value)} mL"
    return put(desk, Dropper(name, tool, each_ml, u, strength, how), now)


def weigh(
    desk: Desk, name: str, tool: Tool, number: int, mass: Measured, liquid: Liquid, now: datetime
) -> Dropper:
    """Calibrate by weighing so many drops of a liquid. Raises `OutOfRange`."""
    g_ml, g_ml_u = density(liquid, desk.settings.arithmetic.solids_ml_per_g)
    each_ml, u = weighed_out(number, mass, g_ml, g_ml_u)
    how = f"{number} {_words(tool)} weighed {mass.value:g} g at {g_ml:.4f} g/mL"
    return put(desk, Dropper(name, tool, each_ml, u, liquid.strength, how), now)


def put(desk: Desk, one: Dropper, now: datetime) -> Dropper:
    """Keep a dropper by what it gives. Raises `OutOfRange` for what no drop or dash holds."""
    low, high = _SIZES_ML[one.tool]
    allowed = f"from {low:g} to {high:g}; look at the count"
    guards.within(f"mL in a {one.tool.value}", one.each_ml, low, high, allowed)
    guards.fraction("± of it", one.u)
    guards.fraction("strength", one.strength)
    name = house.named(desk, "dropper", one.name)
    with desk.store.writing() as db:
        store.add_dropper(db, house.write(desk, db, "dropper", name, "keep", now), one)
    return next(kept for kept in droppers(desk) if kept.name == name)


def portion(desk: Desk, tool: Tool, strength: float, name: str = "") -> Portion:
    """Return what a drop or dash holds: by the dropper of that name, or the one that fits best.

    Where none is calibrated the usual figure serves. Raises `NotKept` for a name it has not.
    """
    known = droppers(desk)
    if name:
        wanted = house.named(desk, "dropper", name)
        found = [one for one in known if one.name == wanted]
        if not found:
            raise NotKept("dropper", wanted)
    else:
        found = [one for one in known if one.tool is tool]
    if not found:
        return usual_portion(tool, strength, usual_drops(tool))
    best = min(found, key=lambda one: (round(abs(one.strength - strength), 1), one.u))
    return portion_of(best, strength, usual_drops(best.tool))


def sizes(desk: Desk, strength: float) -> Callable[[Tool], Portion]:
    """Return what tells of each tool what it holds of a liquid of this strength."""
    return partial(portion, desk, strength=strength)


def _words(tool: Tool) -> str:
    return "dashes" if tool is Tool.DASH else "drops"
