"""Alcohol arithmetic: strength, mass, dilution and blends. Volumes do not add, masses do.

`strength` is a fraction by volume at 20 °C unless said otherwise, `mass_fraction` the ethanol's
share of the mass. Everything rests on the density formula of OIML R 22 (`oiml`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from steepboard.domain import guards
from steepboard.domain.oiml import density_kg_m3, falling_powers, value_at
from steepboard.domain.roots import root_between
from steepboard.errors import NothingWeighed, OutOfRange, TooStrong

__all__ = [
    "ETHANOL_DENSITY_KG_M3",
    "FLAMMABLE_C",
    "PROOF_SCALE_C",
    "Blend",
    "Dilution",
    "blend",
    "density_kg_m3",
    "dilute",
    "flash_point_c",
    "glass_factor",
    "hydrometer_density_kg_m3",
    "hydrometer_strength",
    "mass_fraction_at_density",
    "mass_fraction_of",
    "mass_g",
    "strength_from_proof",
    "strength_of",
    "volume_at_20_ml",
    "volume_ml",
]

ETHANOL_DENSITY_KG_M3 = density_kg_m3(1.0)
"""At 20 °C, computed: with the rounded 789.24 full strength would not be mass fraction 1."""

PROOF_SCALE_C = (60.0 - 32.0) / 1.8
"""US proof is twice the percent by volume at 60 °F. Published: 27 CFR 30.11."""

_TRACE = 1e-12  # a strength below what the root finder tells from water
_LEAST_TARGET = 1e-6  # assumed: weaker is water to any instrument
_NOISE = 1e-6  # kg/m³; what rounding may add to the density of a pure liquid

_GLASS_PER_K = 25e-6
"""Cubic expansion of a soda-lime glass hydrometer. From memory; met by US Gauging Table 1."""

FLAMMABLE_C = 60.0
"""Flash point up to which a liquid counts as flammable. Published: GHS/CLP, category 3."""

# Strength and °C. The widely copied list of flash points by percent, read as by volume: the lower
# of its two readings, as wants caution; 100 %: pure ethanol, from memory. Where a handbook figure
# from memory is lower still it is taken: 17 °C at 70 % (list 21), and so up to 90 % (list 20 at
# 80 %), as no stronger spirit is safer. 96 %: a later copy of the list; older ones have 17 °C.
_FLASH_POINTS = (
    (0.05, 62.0),
    (0.10, 49.0),
    (0.20, 36.0),
    (0.30, 29.0),
    (0.40, 26.0),
    (0.50, 24.0),
    (0.60, 22.0),
    (0.70, 17.0),
    (0.80, 17.0),
    (0.90, 17.0),
    (0.96, 13.0),
    (1.00, 13.0),
)


@dataclass(frozen=True, slots=True)
class Dilution:
    """A spirit and the water added to it; volumes at the temperature that was asked for."""

    spirit_ml: float
    spirit_g: float
    water_ml: float
    water_g: float
    total_ml: float
    """What they fill once mixed: less than their sum, mostly."""
    contraction_ml: float
    """What the two volumes shrink by; slightly negative where weak spirit swells."""


@dataclass(frozen=True, slots=True)
class Blend:
    """Several spirits poured together; volumes at the temperature that was asked for."""

    total_ml: float
    strength: float
    contraction_ml: float


def strength_of(mass_fraction: float, scale_c: float = 20.0) -> float:
    """Return the strength by volume at `scale_c` of a mixture of that mass fraction."""
    return mass_fraction * density_kg_m3(mass_fraction, scale_c) / density_kg_m3(1.0, scale_c)


def mass_fraction_of(strength: float, scale_c: float = 20.0) -> float:
    """Return the mass fraction, to 1e-12, of a strength by volume at `scale_c`."""
    guards.fraction("strength", strength)
    if strength < _TRACE:
        return 0.0
    pure = density_kg_m3(1.0, scale_c)
    powers = falling_powers(scale_c)
    return root_between(lambda p: p * value_at(p, powers) / pure - strength, 0.0, 1.0)


def mass_fraction_at_density(density: float, temperature_c: float = 20.0) -> float:
    """Return the mass fraction of the mixture that has this density in kg/m³ at `temperature_c`.

    Raises `OutOfRange` for a density that no mixture of the two has at that temperature.
    """
    lightest, heaviest = density_kg_m3(1.0, temperature_c), density_kg_m3(0.0, temperature_c)
    allowed = f"from {lightest:.2f} to {heaviest:.2f} kg/m³ at {temperature_c:g} °C"
    guards.within("density", density, lightest - _NOISE, heaviest + _NOISE, allowed)
    inside = min(max(density, lightest), heaviest)
    powers = falling_powers(temperature_c)
    return root_between(lambda p: value_at(p, powers) - inside, 0.0, 1.0)


def strength_from_proof(us_proof: float) -> float:
    """Return the strength at 20 °C of a spirit of that US proof (percent at 60 °F, doubled)."""
    guards.within("proof", us_proof, 0.0, 200.0, "from 0 to 200")
    return strength_of(mass_fraction_of(us_proof / 200.0, PROOF_SCALE_C))


def mass_g(volume_ml: float, strength: float, temperature_c: float = 20.0) -> float:
    """Return the mass in g of a volume in mL that was read at `temperature_c`."""
    guards.not_negative("volume", volume_ml)
    return volume_ml * density_kg_m3(mass_fraction_of(strength), temperature_c) / 1000.0


def volume_ml(mass_g: float, strength: float, temperature_c: float = 20.0) -> float:
    """Return the volume in mL that a mass in g fills at `temperature_c`."""
    guards.not_negative("mass", mass_g)
    return mass_g * 1000.0 / density_kg_m3(mass_fraction_of(strength), temperature_c)


def volume_at_20_ml(volume_ml: float, strength: float, temperature_c: float) -> float:
    """Return the volume at 20 °C of what fills `volume_ml` at `temperature_c`."""
    guards.not_negative("volume", volume_ml)
    mass_fraction = mass_fraction_of(strength)
    ratio = density_kg_m3(mass_fraction, temperature_c) / density_kg_m3(mass_fraction)
    return volume_ml * ratio  # at 20 °C exactly the volume


def dilute(
    volume_ml: float, strength: float, target: float, temperature_c: float = 20.0
) -> Dilution:
    """Return the water that brings a spirit down to `target`; all volumes at `temperature_c`.

    Raises `TooStrong` where the target is above the spirit, `OutOfRange` for a target of zero.
    """
    guards.positive("volume", volume_ml)
    guards.fraction("strength", strength)
    guards.fraction("target strength", target)
    if target > strength:
        raise TooStrong(target, strength)
    if target < _LEAST_TARGET:
        raise OutOfRange("target strength", target, "above 0 %: no water makes spirit into water")
    before, after = mass_fraction_of(strength), mass_fraction_of(target)
    spirit_g = volume_ml * density_kg_m3(before, temperature_c) / 1000.0
    water_g = spirit_g * max(0.0, before / after - 1.0)
    water_ml = water_g * 1000.0 / density_kg_m3(0.0, temperature_c)
    total_ml = (spirit_g + water_g) * 1000.0 / density_kg_m3(after, temperature_c)
    shrinks_ml = volume_ml + water_ml - total_ml
    return Dilution(volume_ml, spirit_g, water_ml, water_g, total_ml, shrinks_ml)


def blend(parts: Iterable[tuple[float, float]], temperature_c: float = 20.0) -> Blend:
    """Return what parts of (volume in mL, strength) make together, all at `temperature_c`.

    Raises `NothingWeighed` where there is nothing to pour.
    """
    poured_ml = total_g = ethanol_g = 0.0
    for part_ml, strength in parts:
        part_g = mass_g(part_ml, strength, temperature_c)
        poured_ml += part_ml
        total_g += part_g
        ethanol_g += part_g * mass_fraction_of(strength)
    if total_g <= 0.0:
        raise NothingWeighed("volume", "a blend needs at least one part of more than 0 mL")
    mass_fraction = min(1.0, ethanol_g / total_g)
    total_ml = total_g * 1000.0 / density_kg_m3(mass_fraction, temperature_c)
    return Blend(total_ml, strength_of(mass_fraction), poured_ml - total_ml)


def hydrometer_density_kg_m3(
    reading_strength: float, temperature_c: float = 20.0, graduated_c: float = 20.0
) -> float:
    """Return the density at `temperature_c` of a liquid in which a glass hydrometer reads this.

    The instrument is right at `graduated_c`, where its scale is percent by volume; away from it
    its glass swells (OIML R 22 with the expansion of soda-lime glass).
    """
    guards.fraction("hydrometer reading", reading_strength)
    guards.temperature(temperature_c)
    plain = density_kg_m3(mass_fraction_of(reading_strength, graduated_c), graduated_c)
    return plain * glass_factor(temperature_c, graduated_c)


def glass_factor(temperature_c: float, graduated_c: float = 20.0) -> float:
    """Return by how much a glass hydrometer's swelling lowers the density that it shows."""
    return 1.0 - _GLASS_PER_K * (temperature_c - graduated_c)


def hydrometer_strength(
    reading_strength: float, temperature_c: float, graduated_c: float = 20.0
) -> float:
    """Return the strength at 20 °C of a plain spirit in which a glass hydrometer reads this.

    Only for ethanol and water: dissolved solids hide alcohol (`liquor.true_from_apparent`).
    """
    density = hydrometer_density_kg_m3(reading_strength, temperature_c, graduated_c)
    try:
        return strength_of(mass_fraction_at_density(density, temperature_c))
    except OutOfRange:
        allowed = f"one that some spirit could show at {temperature_c:g} °C"
        raise OutOfRange("hydrometer reading", reading_strength, allowed) from None


def flash_point_c(strength: float) -> float | None:
    """Return a cautious flash point in °C, or None under 5 %, where the list has nothing.

    Published list of no named origin, lowered from 70 to 90 % to a handbook figure from memory;
    taken as good to 3 K. Straight lines between its points.
    """
    guards.fraction("strength", strength)
    if strength < _FLASH_POINTS[0][0]:
        return None
    for (weaker, warmer), (stronger, cooler) in pairwise(_FLASH_POINTS):
        if strength <= stronger:
            return warmer + (cooler - warmer) * (strength - weaker) / (stronger - weaker)
    return _FLASH_POINTS[-1][1]
