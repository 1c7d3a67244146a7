"""What was read while straining."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from steepboard.domain import guards
from steepboard.domain.records import Measure


@dataclass(frozen=True, slots=True)
class Measured:
    """One reading, and the smallest step of the instrument in the same unit."""

    value: float
    resolution: float
    temperature_c: float = 20.0
    """Of what was measured; counts for a hydrometer alone."""

    def __post_init__(self) -> None:
        """Refuse what no instrument shows."""
        guards.not_negative("reading", self.value)
        guards.not_negative("resolution", self.resolution)
        guards.temperature(self.temperature_c)

    @property
    def u(self) -> float:
        """Standard uncertainty: half a step, spread evenly (GUM, JCGM 100:2008, 4.3.7)."""
        return self.resolution / 2.0 / sqrt(3.0)


@dataclass(frozen=True, slots=True)
class Readings:
    """The readings of a straining, each of them optional; mL at 20 °C.

    Where a liquid was read by volume and on the scale, the scale is believed.
    """

    drained_ml: Measured | None = None
    drained_g: Measured | None = None
    pressed_ml: Measured | None = None
    """What pressing brought on top of what had drained."""
    pressed_g: Measured | None = None
    filtered_ml: Measured | None = None
    """All that came through the fine filter, before it settled."""
    filtered_g: Measured | None = None
    recovered_ml: Measured | None = None
    """What was bottled in the end, rinses included."""
    recovered_g: Measured | None = None
    marc_g: Measured | None = None
    """Wet spent solids, without their cloth."""
    dry_marc_g: Measured | None = None
    """The same solids, dried until they lose no more."""
    filter_before_g: Measured | None = None
    filter_after_g: Measured | None = None
    sediment_ml: Measured | None = None
    sampled_ml: Measured | None = None
    """Taken for tasting between charging and straining."""
    gross_charged_g: Measured | None = None
    """The closed jar after charging."""
    gross_before_g: Measured | None = None
    """The same closed jar before straining."""
    hydrometer: Measured | None = None
    """Strength by volume that a 20 °C glass hydrometer shows in what was recovered."""
    residue_ml: Measured | None = None
    """Recovered liquid that was dried out, and what stayed of it."""
    residue_g: Measured | None = None
    wash_ml: Measured | None = None
    """Poured on the drained marc, all rinses together."""
    wash_strength: Measured | None = None
    """Of the rinse; the charge's own spirit where it was not read."""
    washed_out_ml: Measured | None = None
    """What came back of it."""

    @property
    def is_final(self) -> bool:
        """Whether what came out in the end was read."""
        return self.recovered_ml is not None or self.recovered_g is not None

    @property
    def is_filtered(self) -> bool:
        """Whether what was read last had gone through the fine filter."""
        return self.is_final or self.filtered_ml is not None or self.filtered_g is not None

    @property
    def recovered_is_read(self) -> bool:
        """Whether anything that came out was read."""
        stages = (self.drained_ml, self.drained_g, self.pressed_ml, self.pressed_g)
        return self.is_filtered or any(stage is not None for stage in stages)

    @property
    def marc_is_read(self) -> bool:
        """Whether the spent solids were weighed."""
        return self.marc_g is not None

    @property
    def filter_is_read(self) -> bool:
        """Whether the filter was weighed before and after."""
        return self.filter_before_g is not None and self.filter_after_g is not None

    @property
    def is_rinsed(self) -> bool:
        """Whether anything was poured on the drained solids."""
        return self.rinse_ml > 0.0

    @property
    def rinse_ml(self) -> float:
        """What was poured on the drained solids."""
        return self.wash_ml.value if self.wash_ml is not None else 0.0

    @property
    def rinse_brought_ml(self) -> float:
        """What came back of a rinse, or all of it where that was not read."""
        came_back = self.washed_out_ml or self.wash_ml
        return came_back.value if came_back is not None and self.is_rinsed else 0.0


FIELDS = {
    Measure.DRAINED: "drained_ml",
    Measure.DRAINED_MASS: "drained_g",
    Measure.PRESSED: "pressed_ml",
    Measure.PRESSED_MASS: "pressed_g",
    Measure.FILTERED: "filtered_ml",
    Measure.FILTERED_MASS: "filtered_g",
    Measure.RECOVERED: "recovered_ml",
    Measure.RECOVERED_MASS: "recovered_g",
    Measure.MARC: "marc_g",
    Measure.DRY_MARC: "dry_marc_g",
    Measure.FILTER_BEFORE: "filter_before_g",
    Measure.FILTER_AFTER: "filter_after_g",
    Measure.SEDIMENT: "sediment_ml",
    Measure.SAMPLED: "sampled_ml",
    Measure.GROSS_CHARGED: "gross_charged_g",
    Measure.GROSS_BEFORE: "gross_before_g",
    Measure.HYDROMETER: "hydrometer",
    Measure.RESIDUE_VOLUME: "residue_ml",
    Measure.RESIDUE: "residue_g",
    Measure.WASH: "wash_ml",
    Measure.WASH_STRENGTH: "wash_strength",
    Measure.WASHED_OUT: "washed_out_ml",
}
"""Where each measure stands in them."""
