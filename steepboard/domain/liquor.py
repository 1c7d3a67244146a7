"""What is in the jar: spirit, plant water and dissolved solids at equilibrium."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from steepboard.domain import alcohol, guards
from steepboard.domain.roots import root_between
from steepboard.errors import NothingWeighed, OutOfRange

SOLIDS_ML_PER_G = 0.62
"""Volume that a gram of dissolved, sugar-like solids takes up. From memory."""

SOLIDS_ML_PER_G_U = 0.03
"""± of it. Assumed: covers sugars and most plant salts."""

WALL_DENSITY_G_ML = 1.5
"""Dry plant matter without its pores. From memory."""

_MOST_DISSOLVED = 1.0
"""g per mL; assumed, more than any syrup."""

_NOISE_G_ML = 1e-12  # what rounding may add to a density


@dataclass(frozen=True, slots=True)
class Solid:
    """One botanical as weighed; `moisture` of the mass, `soluble` of the dry mass, with ±."""

    mass_g: float
    moisture: float
    soluble: float
    moisture_u: float = 0.0
    soluble_u: float = 0.0
    mass_u_g: float = 0.0
    fresh: bool = False

    def __post_init__(self) -> None:
        """Refuse what no botanical can be."""
        guards.not_negative("mass", self.mass_g)
        guards.fraction("moisture", self.moisture)
        guards.fraction("soluble part", self.soluble)
        guards.not_negative("uncertainty of the mass", self.mass_u_g)
        guards.not_negative("uncertainty of the moisture", self.moisture_u)
        guards.not_negative("uncertainty of the soluble part", self.soluble_u)

    @property
    def dry_g(self) -> float:
        """Dry mass in g."""
        return self.mass_g * (1.0 - self.moisture)

    @property
    def undissolved_g(self) -> float:
        """Dry mass in g that stays solid."""
        return self.dry_g * (1.0 - self.soluble)


@dataclass(frozen=True, slots=True)
class Pour:
    """One spirit (or water, strength 0) as measured, with ±."""

    volume_ml: float
    strength: float
    temperature_c: float = 20.0
    volume_u_ml: float = 0.0
    strength_u: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what nobody can pour."""
        guards.not_negative("volume", self.volume_ml)
        guards.fraction("strength", self.strength)
        guards.temperature(self.temperature_c)
        guards.not_negative("uncertainty of the volume", self.volume_u_ml)
        guards.not_negative("uncertainty of the strength", self.strength_u)


@dataclass(frozen=True, slots=True)
class Liquor:
    """The liquid in a jar; masses in g, the volume in mL at 20 °C."""

    ethanol_g: float
    water_g: float
    dissolved_g: float
    solids_ml_per_g: float = SOLIDS_ML_PER_G

    @property
    def mass_g(self) -> float:
        """Mass in g."""
        return self.ethanol_g + self.water_g + self.dissolved_g

    @property
    def mass_fraction(self) -> float:
        """Ethanol's share of the mass, dissolved solids left out."""
        return self.ethanol_g / (self.ethanol_g + self.water_g)

    @property
    def volume_ml(self) -> float:
        """Volume in mL at 20 °C: the mix, and what the dissolved solids add to it."""
        mix_ml = (self.ethanol_g + self.water_g) / alcohol.density_kg_m3(self.mass_fraction) * 1e3
        return mix_ml + self.dissolved_g * self.solids_ml_per_g

    @property
    def density_g_ml(self) -> float:
        """Density in g/mL at 20 °C."""
        return self.mass_g / self.volume_ml

    @property
    def true_strength(self) -> float:
        """Alcohol by volume at 20 °C of the liquor with its solids."""
        return self.ethanol_g / alcohol.ETHANOL_DENSITY_KG_M3 * 1e3 / self.volume_ml

    @property
    def solids_free_strength(self) -> float:
        """Alcohol by volume at 20 °C of its ethanol and water alone."""
        return alcohol.strength_of(self.mass_fraction)

    @property
    def apparent_strength(self) -> float | None:
        """What a hydrometer reads at 20 °C; None where the liquor is too dense for one to read."""
        return _strength_reading(self.density_g_ml * 1e3, 20.0)

    def apparent_at(self, temperature_c: float) -> float | None:
        """Return what a 20 °C glass hydrometer reads in it at this temperature, None as above."""
        dissolved = self.dissolved_g / self.volume_ml
        mix_ml = 1.0 - dissolved * self.solids_ml_per_g
        density = _warm_density(self.mass_fraction, temperature_c, dissolved, mix_ml)
        return _strength_reading(density * 1e3, temperature_c)


def liquor(
    solids: Sequence[Solid], pours: Sequence[Pour], solids_ml_per_g: float = SOLIDS_ML_PER_G
) -> Liquor:
    """Return the liquor that these make once everything soluble is dissolved.

    Raises `NothingWeighed` where nothing was poured.
    """
    guards.not_negative("volume of dissolved solids per gram", solids_ml_per_g)
    ethanol_g = water_g = 0.0
    for pour in pours:
        ethanol, water = _parts_g_per_ml(pour.strength, pour.temperature_c)
        ethanol_g += ethanol * pour.volume_ml
        water_g += water * pour.volume_ml
    if ethanol_g + water_g <= 0.0:
        raise NothingWeighed("spirit", "a jar needs at least one pour of more than 0 mL")
    water_g += sum(s.mass_g * s.moisture for s in solids)
    dissolved_g = sum(s.dry_g * s.soluble for s in solids)
    return Liquor(ethanol_g, water_g, dissolved_g, solids_ml_per_g)


def fill_ml(solids: Sequence[Solid], made: Liquor) -> float:
    """Return what liquor and undissolved solids fill together, in mL at 20 °C."""
    return made.volume_ml + sum(s.undissolved_g for s in solids) / WALL_DENSITY_G_ML


def true_from_apparent(
    apparent_strength: float,
    temperature_c: float,
    dissolved_g_per_ml: float,
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
) -> float:
    """Return the true strength of a liquor in which a 20 °C glass hydrometer reads this.

    `dissolved_g_per_ml` counts per mL at 20 °C; the solids' own volume is taken not to change
    with temperature (assumed). Raises `OutOfRange` where no liquor with so much could read so.
    """
    mix_ml = _mix_share(dissolved_g_per_ml, solids_ml_per_g)
    read = alcohol.hydrometer_density_kg_m3(apparent_strength, temperature_c) / 1e3

    def excess(mass_fraction: float) -> float:
        return _warm_density(mass_fraction, temperature_c, dissolved_g_per_ml, mix_ml) - read

    if excess(0.0) < 0.0 or excess(1.0) > 0.0:
        allowed = "one that some spirit with these dissolved solids could show"
        raise OutOfRange("hydrometer reading", apparent_strength, allowed)
    return mix_ml * alcohol.strength_of(root_between(excess, 0.0, 1.0))


def apparent_from_true(
    true_strength: float,
    temperature_c: float,
    dissolved_g_per_ml: float,
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
) -> float | None:
    """Return what a 20 °C glass hydrometer reads, the reverse of `true_from_apparent`.

    None where the liquor is too dense for one to read.
    """
    mix_ml = _mix_share(dissolved_g_per_ml, solids_ml_per_g)
    guards.within("strength", true_strength, 0.0, mix_ml, f"from 0 to {mix_ml:.3f} with its solids")
    mass_fraction = alcohol.mass_fraction_of(true_strength / mix_ml)
    density = _warm_density(mass_fraction, temperature_c, dissolved_g_per_ml, mix_ml)
    return _strength_reading(density * 1e3, temperature_c)


@lru_cache(maxsize=256)
def _parts_g_per_ml(strength: float, temperature_c: float) -> tuple[float, float]:
    """Return the grams of ethanol and of water in a mL of spirit read at `temperature_c`."""
    mass_fraction = alcohol.mass_fraction_of(strength)
    g_per_ml = alcohol.density_kg_m3(mass_fraction, temperature_c) / 1e3
    return g_per_ml * mass_fraction, g_per_ml * (1.0 - mass_fraction)


def dissolved_from_apparent(
    apparent_strength: float,
    temperature_c: float,
    true_strength: float,
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
) -> float:
    """Return the dissolved solids in g per mL that hide so much from a 20 °C glass hydrometer.

    Raises `OutOfRange` where spirit of this true strength shows less even without solids.
    """
    guards.fraction("strength", true_strength)
    read = alcohol.hydrometer_density_kg_m3(apparent_strength, temperature_c) / 1e3

    def excess(dissolved: float) -> float:
        mix_ml = 1.0 - dissolved * solids_ml_per_g
        mass_fraction = alcohol.mass_fraction_of(min(1.0, true_strength / mix_ml))
        return _warm_density(mass_fraction, temperature_c, dissolved, mix_ml) - read

    most = min(_MOST_DISSOLVED, (1.0 - true_strength) / max(solids_ml_per_g, 1e-9))
    if abs(excess(0.0)) <= _NOISE_G_ML:
        return 0.0
    if most <= 0.0 or excess(0.0) > 0.0 or excess(most) < 0.0:
        allowed = "one that this spirit with some dissolved solids could show"
        raise OutOfRange("hydrometer reading", apparent_strength, allowed)
    return root_between(excess, 0.0, most)


def _mix_share(dissolved_g_per_ml: float, solids_ml_per_g: float) -> float:
    """Return the mL of ethanol and water in a mL of liquor."""
    guards.not_negative("dissolved solids per mL", dissolved_g_per_ml)
    guards.not_negative("volume of dissolved solids per gram", solids_ml_per_g)
    share = 1.0 - dissolved_g_per_ml * solids_ml_per_g
    if share <= 0.0:
        raise OutOfRange("dissolved solids per mL", dissolved_g_per_ml, "less than fills the mL")
    return share


def _warm_density(
    mass_fraction: float, temperature_c: float, dissolved_g: float, mix_ml: float
) -> float:
    """Return the density in g/mL at `temperature_c` of what is one mL at 20 °C."""
    cool = alcohol.density_kg_m3(mass_fraction)
    warm = alcohol.density_kg_m3(mass_fraction, temperature_c)
    return (mix_ml * cool / 1e3 + dissolved_g) / (mix_ml * cool / warm + 1.0 - mix_ml)


def _strength_reading(density: float, temperature_c: float) -> float | None:
    """Return what a 20 °C glass hydrometer shows in a liquid of this density in kg/m³."""
    as_if_cool = density / alcohol.glass_factor(temperature_c)
    if not alcohol.ETHANOL_DENSITY_KG_M3 <= as_if_cool <= alcohol.density_kg_m3(0.0):
        return None
    return alcohol.strength_of(alcohol.mass_fraction_at_density(as_if_cool))
