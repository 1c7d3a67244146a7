"""The bottled jars of a record, as the arithmetic takes them; each is worked through once."""

from __future__ import annotations

from collections import defaultdict
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from steepboard.catalogue.classes import absorption
from steepboard.catalogue.names import id_of
from steepboard.domain.drying import Dryness, dryness
from steepboard.domain.holding import held_batches
from steepboard.domain.liquor import Liquor, Pour, Solid, liquor
from steepboard.domain.planning import Held
from steepboard.domain.readings import FIELDS, Measured, Readings
from steepboard.domain.records import Measure
from steepboard.services import material
from steepboard.store import own
from steepboard.store.strains import strains

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterator, Sequence

    from steepboard.catalogue.records import Absorption
    from steepboard.domain.learning import Batch
    from steepboard.domain.records import BotanicalLine, Separation
    from steepboard.settings import Settings
    from steepboard.store.connect import Store
    from steepboard.store.own import Believed
    from steepboard.store.strains import Strain

T = TypeVar("T")


class Group(NamedTuple):
    """Jars that teach one another: alike in material, state and way of straining."""

    material_class: str
    fresh: bool
    separation: Separation


class Plant(NamedTuple):
    """One botanical in one state, by its id, or by the one that its name would give."""

    name: str
    fresh: bool


class Turn(NamedTuple):
    """When it became known how dry a botanical is; what is said holds at once, in this order."""

    at: str
    """As the record writes instants."""
    measured: bool
    """By what was dried of a jar; else a person said so."""


def group_of(line: BotanicalLine, separation: Separation) -> Group:
    """Return the jars that teach what a botanical holds."""
    return Group(line.material_class, line.fresh, separation)


def plant_of(line: BotanicalLine) -> Plant:
    """Return what a botanical is known by; one kept later by its name keeps what it taught."""
    return Plant(line.catalogue_id or id_of(line.name) or line.name, line.fresh)


class History:
    """What bottled jars were charged with and what was read of them, the first bottled first."""

    def __init__(self, store: Store, settings: Settings) -> None:
        self._store, self._settings = store, settings
        self._found: dict[Hashable, object] = {}

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what `make` works out, the first time; later the same."""
        if key not in self._found:
            self._found[key] = make()
        return self._found[key]  # type: ignore[return-value]

    @cached_property
    def by_group(self) -> dict[Group, list[Strain]]:
        """The jars that hold a botanical of each group."""
        found: dict[Group, list[Strain]] = defaultdict(list)
        for strain in self._strains:
            for group in {group_of(line, strain.separation) for line in strain.botanicals}:
                found[group].append(strain)
        return dict(found)

    @cached_property
    def dried(self) -> dict[Plant, list[Strain]]:
        """The jars of one botanical of which something was dried."""
        found: dict[Plant, list[Strain]] = defaultdict(list)
        for strain in self._strains:
            if len(strain.botanicals) == 1 and not _DRIED.isdisjoint(strain.readings):
                found[plant_of(strain.botanicals[0])].append(strain)
        return dict(found)

    @cached_property
    def believed(self) -> dict[str, list[Believed]]:
        """How dry each botanical was taken to be before a person said otherwise, by its id."""
        found: dict[str, list[Believed]] = defaultdict(list)
        for one in own.believed(self._store):
            found[one.plant].append(one)
        return dict(found)

    @cached_property
    def turns_by_group(self) -> dict[Group, list[Turn]]:
        """When it was told anew how dry anything is that jars of each group hold."""
        plants = {
            group: {plant_of(line) for strain in strains for line in strain.botanicals}
            for group, strains in self.by_group.items()
        }
        return {
            group: sorted(turn for plant in held for turn in self._turns(plant))
            for group, held in plants.items()
        }

    def _turns(self, plant: Plant) -> Iterator[Turn]:
        yield from (Turn(jar.bottled_at, measured=True) for jar in self.dried.get(plant, ()))
        said = self.believed.get(plant.name, ())
        yield from (Turn(one.until, measured=False) for one in said)

    def dryness(self, strain: Strain, solid: Solid) -> Dryness:
        """Return how dry the one botanical of a jar was, beginning from what is believed of it."""
        key = ("dryness", strain.code, solid)
        return self.once(
            key, lambda: dryness(solid, self.liquor(strain, (solid,)), self._readings(strain))
        )

    def held(self, strain: Strain, solids: Sequence[Solid]) -> tuple[Batch, ...]:
        """Return what a gram of each botanical of a jar held, empty where nothing tells."""
        read = self._readings(strain)
        if read.marc_g is None and not read.recovered_is_read:
            return ()
        held = [self._held(group_of(line, strain.separation)) for line in strain.botanicals]
        return held_batches(
            solids, self.liquor(strain, solids), read, held, self._kept(strain.kept_ml)
        )

    def usual(self, group: Group) -> Absorption:
        """Return what material of a group holds before any was measured."""
        kind, fresh, separation = group
        return self.once(("usual", group), lambda: absorption(kind, separation, fresh))

    def liquor(self, strain: Strain, solids: Sequence[Solid]) -> Liquor:
        """Return the liquor of a jar."""
        pours = [Pour(s.volume_ml, s.strength, s.temperature_c) for s in strain.spirits]
        return liquor(solids, pours, self._settings.arithmetic.solids_ml_per_g)

    def _readings(self, strain: Strain) -> Readings:
        return self.once(("read", strain.code), lambda: _readings(strain))

    def _held(self, group: Group) -> Held:
        usual = self.usual(group)
        return self.once(("held", group), lambda: Held(usual.mean, usual.sd, usual.per_dry))

    def _kept(self, given_ml: float | None) -> tuple[float, float]:
        def make() -> tuple[float, float]:
            kept = material.kept_of(given_ml, self._settings)
            return kept.value, kept.u

        return self.once(("kept", given_ml), make)

    @cached_property
    def _strains(self) -> tuple[Strain, ...]:
        return tuple(strains(self._store))


def _readings(strain: Strain) -> Readings:
    read = strain.readings.items()
    return Readings(**{FIELDS[measure]: Measured(r.value, r.resolution) for measure, r in read})


_DRIED = frozenset({Measure.RESIDUE, Measure.DRY_MARC})
