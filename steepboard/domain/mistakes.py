"""Mistakes that people make with the readings of a straining, as what the readings may have been.

Each has a weight: how often it happens to one straining, set against the others. All weights and
ranges are assumed; what they are good for is measured by `python -m tests.tables.mistakes`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from steepboard.domain.readings import Measured, Readings


class Slip(StrEnum):
    """What went wrong with a reading."""

    SWAPPED = "swapped"
    GRAMS = "grams for millilitres"
    MILLILITRES = "millilitres for grams"
    TARE = "tare"
    NEVER_DRIED = "never dried"
    POINT = "point"
    TURNED = "turned"
    MISREAD = "misread"


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake: the readings it touches, and what they may have been instead."""

    slip: Slip
    weight: float
    meant: Mapping[str, float]
    """What the readings would have been; empty where they are only off by some amount."""
    off: tuple[str, float, float] | None = None
    """A reading, and the least and the most by which it is too high."""

    @property
    def fields(self) -> tuple[str, ...]:
        """The readings that are wrong, by their names in `Readings`."""
        return tuple(self.meant) if self.off is None else (self.off[0],)


_BOWLS = ((0.012, 5.0, 60.0), (0.012, 60.0, 400.0), (0.006, 400.0, 900.0))
"""A cloth, a bowl, a jar: weight, least and most g."""
_DISHES = ((0.006, 1.0, 10.0), (0.006, 10.0, 400.0))
_TARED = {
    "marc_g": _BOWLS,
    "dry_marc_g": _BOWLS,
    "drained_g": _BOWLS[1:],
    "pressed_g": _BOWLS[1:],
    "filtered_g": _BOWLS[1:],
    "recovered_g": _BOWLS[1:],
    "filter_after_g": _DISHES,
}
_LIQUIDS = ("drained", "pressed", "filtered", "recovered")
_SWAPS = (("marc_g", "recovered_ml"), ("marc_g", "recovered_g"),
          ("filter_before_g", "filter_after_g"))  # fmt: skip
_NEVER_DRIED_G = (0.5, 12.0)
_FAR_TOO_SMALL = 0.002  # the weight of a number that is too small by more than itself
_WEIGHT = {
    Slip.SWAPPED: 0.015,
    Slip.GRAMS: 0.012,
    Slip.MILLILITRES: 0.008,
    Slip.NEVER_DRIED: 0.05,
    Slip.POINT: 0.004,
    Slip.TURNED: 0.004,
    Slip.MISREAD: 0.006,
}
_NUMBERS = ("residue_ml", "residue_g", "hydrometer", "wash_strength")  # never part of the sums


def mistakes(readings: Readings, density_g_ml: float, total_g: float) -> Iterator[Mistake]:
    """Yield every mistake that these readings may hold; the total is all that went in."""
    read = {
        name: reading
        for name in readings.__dataclass_fields__
        if name not in _NUMBERS and (reading := getattr(readings, name)) and reading.value > 0.0
    }
    for one, other in _SWAPS:
        if one in read and other in read:
            meant = {one: read[other].value, other: read[one].value}
            yield Mistake(Slip.SWAPPED, _WEIGHT[Slip.SWAPPED], meant)
    for stage in _LIQUIDS:
        if (volume := read.get(f"{stage}_ml")) is not None:
            meant = {f"{stage}_ml": volume.value / density_g_ml}
            yield Mistake(Slip.GRAMS, _WEIGHT[Slip.GRAMS], meant)
        if (mass := read.get(f"{stage}_g")) is not None:
            meant = {f"{stage}_g": mass.value * density_g_ml}
            yield Mistake(Slip.MILLILITRES, _WEIGHT[Slip.MILLILITRES], meant)
    for name, tares in _TARED.items():
        for weight, least, most in tares if name in read else ():
            yield Mistake(Slip.TARE, weight, {}, (name, least, most))
    if "filter_before_g" in read:
        off = ("filter_before_g", *_NEVER_DRIED_G)
        yield Mistake(Slip.NEVER_DRIED, _WEIGHT[Slip.NEVER_DRIED], {}, off)
    for name, reading in read.items():
        yield from _slips(name, reading, total_g)


def _slips(name: str, reading: Measured, total_g: float) -> Iterator[Mistake]:
    value = reading.value
    for factor in (10.0, 0.1):
        yield Mistake(Slip.POINT, _WEIGHT[Slip.POINT], {name: value * factor})
    for turned in _turned(value):
        yield Mistake(Slip.TURNED, _WEIGHT[Slip.TURNED], {name: turned})
    yield Mistake(Slip.MISREAD, _WEIGHT[Slip.MISREAD], {}, (name, -value, value))
    yield Mistake(Slip.MISREAD, _FAR_TOO_SMALL, {}, (name, value - total_g, -value))


def _turned(value: float) -> Iterator[float]:
    """Yield the number with two neighbouring digits turned round."""
    shown = f"{value:.6g}"
    places = [i for i, sign in enumerate(shown) if sign.isdigit()]
    for a, b in pairwise(places):
        signs = list(shown)
        signs[a], signs[b] = signs[b], signs[a]
        if shown[a] != shown[b] and signs[places[0]] != "0":
            yield float("".join(signs))
