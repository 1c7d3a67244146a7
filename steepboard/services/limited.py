"""What tinctures out of bottles bring of limited substances into a litre of drink."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from steepboard.services.bottle_shelf import inside, recovered
from steepboard.services.cautions import dose_sums
from steepboard.services.details import details

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from steepboard.domain.bottles import Bottle
    from steepboard.domain.limits import DoseSum
    from steepboard.domain.records import BotanicalLine, Jar
    from steepboard.services.desk import Desk

_LEAST_ML = 1.0  # a jar of which nothing was to be expected counts as this concentrated; assumed


def limited(desk: Desk, poured: Iterable[tuple[Bottle, float]]) -> tuple[DoseSum, ...]:
    """Return a sum for each limited substance, of bottles with their mL in a litre of drink."""
    poured = tuple(poured)
    lines = [line for one, ml_per_l in poured for line in _lines(desk, one, ml_per_l)]
    total = sum(ml_per_l for _, ml_per_l in poured)
    # The lines are grams to the litre of drink, so that all of what is poured holds just those.
    return dose_sums(lines, total, total, desk.library)


def _lines(desk: Desk, one: Bottle, ml_per_l: float) -> Iterator[BotanicalLine]:
    for jar, share in inside(desk, one).jars:
        part = share * ml_per_l / _bottled_ml(desk, jar)
        for line in jar.charge.botanicals:
            yield replace(line, mass_g=line.mass_g * part)


def _bottled_ml(desk: Desk, jar: Jar) -> float:
    read = recovered(desk, jar)
    if read and read[0] > 0.0:
        return read[0]
    return max(details(desk, jar).expected.expected_ml, _LEAST_ML)
