"""Rows of the record to values and back: stamps, days, and the fold of a diary into a jar."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time
from typing import Any

from steepboard.domain.records import (
    BotanicalLine,
    Charge,
    Entry,
    Habit,
    Instrument,
    Jar,
    Kind,
    Measure,
    Reading,
    Separation,
    Source,
    SpiritLine,
    State,
)


def stamp(at: datetime) -> str:
    """Return an aware instant as fixed-width UTC text, so that text order is time order."""
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def _time(text: str | None) -> time | None:
    return time.fromisoformat(text) if text else None


def instant(text: str) -> datetime:
    """Return the instant that `stamp` wrote."""
    return datetime.fromisoformat(text)


def reading_of(row: dict[str, Any]) -> Reading:
    """Return one reading; the row carries its entry's `at`."""
    instrument = row["instrument"]
    return Reading(
        Measure(row["measure"]),
        row["value"],
        row["typed"],
        row["resolution"],
        instant(row["at"]),
        row["temperature_c"],
        Instrument(instrument) if instrument else None,
    )


def entry_of(
    row: dict[str, Any], readings: tuple[Reading, ...], acknowledged: tuple[str, ...] = ()
) -> Entry:
    """Return one line of the diary; the row says whether it is `undone`."""
    return Entry(
        id=row["id"],
        jar_id=row["jar_id"],
        act=row["act"],
        kind=Kind(row["kind"]),
        at=instant(row["at"]),
        source=Source(row["source"]),
        initials=row["initials"],
        note=row["note"],
        undone=bool(row["undone"]),
        readings=readings,
        undoes=row["undoes"],
        strain_on=_day(row["strain_on"]),
        acknowledged=acknowledged,
    )


def charge_of(
    row: dict[str, Any], botanicals: list[dict[str, Any]], spirits: list[dict[str, Any]]
) -> Charge:
    """Return a charge from its row and the rows of its lines, in their order."""
    return Charge(
        botanicals=tuple(
            BotanicalLine(
                b["name"],
                b["mass_g"],
                b["typed"],
                b["material_class"],
                bool(b["fresh"]),
                b["catalogue_id"],
                b["moisture"],
                b["soluble"],
            )
            for b in botanicals
        ),
        spirits=tuple(
            SpiritLine(
                s["name"],
                s["volume_ml"],
                s["strength"],
                s["temperature_c"],
                s["typed_volume"],
                s["typed_strength"],
            )
            for s in spirits
        ),
        strain_on=date.fromisoformat(row["strain_on"]),
        stir_every_days=row["stir_every_days"],
        separation=Separation(row["separation"]),
        vessel_ml=row["vessel_ml"],
        held_ml_per_g=row["held_ml_per_g"],
        kept_ml=row["kept_ml"],
        taste_from_day=row["taste_from_day"],
    )


def _habit(row: dict[str, Any]) -> Habit:
    return Habit(
        row["stir_every_days"],
        _time(row["stir_at"]),
        row["taste_from_day"],
        row["taste_every_days"],
        _time(row["taste_at"]),
        _time(row["strain_at"]),
        _day(row["muted_until"]),
    )


@dataclass
class Fold:
    """What the live entries of one jar add up to, taken in the order they were written."""

    jar_id: int
    code: str
    name: str
    state: State | None = None
    charge: Charge | None = None
    days: dict[Kind, datetime] = field(default_factory=dict)
    strain_on: date | None = None
    separation: Separation | None = None
    stirs: list[datetime] = field(default_factory=list)
    tastings: list[datetime] = field(default_factory=list)
    habit: Habit = field(default_factory=Habit)
    readings: dict[Measure, Reading] = field(default_factory=dict)

    def take(
        self, row: dict[str, Any], charge: Charge | None, readings: tuple[Reading, ...]
    ) -> None:
        """Add one live entry."""
        kind, at = Kind(row["kind"]), instant(row["at"])
        self.days[kind] = at
        if charge:
            self.charge, self.strain_on, self.separation = (
                charge,
                charge.strain_on,
                charge.separation,
            )
        if kind is Kind.STIR:
            self.stirs.append(at)
        if kind is Kind.TASTE:
            self.tastings.append(at)
        if kind is Kind.REMIND:
            self.habit = _habit(row)
        if row["strain_on"]:
            self.strain_on = date.fromisoformat(row["strain_on"])
        if row["separation"]:
            self.separation = Separation(row["separation"])
        self.readings |= {reading.measure: reading for reading in readings}
        self.state = _STATE_AFTER.get(kind, self.state)

    def jar(self) -> Jar | None:
        """Return the jar, or None where every act that made it was undone."""
        if not (self.charge and self.state and self.strain_on and self.separation):
            return None
        return Jar(
            id=self.jar_id,
            code=self.code,
            name=self.name,
            state=self.state,
            charge=replace(self.charge, separation=self.separation),
            strain_on=self.strain_on,
            planned_at=self.days.get(Kind.PLAN),
            charged_at=self.days.get(Kind.CHARGE),
            strained_at=self.days.get(Kind.STRAIN),
            bottled_at=self.days.get(Kind.BOTTLE),
            stirred_at=tuple(self.stirs),
            tasted_at=tuple(self.tastings),
            habit=self.habit,
            readings=tuple(self.readings.values()),
        )


_STATE_AFTER = {
    Kind.PLAN: State.PLANNED,
    Kind.CHARGE: State.STEEPING,
    Kind.STRAIN: State.SETTLING,
    Kind.BOTTLE: State.BOTTLED,
    Kind.DISCARD: State.DISCARDED,
}
