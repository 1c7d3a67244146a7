"""The sums of a jar written again, apart from ours: on arrays of draws, or on figures with a ±.

The density is the 20 °C polynomial of OIML R 22, its coefficients read from the reference table.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tests.domain.published import rows

_A = np.array([float(r["value"]) for r in rows("oiml_r22_coefficients") if r["name"] == "A"])
_GRID = np.linspace(0.0, 1.0, 100_001)

Number = Any  # an array of draws, or a figure of the uncertainties package


def density(p: Number) -> Number:
    """Return kg/m³ at 20 °C of a mass fraction."""
    found = _A[-1]
    for a in _A[-2::-1]:
        found = found * p + a
    return found


ETHANOL = float(density(1.0))
_STRENGTHS = _GRID * density(_GRID) / ETHANOL


def mass_fraction(strength: Number) -> Number:
    """Return the mass fraction: looked up, then one step by Newton, which carries the ± along."""
    start = np.interp(getattr(strength, "nominal_value", strength), _STRENGTHS, _GRID)
    slope = (density(start + 1e-6) * (start + 1e-6) - density(start - 1e-6) * (start - 1e-6)) / 2e-6
    return start - (start * density(start) / ETHANOL - strength) * ETHANOL / slope


@dataclass(frozen=True)
class Botanical:
    """One botanical of a jar; `per_charged` says that it holds by the gram as charged."""

    mass_g: Number
    moisture: Number
    soluble: Number
    held_ml_per_g: Number
    per_charged: bool = False

    @property
    def dry_g(self) -> Number:
        return self.mass_g * (1.0 - self.moisture)

    @property
    def held_ml(self) -> Number:
        return self.held_ml_per_g * (self.mass_g if self.per_charged else self.dry_g)


@dataclass(frozen=True)
class Jar:
    """What a jar gives: liquor and bottled volume in mL, true strength, intensity index."""

    liquor_ml: Number
    bottled_ml: Number
    strength: Number


def jar(
    botanicals: Sequence[Botanical],
    pours: Sequence[tuple[Number, Number]],
    kept_ml: Number = 0.0,
    solids_ml_per_g: Number = 0.62,
) -> Jar:
    """Return what botanicals and pours of (mL, strength) at 20 °C give."""
    ethanol_g = water_g = 0.0
    for volume_ml, strength in pours:
        p = mass_fraction(strength)
        mass_g = volume_ml * density(p) / 1000.0
        ethanol_g, water_g = ethanol_g + mass_g * p, water_g + mass_g * (1.0 - p)
    water_g = water_g + sum(b.mass_g * b.moisture for b in botanicals)
    solids_ml = sum(b.dry_g * b.soluble for b in botanicals) * solids_ml_per_g
    mix_g = ethanol_g + water_g
    liquor_ml = mix_g / density(ethanol_g / mix_g) * 1000.0 + solids_ml
    bottled_ml = liquor_ml - sum(b.held_ml for b in botanicals) - kept_ml
    return Jar(liquor_ml, bottled_ml, ethanol_g / ETHANOL * 1000.0 / liquor_ml)
