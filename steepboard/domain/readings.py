"""What was read while straining."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from steepboard.domain import guards


@dataclass(frozen=True, slots=True)
class Measured:
    """One reading, and the smallest step of the instrument in the same unit."""

    value: float
    resolution: float

    def __post_init__(self) -> None:
        """Refuse what no instrument shows."""
        guards.not_negative("reading", self.value)
        guards.not_negative("resolution", self.resolution)

    @property
    def u(self) -> float:
        """Standard uncertainty: half a step, spread evenly (GUM, JCGM 100:2008, 4.3.7)."""
        return self.resolution / 2.0 / sqrt(3.0)


@dataclass(frozen=True, slots=True)
class Readings:
    """The readings of a straining, each of them optional; mL at 20 °C."""

    recovered_ml: Measured | None = None
    recovered_g: Measured | None = None
    drained_ml: Measured | None = None
    pressed_ml: Measured | None = None
    """What pressing brought on top of what had drained."""
    marc_g: Measured | None = None
    """Wet spent solids, without their cloth."""
    filter_before_g: Measured | None = None
    filter_after_g: Measured | None = None
    sediment_ml: Measured | None = None
    sampled_ml: Measured | None = None
    """Taken for tasting between charging and straining."""
    gross_charged_g: Measured | None = None
    """The closed jar after charging."""
    gross_before_g: Measured | None = None
    """The same closed jar before straining."""

    @property
    def is_final(self) -> bool:
        """Whether what came out in the end was read, not only what drained."""
        return self.recovered_ml is not None or self.recovered_g is not None

    @property
    def recovered_is_read(self) -> bool:
        """Whether anything that came out was read."""
        return self.is_final or self.drained_ml is not None or self.pressed_ml is not None

    @property
    def marc_is_read(self) -> bool:
        """Whether the spent solids were weighed."""
        return self.marc_g is not None

    @property
    def filter_is_read(self) -> bool:
        """Whether the filter was weighed before and after."""
        return self.filter_before_g is not None and self.filter_after_g is not None

    def recovered_g_at(self, density_g_ml: float) -> float:
        """Return what was recovered in g: by the scale, else by volume, else what drained."""
        if self.recovered_g is not None:
            return self.recovered_g.value
        if self.recovered_ml is not None:
            return self.recovered_ml.value * density_g_ml
        stages = (self.drained_ml, self.pressed_ml)
        return sum(stage.value for stage in stages if stage is not None) * density_g_ml
