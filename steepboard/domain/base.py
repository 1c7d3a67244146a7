"""What a tincture goes into: a drink, a sample on the bench, a whole blend."""

from __future__ import annotations

from dataclasses import dataclass, replace

from steepboard.domain import guards
from steepboard.domain.mixing import Liquid


@dataclass(frozen=True, slots=True)
class Base:
    """A liquid by what was told of it."""

    name: str
    volume_ml: float
    """At 20 °C, without what goes into it."""
    strength: float = 0.0
    """By volume at 20 °C."""
    sugar_g_l: float = 0.0
    """g in a litre of it."""

    def __post_init__(self) -> None:
        """Refuse what no base can be."""
        guards.positive("volume", self.volume_ml)
        guards.fraction("strength", self.strength)
        guards.within("sugar", self.sugar_g_l, 0.0, 900.0, "from 0 to 900 g/L")

    @property
    def liquid(self) -> Liquid:
        """What a mL of it holds."""
        return Liquid(self.strength, self.sugar_g_l / 1e3)

    def of(self, volume_ml: float) -> Base:
        """Return so much of the same."""
        return replace(self, volume_ml=volume_ml)
