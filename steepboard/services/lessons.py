"""The review of what was learned: what was expected before, what is known now, and each batch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.catalogue import load as catalogue
from steepboard.domain.learning import Learned, tamed
from steepboard.domain.records import Measure
from steepboard.services import learning
from steepboard.store.rows import instant

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from steepboard.catalogue.records import Absorption
    from steepboard.domain.learning import Prior
    from steepboard.services.desk import Desk
    from steepboard.services.history import Group
    from steepboard.services.learning import Taught
    from steepboard.services.losses import Strained
    from steepboard.store.strains import Strain

_LITTLE = 3.0  # times its own ±, from which a batch that counts for less is spoken of; assumed
LISTED = 8  # batches of a botanical that are listed for people; assumed, about a year's


@dataclass(frozen=True, slots=True)
class BatchSeen:
    """What one jar held of one botanical, in mL per gram."""

    code: str
    bottled_on: date
    value: float
    u: float
    """± of what was measured; much, where the straining does not add up."""
    counted_u: float
    """± that it counts with; more, where it is far from the others."""
    marc_weighed: bool
    as_expected: bool | None
    """Whether the jar bottled what had been expected; None where that was not read."""
    strain: Strain
    """The jar, with what was charged and read."""


@dataclass(frozen=True, slots=True)
class PlantSeen:
    """What is known of one botanical now."""

    name: str
    learned: Learned
    batches: tuple[BatchSeen, ...]
    """The last one first."""
    kin: int
    """Batches of others of its class, strained alike, which teach of it too."""

    @property
    def shown(self) -> tuple[BatchSeen, ...]:
        """Those that are listed for people."""
        return self.batches[:LISTED]

    @property
    def as_expected(self) -> int:
        """How many of its jars bottled what had been expected."""
        return sum(batch.as_expected is True for batch in self.batches)

    @property
    def judged(self) -> int:
        """Of how many."""
        return sum(batch.as_expected is not None for batch in self.batches)


@dataclass(frozen=True, slots=True)
class GroupSeen:
    """Material of one class and state, strained in one way."""

    material: str
    separation: str
    usual: Absorption
    """Before any was measured."""
    plants: tuple[PlantSeen, ...]
    """By name."""

    @property
    def gram(self) -> str:
        """What its figures count by."""
        return "dry gram" if self.usual.per_dry else "gram as charged"


def lessons(desk: Desk, found: Iterable[Strained], name: str = "") -> tuple[GroupSeen, ...]:
    """Return what the strainings taught, or those of botanicals with a `name` in their name."""
    library = learning.library(desk.store, desk.settings)
    held = {one.jar.code: one.as_expected for one in found}
    made = []
    for group in library.groups():
        every = len(library.taught(group))
        prior, lesson = library.prior(group), library.lesson(group)
        plants = tuple(
            _plant(desk, taught, prior, lesson.of(plant), held, every - len(taught))
            for plant, taught in library.by_plant(group).items()
            if name.casefold() in taught[-1].name.casefold()
        )
        if plants:
            ordered = tuple(sorted(plants, key=lambda one: one.name.casefold()))
            label = _material(group)
            made.append(GroupSeen(label, group.separation.value, library.usual(group), ordered))
    return tuple(sorted(made, key=lambda one: (one.material, one.separation)))


def heading(group: GroupSeen) -> str:
    """Return what a group is, and what its figures count."""
    return f"{group.material}, {group.separation}: mL held by each {group.gram}"


def told(group: GroupSeen) -> Iterator[tuple[str, str, str]]:
    """Yield rows of three columns: what, how much in mL per gram, and more about it."""
    yield "beforehand", with_u(group.usual.mean, group.usual.sd), group.usual.source
    for plant in group.plants:
        yield plant.name, with_u(plant.learned.mean, plant.learned.u), _outlook(plant)
        for batch in plant.shown:
            yield f"  {batch.code}", with_u(batch.value, batch.u), about(batch)
        if len(plant.batches) > LISTED:
            yield "  earlier", "", f"{len(plant.batches) - LISTED} more"


def _plant(
    desk: Desk,
    taught: Sequence[Taught],
    prior: Prior,
    learned: Learned,
    held: Mapping[str, bool],
    kin: int,
) -> PlantSeen:
    counted = tamed(prior, [one.batch for one in taught])
    batches = [
        BatchSeen(
            one.jar.code,
            desk.day(instant(one.jar.bottled_at)),
            one.batch.value,
            one.batch.u,
            as_counted.u,
            Measure.MARC in one.jar.readings,
            held.get(one.jar.code),
            one.jar,
        )
        for one, as_counted in zip(taught, counted, strict=True)
    ]
    return PlantSeen(taught[-1].name, learned, tuple(reversed(batches)), kin)


def _material(group: Group) -> str:
    return catalogue.class_label(group.material_class, group.fresh)


def with_u(value: float, u: float) -> str:
    """Return a figure with its ±, of which at least the last digit shown is in doubt."""
    return f"{value:.2f} ± {max(u, 0.01):.2f}"


def _outlook(plant: PlantSeen) -> str:
    return (
        f"the next batch ± {plant.learned.next_u:.2f}; {plant.as_expected} of "
        f"{plant.judged} bottled as expected"
    )


def about(batch: BatchSeen) -> str:
    """Return when a batch was bottled and how it tells what its solids held."""
    how = "marc weighed" if batch.marc_weighed else "by what did not come out"
    return f"{on_day(batch.bottled_on)}, {how}{if_far(batch.counted_u, batch.u)}"


def on_day(day: date) -> str:
    """Return the day of a batch, say `4 Mar 2026`."""
    return f"{day.day} {day:%b %Y}"


def if_far(counted_u: float, u: float) -> str:
    """Return what to add of a batch far from the others, else nothing."""
    return ", far off: counts for little" if counted_u > _LITTLE * u else ""
