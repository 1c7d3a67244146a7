"""What past strainings kept back: by botanical, class, spirit, way of straining and month."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from statistics import fmean
from typing import TYPE_CHECKING

from steepboard.catalogue import load as catalogue
from steepboard.domain.figures import percent
from steepboard.domain.records import Jar, Measure, State
from steepboard.services import straining
from steepboard.services.details import details
from steepboard.store import jars

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from steepboard.domain.balance import Balance
    from steepboard.domain.planning import Expected
    from steepboard.services.desk import Desk


class By(StrEnum):
    """What strainings may be put together by."""

    BOTANICAL = "botanical"
    MATERIAL = "material"
    SPIRIT = "spirit"
    STRAINING = "way of straining"
    MONTH = "month"


@dataclass(frozen=True, slots=True)
class Strained:
    """One finished straining: its balance, and what had been expected of it."""

    jar: Jar
    balance: Balance
    expected: Expected
    poured_ml: float

    @property
    def recovered_ml(self) -> float:
        """What was bottled, in mL."""
        return self.balance.recovered.ml

    @property
    def as_expected(self) -> bool:
        """Whether the bottled volume fell within the 80 % interval."""
        return self.expected.low_ml <= self.recovered_ml <= self.expected.high_ml


@dataclass(frozen=True, slots=True)
class Group:
    """Strainings that have something in common; means over them, shares of the liquor."""

    name: str
    count: int
    poured_ml: float
    """Sum over the group, as is `recovered_ml`."""
    recovered_ml: float
    yield_fraction: float
    marc_share: float
    filter_share: float
    unaccounted_share: float
    held_per_dry_g_ml: float | None
    """Mean over those whose marc was weighed; None where none was."""
    expected_ml: float
    """Sum of what had been expected."""
    as_expected: int
    """How many fell within the interval that had been expected."""


def strained(desk: Desk) -> Iterator[Strained]:
    """Yield every straining that was measured, the last one first."""
    for jar in jars.ended(desk.store):
        if jar.state is not State.BOTTLED:
            continue
        found = straining.balance(desk, jar)
        if found is not None:
            known = details(desk, jar)
            yield Strained(jar, found, known.expected, known.solvent_ml)


def grouped(found: Iterable[Strained], by: By, desk: Desk) -> tuple[Group, ...]:
    """Return the strainings put together, the largest loss in mL first; months in order."""
    groups: dict[str, list[Strained]] = {}
    for one in found:
        groups.setdefault(_name(one, by, desk), []).append(one)
    made = (_group(name, members) for name, members in groups.items())
    if by is By.MONTH:
        return tuple(sorted(made, key=lambda group: group.name))
    return tuple(sorted(made, key=lambda group: group.recovered_ml - group.poured_ml))


def _name(one: Strained, by: By, desk: Desk) -> str:
    charge = one.jar.charge
    first = charge.botanicals[0]
    match by:
        case By.BOTANICAL:
            return ", ".join(line.name for line in charge.botanicals)
        case By.MATERIAL:
            return catalogue.class_label(first.material_class) + (", fresh" if first.fresh else "")
        case By.SPIRIT:
            return ", ".join(f"{line.name} {percent(line.strength, 0)}" for line in charge.spirits)
        case By.STRAINING:
            return charge.separation.value
        case By.MONTH:
            ended = one.jar.bottled_at
            return f"{desk.day(ended):%Y-%m}" if ended else ""


def _group(name: str, members: list[Strained]) -> Group:
    weighed = [
        one.balance.held_per_dry_g_ml
        for one in members
        if one.jar.reading(Measure.MARC) and one.balance.held_per_dry_g_ml is not None
    ]
    return Group(
        name=name,
        count=len(members),
        poured_ml=sum(one.poured_ml for one in members),
        recovered_ml=sum(one.recovered_ml for one in members),
        yield_fraction=fmean(one.balance.yield_fraction for one in members),
        marc_share=fmean(one.balance.held_in_marc.share for one in members),
        filter_share=fmean(one.balance.held_in_filter.share for one in members),
        unaccounted_share=fmean(one.balance.unaccounted.share for one in members),
        held_per_dry_g_ml=fmean(weighed) if weighed else None,
        expected_ml=sum(one.expected.expected_ml for one in members),
        as_expected=sum(one.as_expected for one in members),
    )
