"""House doses, and the drops and dashes they are poured by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from math import hypot, sqrt

from steepboard.domain import guards
from steepboard.domain.base import Base
from steepboard.domain.figures import percent
from steepboard.domain.findings import Finding, Severity
from steepboard.domain.liquor import SOLIDS_ML_PER_G
from steepboard.domain.mixing import Liquid, content, mixed
from steepboard.domain.ratio import convert_dose
from steepboard.domain.readings import Measured

REPEAT = 0.15 / sqrt(3.0)
"""± of what one and the same dropper gives from use to use, as a part of it. Published: USP 32,
chapter 1101, wants a calibrated dropper to be within 15 %; taken as spread evenly."""

MOST_DROPS = 10_000
"""Counted at one go; assumed, nobody counts further."""

_SAME = 0.10  # strengths this near to each other give drops of one size; assumed
_SCALED = 0.20  # ± of a drop reckoned from another strength, as a part of it; assumed
_COARSE = 0.10  # a dose that whole drops miss by more is told; assumed, as a tongue tells it


class Tool(StrEnum):
    """By what small amounts are poured."""

    DROP = "drop"
    DASH = "dash"


@dataclass(frozen=True, slots=True)
class Usual:
    """How many drops or dashes of a liquid of this strength go to the mL, until calibrated."""

    strength: float
    least_per_ml: float
    most_per_ml: float
    source: str


@dataclass(frozen=True, slots=True)
class Dropper:
    """A dropper or dasher of the house, calibrated."""

    name: str
    tool: Tool
    each_ml: float
    """What one drop or dash holds."""
    u: float
    """± of that as a part of it, of the calibration alone."""
    strength: float
    """Of the liquid that it was calibrated with."""
    how: str
    """`87 drops to 2 mL`."""


@dataclass(frozen=True, slots=True)
class Portion:
    """What one drop or dash of a liquid holds."""

    name: str
    """The dropper's, or `drop` or `dash` where none is calibrated."""
    tool: Tool
    each_ml: float
    u: float
    """± of it as a part of it."""
    source: str

    @property
    def per_ml(self) -> float:
        """How many go to the mL."""
        return 1.0 / self.each_ml

    def words(self, count: int) -> str:
        """Return so many of it in words: `1 drop`, `2 dashes`."""
        many = "dashes" if self.tool is Tool.DASH else "drops"
        return f"{count} {self.tool.value if count == 1 else many}"


@dataclass(frozen=True, slots=True)
class HouseDose:
    """What goes into a drink of a tincture of the reference intensity."""

    name: str
    of: str
    """Name of the tincture, as its bottles have it."""
    gives: str
    """What it does: a syrup it stands for, a bitter edge, heat."""
    volume_ml: float
    intensity: float
    """Of the tincture that the dose was settled with (`ratio.intensity`)."""
    drink: Base | None = None
    """The drink without it, where that is known."""


@dataclass(frozen=True, slots=True)
class Counted:
    """A volume as whole drops or dashes."""

    portion: Portion
    exact: float
    whole: int

    @property
    def volume_ml(self) -> float:
        """What the whole ones hold."""
        return self.whole * self.portion.each_ml

    @property
    def off(self) -> float:
        """By which part that is more than was wanted."""
        return self.whole / self.exact - 1.0

    @property
    def said_off(self) -> str:
        """The same in words, to follow their number; empty under half a percent."""
        return f", {100 * self.off:+.0f} % of the dose" if abs(self.off) >= 0.005 else ""

    @property
    def is_coarse(self) -> bool:
        """Whether whole ones miss the dose by more than is told."""
        return abs(self.off) > _COARSE


@dataclass(frozen=True, slots=True)
class Added:
    """What a dose brings into a drink."""

    ethanol_ml: float
    ethanol_g: float
    drink_ml: float
    """With the dose in it."""
    strength_before: float
    strength_after: float
    ml_per_l: float
    """mL of the dose in a litre of the drink with it."""


def counted_out(count: int, volume: Measured) -> tuple[float, float]:
    """Return what one drop holds in mL, and ± as a part of it, by counting them to a mark.

    The mark is passed somewhere within a drop. Raises `OutOfRange`.
    """
    _enough(count)
    guards.positive("volume", volume.value)
    return volume.value / count, hypot(volume.u / volume.value, 0.5 / sqrt(3.0) / count)


def weighed_out(
    count: int, mass: Measured, density_g_ml: float, density_u_g_ml: float = 0.0
) -> tuple[float, float]:
    """Return what one drop holds in mL, and ± as a part of it, by weighing so many.

    Raises `OutOfRange`.
    """
    _enough(count)
    guards.positive("mass", mass.value)
    guards.positive("density", density_g_ml)
    u = hypot(mass.u / mass.value, density_u_g_ml / density_g_ml)
    return mass.value / density_g_ml / count, u


def usual_portion(tool: Tool, strength: float, usual: Sequence[Usual]) -> Portion:
    """Return what a drop or dash is taken to hold as long as none was calibrated.

    Its ± is that of droppers among themselves, spread evenly, and of one from use to use.
    """
    guards.fraction("strength", strength)
    least, most, source = _between(strength, usual)
    per_ml = (least + most) / 2.0
    u = hypot((most - least) / 2.0 / sqrt(3.0) / per_ml, REPEAT)
    return Portion(tool.value, tool, 1.0 / per_ml, u, source)


def portion_of(dropper: Dropper, strength: float, usual: Sequence[Usual]) -> Portion:
    """Return what a drop of a liquid of this strength holds from a calibrated dropper.

    A strength far from the one it was calibrated with is allowed for by the usual figures.
    """
    each_ml, u, source = dropper.each_ml, dropper.u, f"measured here: {dropper.how}"
    if abs(strength - dropper.strength) > _SAME:
        then, now = (_between(one, usual) for one in (dropper.strength, strength))
        each_ml *= (then[0] + then[1]) / (now[0] + now[1])
        u = hypot(u, _SCALED)
        source += f" with {percent(dropper.strength, 0)}, reckoned to {percent(strength, 0)}"
    return Portion(dropper.name, dropper.tool, each_ml, hypot(u, REPEAT), source)


def converted_ml(dose: HouseDose, intensity: float) -> float:
    """Return the mL that do with a tincture of this intensity what the dose does."""
    return convert_dose(dose.volume_ml, dose.intensity, intensity)


def counted(volume_ml: float, portion: Portion) -> Counted:
    """Return a volume in drops or dashes, at least one."""
    guards.positive("volume", volume_ml)
    exact = volume_ml / portion.each_ml
    return Counted(portion, exact, max(1, round(exact)))


def dose_findings(found: Counted) -> tuple[Finding, ...]:
    """Return what there is to say of a dose in whole drops or dashes."""
    if not found.is_coarse:
        return ()
    more = "more" if found.off > 0.0 else "less"
    one = found.portion.tool.value
    text = (
        f"Whole {_plural(one)} are too coarse here: {found.whole} would be "
        f"{percent(abs(found.off), 0)} {more} than the dose. Measure it in mL."
    )
    return (Finding("dose_coarse", Severity.WARN, text),)


def added(
    liquid: Liquid, volume_ml: float, drink: Base, solids_ml_per_g: float = SOLIDS_ML_PER_G
) -> Added:
    """Return what so many mL of a tincture bring into a drink; grams add, volumes do not."""
    held = content(liquid, volume_ml, solids_ml_per_g)
    parts = [
        (drink.liquid, Measured(drink.volume_ml, 0.0)),
        (liquid, Measured(volume_ml, 0.0)),
    ]
    made, made_ml = mixed(parts, solids_ml_per_g)
    return Added(
        volume_ml * liquid.strength,
        held.ethanol_g,
        made_ml,
        drink.strength,
        made.strength,
        1e3 * volume_ml / made_ml,
    )


def _between(strength: float, usual: Sequence[Usual]) -> tuple[float, float, str]:
    """Return least and most to the mL at a strength, on a straight line between two figures."""
    for low, high in pairwise(usual):
        if strength <= high.strength:
            part = (strength - low.strength) / (high.strength - low.strength)
            least = low.least_per_ml + part * (high.least_per_ml - low.least_per_ml)
            most = low.most_per_ml + part * (high.most_per_ml - low.most_per_ml)
            return least, most, low.source if part < 0.5 else high.source
    last = usual[-1]
    return last.least_per_ml, last.most_per_ml, last.source


def _plural(word: str) -> str:
    return f"{word}es" if word.endswith("sh") else f"{word}s"


def _enough(count: int) -> None:
    guards.within("number of drops", count, 1, MOST_DROPS, f"a whole number from 1 to {MOST_DROPS}")
