"""The prep sheet of a plan: what to fetch, and what to do in order, in plain sentences."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from steepboard.domain import alcohol
from steepboard.domain.figures import one_to, percent
from steepboard.domain.plan_findings import VESSEL_FULL

if TYPE_CHECKING:
    from steepboard.domain.records import SpiritLine
    from steepboard.services.acts import Order
    from steepboard.services.plans import Planned


@dataclass(frozen=True, slots=True)
class Sheet:
    """A prep sheet."""

    fetch: str
    steps: tuple[str, ...]
    expect: str


def sheet(planned: Planned, today: date) -> Sheet:
    """Return the sheet of a jar that is charged today."""
    plan = planned.plan
    expect = (
        f"About {plan.expected_ml:.0f} mL to bottle ({plan.low_ml:.0f} to {plan.high_ml:.0f}), "
        f"at {percent(plan.true_strength)}. {rounding(planned)}"
    )
    return Sheet(_fetch(planned), tuple(_steps(planned, today)), expect)


def weighed(order: Order) -> str:
    """Return what to weigh: the amount alone of one botanical, of several each with its name."""
    if len(order.botanicals) == 1:
        return order.botanicals[0].typed
    *others, last = [f"{line.typed} of {line.name}" for line in order.botanicals]
    return f"{', '.join(others)} and {last}"


def poured(order: Order) -> str:
    """Return what to pour; spirit and water by volume and by mass where both are poured."""
    if len(order.spirits) == 1:
        line = order.spirits[0]
        return f"{line.typed_volume} of {line.typed_strength}"
    at_c = order.spirits[0].temperature_c
    return f"{' and '.join(map(_measured, order.spirits))}, both at {at_c:g} °C"


def rounding(planned: Planned) -> str:
    """Return what rounding to what scale and cylinder show does to the plan."""
    found = planned.rounded
    changes = f"{found.changes_ml:+.1f}".replace("-", "−")
    return (
        f"Rounding to {found.scale_step_g:g} g and {found.volume_step_ml:g} mL changes the bottled "
        f"volume by {changes} mL, the ratio to {one_to(found.ratio)}."
    )


def shrinks(contraction_ml: float) -> str:
    """Return what spirit and water do once together."""
    more = "more" if contraction_ml < 0 else "less"
    return f"they take up {abs(contraction_ml):.1f} mL {more} than apart"


def mixed(order: Order) -> str:
    """Return what spirit and water make together."""
    at_c = order.spirits[0].temperature_c
    made = alcohol.blend(((line.volume_ml, line.strength) for line in order.spirits), at_c)
    makes = f"{made.total_ml:.0f} mL of {percent(made.strength)}"
    return f"they make {makes}, for {shrinks(made.contraction_ml)}"


def jar_of(planned: Planned) -> str:
    """Return the jar that is wanted, by what it has to hold."""
    vessel_ml, least_ml = planned.order.vessel_ml, planned.plan.fill_ml / VESSEL_FULL
    return f"the jar of {vessel_ml:.0f} mL" if vessel_ml else f"a jar of at least {least_ml:.0f} mL"


def _measured(line: SpiritLine) -> str:
    grams = alcohol.mass_g(line.volume_ml, line.strength, line.temperature_c)
    what = f"of {line.typed_strength}" if line.strength > 0.0 else f"of {line.name}"
    return f"{line.typed_volume} {what} ({grams:.1f} g)"


def _labelled(line: SpiritLine) -> str:
    """Return what stands on the bottle: a name that holds the strength says it once."""
    typed = re.escape(line.typed_strength)  # not the 5 % in 45 % nor in 2.5 %
    said = re.search(rf"(?<![\w.,]){typed}(?!\w)", line.name, re.IGNORECASE)
    return line.name if said or not line.strength else f"{line.name} of {line.typed_strength}"


def _fetch(planned: Planned) -> str:
    order = planned.order
    solids = (f"{line.name}, {line.typed}" for line in order.botanicals)
    spirits = (f"{_labelled(line)}, {line.typed_volume}" for line in order.spirits)
    tools = "scale, measuring cylinder, tape and pen"
    return "; ".join([*solids, *spirits, f"{jar_of(planned)} with a lid", tools]) + "."


def _steps(planned: Planned, today: date) -> list[str]:
    days = planned.known["days"]
    strain_on, taste_on = (
        today + timedelta(days=n) for n in (round(days.value), planned.taste_from_day)
    )
    return [
        "Weigh the empty jar with its lid, and write that on a strip of tape.",
        *_solid_steps(planned),
        *_pour_steps(planned.order),
        "See that every piece is under the liquid. Close the lid and shake.",
        "Weigh the closed jar and write that down too: on the strain day it shows what evaporated.",
        "Write the code on tape and stick it on: it is given when you charge or keep the plan.",
        f"Taste from {_day(taste_on)}. Stir as reminded.",
        f"Strain on {_day(strain_on)} ({days.source}).",
    ]


def _solid_steps(planned: Planned) -> list[str]:
    lines = planned.order.botanicals
    steps = []
    for line, how in zip(lines, planned.preparations, strict=True):
        if how:
            steps.append(how if len(lines) == 1 else f"{line.name}: {how}")
        weighed = line.typed if len(lines) == 1 else f"{line.typed} of {line.name}"
        steps.append(
            f"Set the scale to zero with the bowl on it, weigh {weighed}, and put it in the jar."
        )
    return steps


def _pour_steps(order: Order) -> list[str]:
    if len(order.spirits) == 1:
        return [f"Pour {poured(order)} over it."]
    return [
        f"Measure {poured(order)}: by the cylinder or, better, by the grams.",
        f"Mix the two: {mixed(order)}.",
        "Mixing warms it: let it cool, then pour it over the solids.",  # from memory
    ]


def _day(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B}"
