"""What the catalogue knows, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt


@dataclass(frozen=True, slots=True)
class Sourced:
    """A figure with the range it is known to lie in, and where it comes from."""

    value: float
    low: float
    high: float
    source: str

    @property
    def u(self) -> float:
        """The standard uncertainty, by `uniform_u`."""
        return uniform_u(self.value, self.low, self.high)


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure with its standard uncertainty, and where it comes from."""

    value: float
    u: float
    source: str


@dataclass(frozen=True, slots=True)
class Botanical:
    """What is known of one botanical; moisture and soluble are fractions (see BotanicalLine)."""

    id: str
    name: str
    latin: str
    part: str
    material_class: str
    aliases: tuple[str, ...]
    fresh: bool
    moisture: Sourced
    soluble: Sourced
    ratio_min: float
    """mL of solvent for each gram as weighed."""
    ratio_max: float
    ratio_source: str
    days_min: float
    days_typical: float
    days_max: float
    taste_from_day: float
    days_source: str
    preparation: str
    cautions: tuple[str, ...]
    """Codes, for `caution`."""


@dataclass(frozen=True, slots=True)
class Absorption:
    """What a material holds back, in mL per gram: of dry matter, or as charged."""

    mean: float
    sd: float
    per_dry: bool
    source: str


@dataclass(frozen=True, slots=True)
class Caution:
    """What to mind with a botanical or in a situation."""

    code: str
    title: str
    severity: str
    """`note`, `warn`, `limit` or `stop`."""
    text: str
    figures: str
    authority: str
    obtained: str
    """How it came here: `read`, `from memory` and the like."""
    substances: tuple[str, ...]
    """What a dose sum is made for."""
    needs_acknowledging: bool
    """Whether a person must say they read it before a jar is charged; kept with the jar."""


def uniform_u(value: float, low: float, high: float) -> float:
    """Return the standard uncertainty of `value` for what may lie anywhere from `low` to `high`.

    Half the width over the root of 3 (GUM, JCGM 100:2008, 4.3.7). A value off the middle adds its
    distance from it, in squares: together the root mean square of all that may be wrong.
    """
    return hypot((high - low) / 2 / sqrt(3), (low + high) / 2 - value)
