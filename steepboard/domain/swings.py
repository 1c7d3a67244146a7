"""Inputs moved by their own ±, one at a time: what a first-order ± is summed from.

Published: GUM, JCGM 100:2008, 5.1.3 note 2: half the swing of a result between an input high and
the same input low is what that input adds to its ±.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from steepboard.domain.liquor import Pour, Solid

Charged = tuple[tuple[Solid, ...], tuple[Pour, ...]]
"""What a jar is charged with: its botanicals and its pours."""


def ends(value: float, u: float, ceiling: float = inf) -> Iterator[tuple[float, float, float]]:
    """Yield `value` moved up and down by `u`, stopped at 0 and at `ceiling`; nothing without ±.

    The third value is what the difference of the two results counts.
    """
    high, low = min(ceiling, value + u), max(0.0, value - u)
    if high > low:
        yield high, low, u / (high - low)


def charge_swings(
    solids: tuple[Solid, ...], pours: tuple[Pour, ...]
) -> Iterator[tuple[Charged, Charged, float]]:
    """Yield the charge with one input high, with the same input low, and what they count."""
    for i, solid in enumerate(solids):
        before, after = solids[:i], solids[i + 1 :]
        for more, less, weight in _solid_swings(solid):
            yield ((*before, more, *after), pours), ((*before, less, *after), pours), weight
    for i, pour in enumerate(pours):
        earlier, later = pours[:i], pours[i + 1 :]
        for high, low, weight in _pour_swings(pour):
            yield (solids, (*earlier, high, *later)), (solids, (*earlier, low, *later)), weight


def _solid_swings(solid: Solid) -> Iterator[tuple[Solid, Solid, float]]:
    for high, low, weight in ends(solid.mass_g, solid.mass_u_g):
        yield replace(solid, mass_g=high), replace(solid, mass_g=low), weight
    for high, low, weight in ends(solid.moisture, solid.moisture_u, 1.0):
        yield replace(solid, moisture=high), replace(solid, moisture=low), weight
    for high, low, weight in ends(solid.soluble, solid.soluble_u, 1.0):
        yield replace(solid, soluble=high), replace(solid, soluble=low), weight


def _pour_swings(pour: Pour) -> Iterator[tuple[Pour, Pour, float]]:
    for high, low, weight in ends(pour.volume_ml, pour.volume_u_ml):
        yield replace(pour, volume_ml=high), replace(pour, volume_ml=low), weight
    for high, low, weight in ends(pour.strength, pour.strength_u, 1.0):
        yield replace(pour, strength=high), replace(pour, strength=low), weight
