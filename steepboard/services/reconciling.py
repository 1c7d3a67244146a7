"""What each stage of a batch yielded, beside what it would have with nothing lost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from steepboard.domain.readings import Measured
from steepboard.domain.records import Measure
from steepboard.services import bottle_shelf, straining
from steepboard.services.details import details

if TYPE_CHECKING:
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk


_ADDING = frozenset({"drained and pressed", "rinsed"})


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage; volumes in mL at 20 °C, ± one standard uncertainty."""

    name: str
    found_ml: float
    found_u_ml: float
    theoretical_ml: float
    """All that was in the jar, and from the rinse on what was poured on the solids too."""
    before_ml: float | None
    """What the stage before yielded; None where a stage adds to it instead of passing it on."""


def reconciliation(desk: Desk, jar: Jar) -> tuple[Stage, ...]:
    """Return the stages that were read, from the charge to the bottles.

    A liquid that was only weighed is taken at the density of the liquor.
    """
    stages: list[Stage] = []
    for name, found_ml, u_ml, theoretical_ml in _found(desk, jar):
        before_ml = stages[-1].found_ml if stages and name not in _ADDING else None
        stages.append(Stage(name, found_ml, u_ml, theoretical_ml, before_ml))
    return tuple(stages)


def _found(desk: Desk, jar: Jar) -> Iterator[tuple[str, float, float, float]]:
    """Yield name, mL, ± and theoretical mL of each stage that was read."""
    made, balance = details(desk, jar).liquor, straining.balance(desk, jar)
    whole_ml = balance.liquor.ml if balance else made.volume_ml
    whole_u_ml = balance.liquor.ml_u if balance else 0.0
    yield "charged: liquor in the jar", whole_ml, whole_u_ml, whole_ml
    drained = _read(jar, Measure.DRAINED, Measure.DRAINED_MASS, made.density_g_ml)
    pressed = _read(jar, Measure.PRESSED, Measure.PRESSED_MASS, made.density_g_ml)
    washed = _read(jar, Measure.WASHED_OUT, None, made.density_g_ml)
    out_ml, out_u_ml = 0.0, 0.0
    for name, part in (("drained", drained), ("drained and pressed", pressed), ("rinsed", washed)):
        if part is None:
            continue
        out_ml, out_u_ml = out_ml + part[0], hypot(out_u_ml, part[1])
        if name == "rinsed" and balance and balance.rinse:
            whole_ml += balance.rinse.ml
        yield name, out_ml, out_u_ml, whole_ml
    filtered = _read(jar, Measure.FILTERED, Measure.FILTERED_MASS, made.density_g_ml)
    if filtered:
        yield "filtered", *filtered, whole_ml
    if balance and (recovered := bottle_shelf.recovered(desk, jar)):
        yield "settled and recovered", *recovered, whole_ml
    rest = bottle_shelf.rest(desk, jar)
    if rest and rest.bottled_ml > 0.0:
        yield "in bottles", rest.bottled_ml, rest.bottled_u_ml, whole_ml


def _read(
    jar: Jar, volume: Measure, mass: Measure | None, g_ml: float
) -> tuple[float, float] | None:
    """Return the mL that were read and their ±; the scale is believed before the cylinder."""
    weighed = jar.reading(mass) if mass else None
    if weighed:
        read = Measured(weighed.value, weighed.resolution)
        return read.value / g_ml, read.u / g_ml
    poured = jar.reading(volume)
    return (poured.value, Measured(poured.value, poured.resolution).u) if poured else None
