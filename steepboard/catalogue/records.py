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
    """What is known of one botanical; moisture and soluble are fractions (see BotanicalLine).

    What is None is not known; each `…_source` says where its group of values comes from.
    """

    id: str
    name: str
    latin: str
    part: str
    form: str
    """As it is bought or made ready, say `dried, cut`."""
    material_class: str
    aliases: tuple[str, ...]
    fresh: bool
    identity_source: str
    """Of all of the above."""
    preparation: str
    preparation_source: str
    moisture: Sourced
    soluble: Sourced
    ratio_min: float | None
    """mL of solvent for each gram as weighed."""
    ratio_max: float | None
    ratio_source: str
    strength_min: float | None
    """Of the solvent, as a fraction by volume."""
    strength_max: float | None
    strength_source: str
    days_min: float | None
    days_typical: float | None
    days_max: float | None
    taste_from_day: float | None
    days_source: str
    pungency: int | None
    """0 none, 1 slight, 2 clear, 3 strong; like `bitterness`."""
    bitterness: int | None
    taste_source: str
    allergens_eu: tuple[str, ...]
    """What the list of the EU wants named."""
    allergens_us: tuple[str, ...]
    allergen_source: str
    cautions: tuple[str, ...]
    """Codes, for `caution`."""
    cautions_source: str
    use: str
    """`usual`, `with care`, `poor choice` or `never`."""
    fresh_soft: bool
    """Whether the fresh material is soft and tires within hours or days."""
    fresh_note: str
    note: str
    use_source: str
    """Of `use` and the notes."""
    own: bool = False
    """Whether something of it is the shelf's own."""


@dataclass(frozen=True, slots=True)
class Spirit:
    """A spirit to steep in; `strength` is a fraction by volume at 20 °C."""

    id: str
    name: str
    aliases: tuple[str, ...]
    strength: float
    source: str
    note: str = ""
    own: bool = False
    """Whether something of it is the shelf's own."""


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
