"""House doses and droppers in words for people and in JSON for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.cli.minding import mind_json
from steepboard.domain.dosing import Tool
from steepboard.domain.figures import percent, short

if TYPE_CHECKING:
    from steepboard.domain.base import Base
    from steepboard.domain.dosing import Counted, Dropper, HouseDose, Usual
    from steepboard.services.doses import DoseFor

_WORDS = {Tool.DROP: ("drop", "drops"), Tool.DASH: ("dash", "dashes")}


def dose_row(one: HouseDose) -> tuple[str, ...]:
    """Return a house dose as a row of the list."""
    drink = f"in {short(one.drink.volume_ml)} mL {one.drink.name}" if one.drink else ""
    return (one.name, f"{one.volume_ml:.3g} mL of {one.of}", drink, one.gives)


def dose_rows(made: DoseFor) -> list[tuple[str, str]]:
    """Return what a dose comes to with one bottle, in rows."""
    settled = f"settled as {made.dose.volume_ml:.3g} mL at intensity {made.dose.intensity:.2f}"
    here = f"here {made.bottle.liquid.intensity:.2f}; taste it"
    told = [
        ("gives", made.dose.gives),
        ("take", f"{made.volume_ml:.3g} mL ({settled}, {here})"),
        ("or", _counted(made.drops)),
        ("or", _counted(made.dashes)),
    ]
    if made.added and made.dose.drink:
        alcohol = f"{made.added.ethanol_ml:.2g} mL, that is {made.added.ethanol_g:.2g} g"
        before, after = percent(made.added.strength_before), percent(made.added.strength_after)
        told.append(("alcohol", f"{alcohol}; the drink goes from {before} to {after}"))
        told.append(("in a litre", f"{made.added.ml_per_l:.3g} mL of it"))
    return [row for row in told if row[1]]


def dropper_row(one: Dropper) -> tuple[str, ...]:
    """Return a dropper as a row of the list."""
    word, words = _WORDS[one.tool]
    size = f"{1.0 / one.each_ml:.3g} {words} to the mL"
    each = f"a {word} {one.each_ml:.3g} mL ± {percent(one.u)}"
    return (one.name, size, each, f"{one.how}, {percent(one.strength, 0)} by volume")


def usual_row(tool: Tool, one: Usual) -> tuple[str, ...]:
    """Return a usual figure as a row of the list, with its source."""
    count = f"{one.least_per_ml:g} to {one.most_per_ml:g} {_WORDS[tool][1]} to the mL"
    liquid = f"of {percent(one.strength, 0)}" if tool is Tool.DROP else ""
    return (tool.value, count, liquid, one.source)


def house_dose_json(one: HouseDose) -> dict[str, object]:
    """Return a house dose for programs."""
    return {
        "name": one.name,
        "of": one.of,
        "gives": one.gives,
        "volume_ml": one.volume_ml,
        "reference_intensity": one.intensity,
        "drink": base_json(one.drink) if one.drink else None,
    }


def dose_json(made: DoseFor) -> dict[str, object]:
    """Return a dose for one bottle for programs."""
    added = made.added
    return {
        **house_dose_json(made.dose),
        "bottle": made.bottle.code,
        "bottle_intensity": made.bottle.liquid.intensity,
        "take_ml": made.volume_ml,
        "drops": _counted_json(made.drops),
        "dashes": _counted_json(made.dashes),
        "ethanol_ml": added.ethanol_ml if added else None,
        "ethanol_g": added.ethanol_g if added else None,
        "drink_strength_after": added.strength_after if added else None,
        "ml_per_l": added.ml_per_l if added else None,
        "limits": mind_json((), made.limits)["doses"],
    }


def dropper_json(one: Dropper) -> dict[str, object]:
    """Return a dropper for programs."""
    return {
        "name": one.name,
        "tool": one.tool.value,
        "each_ml": one.each_ml,
        "each_ml_u": one.each_ml * one.u,
        "strength": one.strength,
        "how": one.how,
    }


def base_json(base: Base) -> dict[str, object]:
    """Return a base for programs."""
    return {
        "name": base.name,
        "volume_ml": base.volume_ml,
        "strength": base.strength,
        "sugar_g_l": base.sugar_g_l,
    }


def _counted(found: Counted) -> str:
    word = _WORDS[found.portion.tool][found.whole != 1]
    size = f"{found.portion.per_ml:.3g} to the mL ± {percent(found.portion.u, 0)}"
    return f"{found.whole} {word}{found.said_off} ({size}; {found.portion.source})"


def _counted_json(found: Counted) -> dict[str, object]:
    return {
        "whole": found.whole,
        "exact": found.exact,
        "each_ml": found.portion.each_ml,
        "each_ml_u": found.portion.each_ml * found.portion.u,
        "source": found.portion.source,
    }
