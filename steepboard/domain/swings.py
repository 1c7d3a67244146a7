"""Inputs moved by their own ±, one at a time: what a first-order ± is summed from.

Published: GUM, JCGM 100:2008, 5.1.3 note 2: half the swing of a result between an input high and
the same input low is what that input adds to its ±.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING, Any, TypeVar

from steepboard.domain.liquor import Pour, Solid

if TYPE_CHECKING:
    from steepboard.domain.readings import Measured  # a plan needs none, and loads none

_T = TypeVar("_T", Solid, Pour, "Measured")
_Item = TypeVar("_Item", Solid, Pour)

Charged = tuple[tuple[Solid, ...], tuple[Pour, ...]]
"""What a jar is charged with: its botanicals and its pours."""


def ends(record: _T, field: str, u: float, ceiling: float = inf) -> Iterator[tuple[_T, _T, float]]:
    """Yield `record` with `field` moved up and down by `u`, stopped at 0 and at `ceiling`.

    The third value is what the difference of the two results counts.
    """
    value: float = getattr(record, field)
    high, low = min(ceiling, value + u), max(0.0, value - u)
    if high > low:
        up: dict[str, Any] = {field: high}
        down: dict[str, Any] = {field: low}
        yield replace(record, **up), replace(record, **down), u / (high - low)


def charge_swings(
    solids: tuple[Solid, ...], pours: tuple[Pour, ...]
) -> Iterator[tuple[Charged, Charged, float]]:
    """Yield the charge with one input high, with the same input low, and what they count."""
    for i, solid in enumerate(solids):
        for a, b, weight in (
            *ends(solid, "mass_g", solid.mass_u_g),
            *ends(solid, "moisture", solid.moisture_u, 1.0),
            *ends(solid, "soluble", solid.soluble_u, 1.0),
        ):
            yield (_put(solids, i, a), pours), (_put(solids, i, b), pours), weight
    for i, pour in enumerate(pours):
        for c, d, weight in (
            *ends(pour, "volume_ml", pour.volume_u_ml),
            *ends(pour, "strength", pour.strength_u, 1.0),
        ):
            yield (solids, _put(pours, i, c)), (solids, _put(pours, i, d)), weight


def _put(items: tuple[_Item, ...], at: int, item: _Item) -> tuple[_Item, ...]:
    return tuple(item if i == at else other for i, other in enumerate(items))
