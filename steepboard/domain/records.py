"""The records of a shelf, as frozen values; what follows from them is computed elsewhere."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, time, tzinfo
from enum import StrEnum


class State(StrEnum):
    """Where a jar stands in its life."""

    PLANNED = "planned"
    STEEPING = "steeping"
    SETTLING = "settling"
    """Strained, not yet bottled."""
    BOTTLED = "bottled"
    DISCARDED = "discarded"


class Kind(StrEnum):
    """What a diary entry says was done."""

    PLAN = "plan"
    CHARGE = "charge"
    STIR = "stir"
    TASTE = "taste"
    MOVE = "move"
    """The strain day was moved, with a reason."""
    STRAIN = "strain"
    READING = "reading"
    BOTTLE = "bottle"
    DISCARD = "discard"
    REMIND = "remind"
    """How the jar wants to be reminded was changed."""
    UNDO = "undo"


class Source(StrEnum):
    """From where an act reached the diary."""

    BOARD = "board"
    COMMAND = "command"
    NOTIFICATION = "notification"


class Separation(StrEnum):
    """How the liquid is parted from the solids."""

    DRIP = "drip"
    HAND = "pressed by hand"
    PRESS = "pressed hard"


class Measure(StrEnum):
    """What a straining reading measures; see `unit` for its canonical value."""

    DRAINED = "drained"
    """What ran off by itself."""
    DRAINED_MASS = "drained mass"
    PRESSED = "pressed"
    """What pressing brought on top."""
    PRESSED_MASS = "pressed mass"
    FILTERED = "filtered"
    """All that came through the fine filter, before it settled."""
    FILTERED_MASS = "filtered mass"
    RECOVERED = "recovered"
    """In the end, after filter and settling: what was bottled."""
    RECOVERED_MASS = "recovered mass"
    MARC = "marc"
    """Wet spent solids."""
    DRY_MARC = "dry marc"
    """The same solids, dried until they lose no more."""
    FILTER_BEFORE = "filter before"
    FILTER_AFTER = "filter after"
    """Wet, dripped out."""
    SEDIMENT = "sediment"
    """Left behind as mud."""
    SAMPLED = "sampled"
    """Taken for tasting before straining."""
    GROSS_CHARGED = "gross charged"
    """The closed jar after charging."""
    GROSS_BEFORE = "gross before straining"
    """The same closed jar on the strain day."""
    HYDROMETER = "hydrometer"
    """Strength that a 20 °C glass hydrometer shows in the bottled liquid."""
    RESIDUE_VOLUME = "residue volume"
    """Bottled liquid that was dried out."""
    RESIDUE = "residue"
    """What stayed of it when dry."""
    WASH = "wash"
    """Poured on the marc, all rinses together."""
    WASH_STRENGTH = "wash strength"
    """Of what was poured on it; water has 0."""
    WASHED_OUT = "washed out"
    """What came back of it, by itself and by pressing."""

    @property
    def unit(self) -> str:
        """The unit of the canonical value: `g`, `mL`, or `fraction` by volume at 20 °C."""
        if self in _STRENGTHS:
            return "fraction"
        return "g" if self in _WEIGHED else "mL"


_STRENGTHS = frozenset({Measure.HYDROMETER, Measure.WASH_STRENGTH})
_WEIGHED = frozenset(
    {
        Measure.DRAINED_MASS,
        Measure.PRESSED_MASS,
        Measure.FILTERED_MASS,
        Measure.RECOVERED_MASS,
        Measure.MARC,
        Measure.DRY_MARC,
        Measure.FILTER_BEFORE,
        Measure.FILTER_AFTER,
        Measure.GROSS_CHARGED,
        Measure.GROSS_BEFORE,
        Measure.RESIDUE,
    }
)


class Instrument(StrEnum):
    """With what a reading was taken."""

    KITCHEN_SCALE = "kitchen scale"
    FINE_SCALE = "jeweller's scale"
    CYLINDER = "cylinder"
    HYDROMETER = "hydrometer"


@dataclass(frozen=True, slots=True)
class BotanicalLine:
    """One weighed botanical of a charge."""

    name: str
    mass_g: float
    typed: str
    """The amount as it was typed, say `1.5 oz`."""
    material_class: str
    """A class of the catalogue, such as `seed`; gives the defaults that are not set here."""
    fresh: bool = False
    catalogue_id: str | None = None
    moisture: float | None = None
    """Water as a fraction of the mass, where the maker gave one."""
    soluble: float | None = None
    """Soluble fraction of the dry mass, where the maker gave one."""


@dataclass(frozen=True, slots=True)
class SpiritLine:
    """One spirit, or water at strength 0, poured into a charge."""

    name: str
    volume_ml: float
    strength: float
    """Fraction by volume at 20 °C."""
    temperature_c: float
    """At which the volume was read."""
    typed_volume: str
    typed_strength: str


@dataclass(frozen=True, slots=True)
class Charge:
    """What a jar is (to be) charged with, and how it is to be treated."""

    botanicals: tuple[BotanicalLine, ...]
    spirits: tuple[SpiritLine, ...]
    strain_on: date
    stir_every_days: int
    separation: Separation
    vessel_ml: float | None = None
    held_ml_per_g: float | None = None
    """Liquid held per dry gram of marc, where the maker gave one."""
    kept_ml: float | None = None
    """What filter and vessel keep, where the maker gave one."""
    taste_from_day: int | None = None
    """Days after charging from which it is to be tasted, where the catalogue knows them."""


@dataclass(frozen=True, slots=True)
class Habit:
    """How one jar wants to be reminded; what is None goes as the house does it."""

    stir_every_days: int | None = None
    stir_at: time | None = None
    taste_from_day: int | None = None
    """Days after charging."""
    taste_every_days: int | None = None
    taste_at: time | None = None
    strain_at: time | None = None
    muted_until: date | None = None
    """The first day on which the jar may be spoken of again."""

    def on(self, today: date) -> Habit:
        """Return the habit as it holds on a day: without a silence that is over."""
        over = self.muted_until is not None and self.muted_until <= today
        return replace(self, muted_until=None) if over else self


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing that was measured, as typed and as understood."""

    measure: Measure
    value: float
    """In the canonical unit of the measure: g, mL or a fraction."""
    typed: str
    resolution: float
    """Smallest step of the instrument, in the canonical unit."""
    at: datetime
    temperature_c: float | None = None
    """Of what was measured, where it was read."""
    instrument: Instrument | None = None
    """None where it was not noted, as in older records."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the diary."""

    id: int
    jar_id: int
    act: int
    """Entries of one jar that were made together share it; an undo takes them back together."""
    kind: Kind
    at: datetime
    source: Source
    initials: str
    note: str
    undone: bool
    readings: tuple[Reading, ...] = ()
    undoes: int | None = None
    """The act that this entry takes back."""
    strain_on: date | None = None
    """The day that a move moved the straining to."""
    acknowledged: tuple[str, ...] = ()
    """Codes of the cautions that the person said to have read before this act."""


@dataclass(frozen=True, slots=True)
class Jar:
    """One batch in one vessel, as its diary tells it (undone acts left out)."""

    id: int
    code: str
    """Short enough to write on tape, say `CARA-03`."""
    name: str
    state: State
    charge: Charge
    strain_on: date
    """The day in force: the charge's, or the last one it was moved to."""
    planned_at: datetime | None = None
    charged_at: datetime | None = None
    strained_at: datetime | None = None
    bottled_at: datetime | None = None
    stirred_at: tuple[datetime, ...] = ()
    tasted_at: tuple[datetime, ...] = ()
    habit: Habit = Habit()
    readings: tuple[Reading, ...] = ()
    """The last live reading of each measure."""

    def planned_days(self, zone: tzinfo) -> int | None:
        """Return how many days a planned jar steeps once charged; None for any other."""
        if self.state is not State.PLANNED or not self.planned_at:
            return None
        return (self.strain_on - self.planned_at.astimezone(zone).date()).days

    def reading(self, measure: Measure) -> Reading | None:
        """Return the reading of `measure`, or None where it was not taken."""
        return next((r for r in self.readings if r.measure is measure), None)
