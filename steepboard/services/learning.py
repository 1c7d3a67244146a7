"""What the jars of this shelf taught of its botanicals, worked out of the record when asked."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from copy import copy
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from steepboard.catalogue.library import Library
from steepboard.catalogue.records import Absorption, Estimate
from steepboard.domain.learning import Batch, Lesson, Prior, learn
from steepboard.domain.liquor import Solid
from steepboard.services.history import (
    Group,
    History,
    Plant,
    Turn,
    group_of,
    plant_of,
)
from steepboard.services.own_books import own_books
from steepboard.store.rows import stamp

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import datetime

    from steepboard.catalogue.books import Books
    from steepboard.domain.learning import Learned
    from steepboard.domain.records import BotanicalLine, Separation
    from steepboard.settings import Settings
    from steepboard.store.connect import Store
    from steepboard.store.strains import Strain

T = TypeVar("T")
_NAMED = 3  # jars that a source names; assumed, what a line has room for


class Taught(NamedTuple):
    """What one jar taught of one botanical."""

    jar: Strain
    name: str
    """As it was called in that jar."""
    plant: Plant
    batch: Batch


class Drying(NamedTuple):
    """What is known of the water of a botanical, or of its soluble part."""

    usual: Estimate
    """Before anything was dried."""
    now: Estimate
    """What is taken to be so, with the ± of the next batch."""
    taught: Sequence[Taught] = ()
    """What each jar taught of which something was dried, the first bottled first."""
    learned: Learned | None = None
    """None where no jar taught."""


class TaughtLibrary(Library):
    """What this shelf knows of botanicals: what was measured here before what is usual."""

    def __init__(self, history: History, books: Books | None = None) -> None:
        super().__init__(books)
        self._history = history
        self._until: str | None = None

    def before(self, at: datetime) -> TaughtLibrary:
        """Return what was known at an instant: what jars taught that were bottled before it."""
        then = copy(self)
        then._until = stamp(at)
        return then

    def groups(self) -> tuple[Group, ...]:
        """Return the groups of which jars were bottled."""
        return tuple(self._history.by_group)

    def absorption(self, line: BotanicalLine, separation: Separation) -> Absorption:
        """Return what a botanical holds back, with the ± of the next batch."""
        plant, group = plant_of(line), group_of(line, separation)
        usual = self.usual(group)
        known, own = self.lesson(group).of(plant), self.by_plant(group).get(plant)
        source = _source(own, self.taught(group), usual.source)
        return Absorption(max(known.mean, 0.0), known.next_u, usual.per_dry, source)

    def usual(self, group: Group) -> Absorption:
        """Return what material of a group holds before any was measured."""
        return self._history.usual(group)

    def prior(self, group: Group) -> Prior:
        """Return the same as learning begins from."""
        usual = self._history.usual(group)
        return Prior(usual.mean, usual.sd)

    def lesson(self, group: Group) -> Lesson[Plant]:
        """Return what the jars of a group taught."""
        key = ("lesson", group, len(self.taught(group)), self._turned(group))
        return self._history.once(key, lambda: _learn(self.prior(group), self.by_plant(group)))

    def taught(self, group: Group) -> Sequence[Taught]:
        """Return what each jar of a group taught, the first bottled first."""
        return self._known(self._all_taught(group))

    def by_plant(self, group: Group) -> dict[Plant, Sequence[Taught]]:
        """Return the same by botanical."""
        key = ("by plant", group, self._turned(group))
        found = self._history.once(key, lambda: _by_plant(self._all_taught(group)))
        return {plant: own for plant, taught in found.items() if (own := self._known(taught))}

    def dryness(self, line: BotanicalLine) -> tuple[Estimate, Estimate]:
        """Return water and soluble part, each with the ± of the next batch."""
        water, soluble = self.drying(line)
        return water.now, soluble.now

    def dried(self) -> tuple[BotanicalLine, ...]:
        """Return the botanicals of which something was dried, as last charged."""
        return tuple(jars[-1].botanicals[0] for jars in self._history.dried.values())

    def drying(self, line: BotanicalLine) -> tuple[Drying, Drying]:
        """Return what is known of water and soluble part, and which jars taught it."""
        what = plant_of(line), line.catalogue_id, line.material_class
        key = ("drying", *what, *self._told(line))
        return self._history.once(key, lambda: self._drying(line))

    def _drying(self, line: BotanicalLine) -> tuple[Drying, Drying]:
        usual, plant = self._usual_dryness(line), plant_of(line)
        moistures, solubles = [], []
        for strain in self._dried(plant):
            one = strain.botanicals[0]
            solid = _solid(one, *usual)
            found = self._history.dryness(strain, solid)
            if found.moisture is not None and one.moisture is None:
                moistures.append(Taught(strain, one.name, plant, found.moisture))
            if found.soluble is not None and one.soluble is None:
                solubles.append(Taught(strain, one.name, plant, found.soluble))
        return _drying_of(usual[0], moistures), _drying_of(usual[1], solubles)

    def _usual_dryness(self, line: BotanicalLine) -> tuple[Estimate, Estimate]:
        """Return what was believed by then before anything was dried."""
        said, (_, count) = self._history.believed.get(plant_of(line).name, ()), self._told(line)
        if count == len(said) or not line.catalogue_id:
            return super().dryness(line)
        then = said[count]
        if then.fresh != line.fresh:
            return super().dryness(replace(line, catalogue_id=None))
        return (
            Estimate(then.moisture, then.moisture_u, then.moisture_source),
            Estimate(then.soluble, then.soluble_u, then.soluble_source),
        )

    def _all_taught(self, group: Group) -> Sequence[Taught]:
        """Return what jars teach as dry as botanicals were known to be by then.

        Those bottled after more was told of that are left out: nobody looks at them from then.
        """
        turns = self._history.turns_by_group.get(group, ())
        jars: Sequence[Strain] = self._history.by_group.get(group, ())
        count = self._turned(group)
        if count < len(turns):
            jars = jars[: bisect_left(jars, turns[count].at, key=lambda jar: jar.bottled_at)]
        return self._history.once(("taught", group, count), lambda: list(self._taught(group, jars)))

    def _taught(self, group: Group, jars: Sequence[Strain]) -> Iterator[Taught]:
        for strain in jars:
            batches = self._held(strain)
            for line, batch in zip(strain.botanicals, batches, strict=bool(batches)):
                if group_of(line, strain.separation) == group:
                    yield Taught(strain, line.name, plant_of(line), batch)

    def _held(self, strain: Strain) -> tuple[Batch, ...]:
        """Return what a jar held, anew only where more was told of one of its own botanicals."""
        lines = strain.botanicals
        key = ("held", strain.code, *map(self._told, lines))

        def make() -> tuple[Batch, ...]:
            solids = [_solid(line, *self.dryness(line)) for line in lines]
            return self._history.held(strain, solids)

        return self._history.once(key, make)

    def _known(self, taught: Sequence[Taught]) -> Sequence[Taught]:
        """Return what was taught by then."""
        if self._until is None:
            return taught
        return taught[: bisect_left(taught, self._until, key=lambda one: one.jar.bottled_at)]

    def _dried(self, plant: Plant) -> Sequence[Strain]:
        """Return the jars that had told by then how dry a botanical is."""
        jars = self._history.dried.get(plant, ())
        if self._until is None:
            return jars
        return jars[: bisect_left(jars, self._until, key=lambda jar: jar.bottled_at)]

    def _turned(self, group: Group) -> int:
        """Return how often it had been told by then how dry anything is that its jars hold."""
        turns = self._history.turns_by_group.get(group, ())
        if self._until is None:
            return len(turns)
        return bisect_left(turns, Turn(self._until, measured=True))

    def _told(self, line: BotanicalLine) -> tuple[int, int]:
        """Return how often it had been told by then how dry one is: by jars, and by people."""
        plant = plant_of(line)
        said = self._history.believed.get(plant.name, ())
        count = len(said)
        if self._until is not None:
            count = bisect_right(said, self._until, key=lambda one: one.until)
        return len(self._dried(plant)), count


def _solid(line: BotanicalLine, moisture: Estimate, soluble: Estimate) -> Solid:
    given = line.moisture
    return Solid(
        line.mass_g,
        moisture.value if given is None else given,
        soluble.value if line.soluble is None else line.soluble,
        moisture_u=moisture.u if given is None else 0.0,
        fresh=line.fresh,
    )


def _by_plant(taught: Sequence[Taught]) -> dict[Plant, list[Taught]]:
    found: dict[Plant, list[Taught]] = {}
    for one in taught:
        found.setdefault(one.plant, []).append(one)
    return found


def _learn(prior: Prior, taught: Mapping[Plant, Sequence[Taught]]) -> Lesson[Plant]:
    return learn(prior, {plant: [one.batch for one in own] for plant, own in taught.items()})


def _drying_of(usual: Estimate, taught: Sequence[Taught]) -> Drying:
    if not taught or usual.u <= 0.0:
        return Drying(usual, usual)
    plant = taught[0].plant
    known = _learn(Prior(usual.value, usual.u), {plant: taught}).of(plant)
    source = _source(taught, taught, usual.source)
    now = Estimate(min(max(known.mean, 0.0), 1.0), known.next_u, source)
    return Drying(usual, now, taught, known)


def _source(own: Sequence[Taught] | None, taught: Sequence[Taught], usual: str) -> str:
    """Say which jars a figure was measured on, and what it began from."""
    if not taught:
        return usual
    last = dict.fromkeys(one.jar.code for one in reversed(own or taught))
    named = ", ".join(list(last)[:_NAMED])
    more = f" and {len(last) - _NAMED} more" if len(last) > _NAMED else ""
    on = "" if own else "on others of its kind "
    return f"measured here {on}({named}{more}), beside {usual}"


def library(store: Store, settings: Settings) -> TaughtLibrary:
    """Return what the shelf knows, worked out anew only after the record was written to."""

    def make() -> TaughtLibrary:
        return TaughtLibrary(History(store, settings), own_books(store))

    return store.remembered(("library", settings), make)
