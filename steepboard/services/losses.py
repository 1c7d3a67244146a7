"""What past strainings kept back: by botanical, class, spirit, way of straining and month."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from statistics import fmean
from typing import TYPE_CHECKING

from steepboard.catalogue import load as catalogue
from steepboard.domain.balance import strain_shares
from steepboard.domain.expected import expected_yield
from steepboard.domain.figures import percent
from steepboard.domain.liquor import liquor
from steepboard.domain.records import Jar, Measure, State
from steepboard.services import material, straining
from steepboard.store import jars

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from steepboard.domain.balance import Shares
    from steepboard.domain.expected import Expected
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
    """One finished straining: where its liquor went, and what had been expected of it."""

    jar: Jar
    shares: Shares
    expected: Expected
    poured_ml: float
    """Spirit at 20 °C and rinses as they were read, in mL."""
    rinse_ml: float
    """Poured on the solids."""
    rinse_brought_ml: float

    @property
    def recovered_ml(self) -> float:
        """What was bottled, in mL."""
        return self.shares.recovered_ml

    @property
    def expected_ml(self) -> float:
        """What was expected of the charge, and what the rinse brought on top."""
        return self.expected.expected_ml + self.rinse_brought_ml

    @property
    def without_rinse_ml(self) -> float:
        """What was bottled but for what a rinse brought, in mL."""
        return self.recovered_ml - self.rinse_brought_ml

    @property
    def as_expected(self) -> bool:
        """Whether the bottled volume fell within the 80 % interval, a rinse left out."""
        return self.expected.low_ml <= self.without_rinse_ml <= self.expected.high_ml

    @property
    def held_per_dry_g_ml(self) -> float | None:
        """What a dry gram of its solids held; None where the marc was not weighed."""
        return self.shares.held_per_dry_g_ml if self.jar.reading(Measure.MARC) else None


@dataclass(frozen=True, slots=True)
class Group:
    """Strainings that have something in common; means over them, shares of the liquor."""

    name: str
    count: int
    poured_ml: float
    """Sum over the group, rinses too, as is `recovered_ml`."""
    recovered_ml: float
    yield_fraction: float
    marc_share: float
    filter_share: float
    unaccounted_share: float
    held_per_dry_g_ml: float | None
    """Mean over those whose marc was weighed; None where none was."""
    expected_ml: float
    """Sum of what had been expected, and of what rinses brought on top."""
    as_expected: int
    """How many fell within the interval that had been expected."""
    members: tuple[Strained, ...] = ()
    """Each of them, the last one first."""

    @property
    def all_rinsed(self) -> bool:
        """Whether something was poured on the solids of each."""
        return bool(self.members) and all(one.rinse_ml > 0.0 for one in self.members)


def strained(desk: Desk) -> Iterator[Strained]:
    """Yield every straining that was measured, the last one first."""
    for jar in jars.ended(desk.store):
        found = _strained(desk, jar) if jar.state is State.BOTTLED else None
        if found is not None:
            yield found


def grouped(found: Iterable[Strained], by: By, desk: Desk) -> tuple[Group, ...]:
    """Return the strainings put together, the largest loss in mL first; months in order."""
    groups: dict[str, list[Strained]] = {}
    for one in found:
        groups.setdefault(_name(one, by, desk), []).append(one)
    made = (_group(name, members) for name, members in groups.items())
    if by is By.MONTH:
        return tuple(sorted(made, key=lambda group: group.name))
    return tuple(sorted(made, key=lambda group: group.recovered_ml - group.poured_ml))


def _strained(desk: Desk, jar: Jar) -> Strained | None:
    readings = straining.to_balance(jar)
    if readings is None:
        return None
    charge, tools, library = jar.charge, desk.settings.instruments, desk.library_for(jar)
    solids, pours = material.solids(charge, tools, library), material.pours(charge.spirits, tools)
    held, kept = material.held(charge, library), material.kept_of(charge.kept_ml, desk.settings)
    per_g = desk.settings.arithmetic.solids_ml_per_g
    return Strained(
        jar,
        strain_shares(
            solids,
            pours,
            readings,
            held_prior=held,
            kept_ml=kept.value,
            solids_ml_per_g=per_g,
        ),
        expected_yield(solids, pours, held, kept.value, kept.u, solids_ml_per_g=per_g),
        liquor((), pours).volume_ml + readings.rinse_ml,
        readings.rinse_ml,
        readings.rinse_brought_ml,
    )


def _name(one: Strained, by: By, desk: Desk) -> str:
    charge = one.jar.charge
    first = charge.botanicals[0]
    match by:
        case By.BOTANICAL:
            return ", ".join(line.name for line in charge.botanicals)
        case By.MATERIAL:
            return catalogue.class_label(first.material_class, first.fresh)
        case By.SPIRIT:
            return ", ".join(f"{line.name} {percent(line.strength, 0)}" for line in charge.spirits)
        case By.STRAINING:
            return charge.separation.value
        case By.MONTH:
            ended = one.jar.bottled_at
            return f"{desk.day(ended):%Y-%m}" if ended else ""


def _group(name: str, members: list[Strained]) -> Group:
    weighed = [h for one in members if (h := one.held_per_dry_g_ml) is not None]
    return Group(
        name=name,
        count=len(members),
        poured_ml=sum(one.poured_ml for one in members),
        recovered_ml=sum(one.recovered_ml for one in members),
        yield_fraction=fmean(one.shares.yield_fraction for one in members),
        marc_share=fmean(one.shares.marc for one in members),
        filter_share=fmean(one.shares.filter for one in members),
        unaccounted_share=fmean(one.shares.unaccounted for one in members),
        held_per_dry_g_ml=fmean(weighed) if weighed else None,
        expected_ml=sum(one.expected_ml for one in members),
        as_expected=sum(one.as_expected for one in members),
        members=tuple(members),
    )
