"""How far figures move when what they are worked from is moved: a ± for each, and what they share.

First order: each independent input in turn is moved up and down by its own ±, everything is worked
again, and half of each swing is kept (published: GUM, JCGM 100:2008, 5.1.3 note 2). What several
figures share moves them together, so that correlated figures stay correlated. Inputs that are
correlated among themselves are moved together, once for each independent cause.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import sqrt
from typing import TypeVar

_Case = TypeVar("_Case")


@dataclass(frozen=True, slots=True)
class Propagated:
    """Figures by name, and by how much one ± of each independent input moves each of them."""

    value: Mapping[str, float]
    moved: Mapping[str, tuple[float, ...]]

    def u(self, name: str) -> float:
        """Return the standard uncertainty of a figure; 0 where there is no such figure."""
        return sqrt(sum(part * part for part in self.moved.get(name, ())))

    def covariance(self, one: str, other: str) -> float:
        """Return the covariance of two figures."""
        pairs = zip(self.moved[one], self.moved[other], strict=True)
        return sum(a * b for a, b in pairs)


def propagate(
    work: Callable[[_Case], Mapping[str, float]],
    case: _Case,
    swings: Iterable[tuple[_Case, _Case, float]],
) -> Propagated:
    """Return every figure that `work` gives, with its doubt.

    A swing is the case with one input high, the case with it low, and what a difference of the two
    counts: a half where they are one ± to either side. A figure that a swing leaves undefined is
    taken as not moved by it.
    """
    value = work(case)
    rows = [(work(high), work(low), weight) for high, low, weight in swings]
    moved = {
        name: tuple(
            (high[name] - low[name]) * weight if name in high and name in low else 0.0
            for high, low, weight in rows
        )
        for name in value
    }
    return Propagated(value, moved)
