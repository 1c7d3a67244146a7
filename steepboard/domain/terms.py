"""What a plan is asked with; a jar and all in it scale with its botanicals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf

from steepboard.domain import guards
from steepboard.domain.alcohol import Dilution
from steepboard.domain.expected import Expected, Held, expected_yield, held_ml
from steepboard.domain.liquor import SOLIDS_ML_PER_G, Liquor, Pour, Solid, fill_ml, liquor
from steepboard.domain.plan_findings import KEEPS, VESSEL_FULL
from steepboard.domain.ratio import house_ratio
from steepboard.domain.solvent import made_from
from steepboard.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class Material:
    """What a plan needs to know of a botanical; see `Solid` and `Held` for the figures."""

    moisture: float
    soluble: float
    held_ml_per_g: float
    held_u: float = 0.0
    fresh: bool = False
    per_dry: bool = False
    usual_ratio: tuple[float, float] | None = None
    """The least and the most mL of solvent for each gram, where they are known."""
    moisture_u: float = 0.0
    soluble_u: float = 0.0
    parts: float = 1.0
    """Its parts by mass among the botanicals of the jar."""

    @property
    def held(self) -> Held:
        """What its spent solids hold."""
        return Held(self.held_ml_per_g, self.held_u, self.per_dry)

    def solid(self, mass_g: float, mass_u_g: float = 0.0) -> Solid:
        """Return so much of it as a jar is charged with."""
        return Solid(
            mass_g,
            self.moisture,
            self.soluble,
            self.moisture_u,
            self.soluble_u,
            mass_u_g,
            fresh=self.fresh,
        )


@dataclass(frozen=True, slots=True)
class Tools:
    """Standard uncertainties of scales, cylinder and label; none where nothing is said."""

    mass_u_g: float = 0.0
    volume_u_ml: float = 0.0
    strength_u: float = 0.0
    heavy_mass_u_g: float = 0.0
    """Of what weighs more than `fine_most_g`, which the fine scale does not bear."""
    fine_most_g: float = inf

    def weighed_u_g(self, mass_g: float) -> float:
        """Return the standard uncertainty of so much, weighed."""
        return self.mass_u_g if mass_g <= self.fine_most_g else self.heavy_mass_u_g


@dataclass(frozen=True)
class Terms:
    """What a jar is planned with: one botanical or several, and a solvent, poured or made.

    Raises `OutOfRange` or `TooStrong` for what no jar can be planned with.
    """

    strength: float
    materials: tuple[Material, ...]
    kept_ml: float
    kept_u_ml: float = 0.0
    ratio: float | None = None
    """mL of solvent at 20 °C for each gram of botanicals; None takes the house rule's."""
    vessel_ml: float | None = None
    made_from: float | None = None
    """Strength of the spirit that is let down with water on the spot; None pours it as it is."""
    room_c: float = 20.0
    """At which spirit and water are measured; a spirit poured as it is counts as at 20 °C."""
    tools: Tools = Tools()
    keeps: float = KEEPS
    solids_ml_per_g: float = SOLIDS_ML_PER_G

    def __post_init__(self) -> None:
        """Refuse terms that no jar can be planned on."""
        guards.fraction("strength", self.strength)
        guards.not_negative("volume kept by filter and vessel", self.kept_ml)
        if self.ratio is not None:
            guards.positive("ratio", self.ratio)
        if self.vessel_ml is not None:
            guards.positive("volume of the jar", self.vessel_ml)
        if not self.materials:
            raise OutOfRange("number of botanicals", 0, "at least one")
        for material in self.materials:
            guards.positive("parts of a botanical", material.parts)
        if self.made_from is not None:
            made_from(self.made_from, self.strength, 1.0, self.room_c)

    @property
    def n(self) -> float:
        """The ratio that holds, in mL for each gram."""
        return house_ratio(self.strength) if self.ratio is None else self.ratio

    @property
    def held(self) -> tuple[Held, ...]:
        """What the spent solids hold, one entry for each botanical."""
        return tuple(material.held for material in self.materials)

    def holding(self, held: Sequence[Held]) -> Terms:
        """Return these terms with solids that hold so much, one entry for each botanical."""
        materials = (
            replace(m, held_ml_per_g=h.ml_per_g, held_u=h.u, per_dry=h.per_dry)
            for m, h in zip(self.materials, held, strict=True)
        )
        return replace(self, materials=tuple(materials))

    @cached_property
    def made_per_ml(self) -> Dilution | None:
        """Return spirit and water of each mL of solvent, where it is made on the spot."""
        if self.made_from is None:
            return None
        return made_from(self.made_from, self.strength, 1.0, self.room_c)

    @cached_property
    def yielded_ml_per_g(self) -> float:
        """Return the mL that each gram of botanicals gives, before filter and vessel."""
        solids = self.solids(1.0)
        return self.liquor(1.0).volume_ml - held_ml(solids, self.held)

    def solids(self, botanical_g: float) -> tuple[Solid, ...]:
        """Return the botanicals of a jar with so much of them together."""
        parts = sum(material.parts for material in self.materials)
        masses_g = [botanical_g * material.parts / parts for material in self.materials]
        return tuple(
            material.solid(mass_g, self.tools.weighed_u_g(mass_g))
            for material, mass_g in zip(self.materials, masses_g, strict=True)
        )

    def pours(self, botanical_g: float) -> tuple[Pour, ...]:
        """Return what is poured on so much botanical."""
        solvent_ml, tools, made = self.n * botanical_g, self.tools, self.made_per_ml
        if made is None:
            return (_pour(solvent_ml, self.strength, 20.0, tools),)
        assert self.made_from is not None  # noqa: S101 - it was made from it
        return (
            _pour(solvent_ml * made.spirit_ml, self.made_from, self.room_c, tools),
            _pour(solvent_ml * made.water_ml, 0.0, self.room_c, tools),
        )

    def liquor(self, botanical_g: float) -> Liquor:
        """Return the liquid in a jar with so much botanical."""
        return liquor(self.solids(botanical_g), self.pours(botanical_g), self.solids_ml_per_g)

    def fill_ml(self, botanical_g: float) -> float:
        """Return what liquid and solids fill, in mL."""
        return fill_ml(self.solids(botanical_g), self.liquor(botanical_g))

    def expected(self, botanical_g: float) -> Expected:
        """Return what so much botanical should bottle."""
        return expected_yield(
            self.solids(botanical_g),
            self.pours(botanical_g),
            self.held,
            self.kept_ml,
            self.kept_u_ml,
            solids_ml_per_g=self.solids_ml_per_g,
        )

    def limits_g(self, botanical_g: float | None, spirit_ml: float | None) -> dict[str, float]:
        """Return how much botanical each thing in hand is enough for, by its name.

        `spirit_ml` is of the spirit in the bottle: the stronger one, where the solvent is made.
        """
        limits = {}
        if botanical_g is not None:
            limits["botanical"] = guards.positive("mass of botanical", botanical_g)
        if spirit_ml is not None:
            spirit = self.pours(1.0)[0]
            limits["spirit"] = guards.positive("volume of spirit", spirit_ml) / spirit.volume_ml
        if self.vessel_ml is not None:
            limits["vessel"] = VESSEL_FULL * self.vessel_ml / self.fill_ml(1.0)
        return limits


def _pour(volume_ml: float, strength: float, temperature_c: float, tools: Tools) -> Pour:
    """Return a pour with the ± of its cylinder, and of its label where it is a spirit."""
    u = tools.strength_u if 0.0 < strength < 1.0 else 0.0
    return Pour(volume_ml, strength, temperature_c, tools.volume_u_ml, u)
