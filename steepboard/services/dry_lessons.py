"""The review of how dry botanicals were found to be: water and soluble part, by what was dried."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.domain.figures import percent
from steepboard.domain.learning import Prior, tamed
from steepboard.domain.records import Measure
from steepboard.services import learning
from steepboard.services.lessons import LISTED, if_far, on_day
from steepboard.store.rows import instant

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from steepboard.catalogue.records import Estimate
    from steepboard.domain.learning import Learned
    from steepboard.services.desk import Desk
    from steepboard.services.learning import Drying
    from steepboard.store.strains import Strain

WATER, SOLUBLE = "water in", "soluble part of dry"
_OF = {WATER: "of the mass as weighed", SOLUBLE: "of the dry mass"}
_RESIDUE = {Measure.RESIDUE, Measure.RESIDUE_VOLUME}
_MARC = {Measure.MARC, Measure.DRY_MARC}


@dataclass(frozen=True, slots=True)
class BatchDried:
    """What one jar told of a share, as a fraction."""

    code: str
    bottled_on: date
    value: float
    u: float
    """± of what was measured."""
    counted_u: float
    """± that it counts with; more, where it is far from the others."""
    strain: Strain
    """The jar, with what was charged and read."""

    @property
    def by_residue(self) -> bool:
        """Whether a sample of its liquid was dried."""
        return self.strain.readings.keys() >= _RESIDUE

    @property
    def by_marc(self) -> bool:
        """Whether its marc was weighed wet and dry."""
        return self.strain.readings.keys() >= _MARC


@dataclass(frozen=True, slots=True)
class DrySeen:
    """What is known now of the water of one botanical, or of its soluble part, as fractions."""

    name: str
    share: str
    """WATER or SOLUBLE."""
    believed: tuple[Estimate, Estimate]
    """Water and soluble part before anything was dried."""
    learned: Learned
    batches: tuple[BatchDried, ...]
    """The last one first."""

    @property
    def usual(self) -> Estimate:
        """What this share was taken to be before anything was dried."""
        return self.believed[self.share != WATER]

    @property
    def shown(self) -> tuple[BatchDried, ...]:
        """Those that are listed for people."""
        return self.batches[:LISTED]

    @property
    def figure(self) -> str:
        """What it is called: `water in Caraway seed`."""
        return f"{self.share} {self.name}"


def dry_lessons(desk: Desk, name: str = "") -> tuple[DrySeen, ...]:
    """Return what dried samples taught, or those of botanicals with a `name` in their name."""
    library = learning.library(desk.store, desk.settings)
    seen: list[DrySeen] = []
    for line in library.dried():
        if name.casefold() in line.name.casefold():
            both = library.drying(line)
            believed = both[0].usual, both[1].usual
            for share, drying in zip((WATER, SOLUBLE), both, strict=True):
                if drying.learned is not None:
                    batches = _batches(desk, drying)
                    seen.append(DrySeen(line.name, share, believed, drying.learned, batches))
    return tuple(sorted(seen, key=lambda one: one.name.casefold()))


def dry_heading(seen: DrySeen) -> str:
    """Return what a share is, and of what."""
    return f"{seen.figure}, {_OF[seen.share]}"


def dry_told(seen: DrySeen) -> Iterator[tuple[str, str, str]]:
    """Yield rows of three columns: what, how much, and more about it."""
    yield "beforehand", share_with_u(seen.usual.value, seen.usual.u), seen.usual.source
    now = share_with_u(seen.learned.mean, seen.learned.u)
    yield "now", now, f"the next batch ± {doubt(seen.learned.next_u)}"
    for batch in seen.shown:
        yield f"  {batch.code}", share_with_u(batch.value, batch.u), about_dried(batch)
    if len(seen.batches) > LISTED:
        yield "  earlier", "", f"{len(seen.batches) - LISTED} more"


def share_with_u(value: float, u: float) -> str:
    """Return a share with its ±, of which at least the last digit shown is in doubt."""
    return f"{percent(value)} ± {doubt(u)}"


def doubt(u: float) -> str:
    """Return the ± of a share."""
    return percent(max(u, 0.001))


def about_dried(batch: BatchDried) -> str:
    """Return when a batch was bottled and what of it was dried."""
    dried = " and ".join(
        word
        for word, was in (("dried marc", batch.by_marc), ("dry residue", batch.by_residue))
        if was
    )
    return f"{on_day(batch.bottled_on)}, {dried}{if_far(batch.counted_u, batch.u)}"


def _batches(desk: Desk, drying: Drying) -> tuple[BatchDried, ...]:
    """Return what each jar told, the last one first."""
    prior = Prior(drying.usual.value, drying.usual.u)
    counted = tamed(prior, [one.batch for one in drying.taught])
    batches = (
        BatchDried(
            one.jar.code,
            desk.day(instant(one.jar.bottled_at)),
            one.batch.value,
            one.batch.u,
            as_counted.u,
            one.jar,
        )
        for one, as_counted in zip(drying.taught, counted, strict=True)
    )
    return tuple(batches)[::-1]
