"""Walking through a straining: what to expect, what to doubt, where it was left, how it ends."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from steepboard.domain.balance import Balance, Measured, Readings, strain_balance
from steepboard.domain.expecting import Z_80, Z_99, Charged, Likely, expectations, is_far
from steepboard.domain.figures import percent
from steepboard.domain.readings import FIELDS
from steepboard.domain.records import Instrument, Jar, Measure, Reading, Separation
from steepboard.services import material
from steepboard.store import diary, jars

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from steepboard.services.desk import Desk
    from steepboard.services.typed_readings import Typed

FINAL = frozenset({Measure.RECOVERED, Measure.RECOVERED_MASS})
"""Either of them ends a straining."""
_worked_balance = lru_cache(maxsize=512)(strain_balance)
"""Each bottle, list and screen asks for the balance of its batches again; 512 are years of them."""


def reading(
    desk: Desk,
    measure: Measure,
    value: float,
    typed: str,
    resolution: float,
    now: datetime,
    *,
    instrument: Instrument | None = None,
    temperature_c: float | None = None,
) -> Reading:
    """Return a reading; it counts no finer than its instrument shows.

    Where none is named it is the house's for so much.
    """
    tools = desk.settings.instruments
    if instrument is None and measure.unit == "g":
        instrument = tools.scale_for(value)
    elif instrument is None and measure.unit == "mL":
        instrument = Instrument.CYLINDER
    elif measure is Measure.HYDROMETER:
        instrument = Instrument.HYDROMETER
    step = max(resolution, tools.step(instrument)) if instrument else resolution
    return Reading(measure, value, typed, step, now, temperature_c, instrument)


def understood(desk: Desk, typed: Typed, now: datetime) -> Reading:
    """Return the reading that was typed."""
    return reading(
        desk,
        typed.measure,
        typed.value,
        typed.typed,
        typed.resolution,
        now,
        instrument=typed.instrument,
        temperature_c=typed.temperature_c,
    )


def readings_of(read: Iterable[Reading]) -> Readings:
    """Return readings as the arithmetic takes them; the last of a measure counts."""
    return Readings(
        **{
            FIELDS[r.measure]: Measured(
                r.value, r.resolution, 20.0 if r.temperature_c is None else r.temperature_c
            )
            for r in read
        }
    )


def to_balance(jar: Jar, extra: tuple[Reading, ...] = ()) -> Readings | None:
    """Return what a balance is worked from, or None as long as nothing recovered was read.

    What only dripped counts as pressed to nothing more.
    """
    readings = readings_of((*jar.readings, *extra))
    if not readings.recovered_is_read:
        return None
    unpressed = readings.pressed_ml is None and readings.pressed_g is None
    if jar.charge.separation is Separation.DRIP and unpressed:
        return replace(readings, pressed_ml=Measured(0.0, 0.0))
    return readings


def balance(desk: Desk, jar: Jar, extra: tuple[Reading, ...] = ()) -> Balance | None:
    """Return the strain balance of a jar, or None as long as nothing recovered was read.

    `extra` are readings that were typed and not kept yet; they replace those that were.
    """
    readings = to_balance(jar, extra)
    if readings is None:
        return None
    kept = material.kept_of(jar.charge.kept_ml, desk.settings)
    library = desk.library_for(jar)
    return _worked_balance(
        material.solids(jar.charge, desk.settings.instruments, library),
        material.pours(jar.charge.spirits, desk.settings.instruments),
        readings,
        held_prior=material.held(jar.charge, library),
        kept_prior=(kept.value, kept.u),
        solids_ml_per_g=desk.settings.arithmetic.solids_ml_per_g,
    )


def likely(desk: Desk, jar: Jar, extra: tuple[Reading, ...] = ()) -> dict[Measure, Likely]:
    """Return what each reading should be, given what else was read, where anything is known.

    Of a jar that only drips nothing is expected of pressing, unless something pressed was read.
    """
    charge, library = jar.charge, desk.library_for(jar)
    dripping = replace(charge, separation=Separation.DRIP)
    kept = material.kept_of(charge.kept_ml, desk.settings)
    tools = desk.settings.instruments
    found = expectations(
        Charged(
            material.solids(charge, tools, library),
            material.pours(charge.spirits, tools),
            material.held(charge, library),
            material.held(dripping, library),
            kept.value,
            kept.u,
            desk.settings.arithmetic.solids_ml_per_g,
        ),
        readings_of((*jar.readings, *extra)),
    )
    pressed = {Measure.PRESSED, Measure.PRESSED_MASS}
    read = {one.measure for one in (*jar.readings, *extra)}
    not_asked = pressed if charge.separation is Separation.DRIP and not pressed & read else set()
    return {
        measure: found[field]
        for measure, field in FIELDS.items()
        if field in found and measure not in not_asked
    }


def expect(
    desk: Desk, jar: Jar, measure: Measure, extra: tuple[Reading, ...] = ()
) -> tuple[float, float] | None:
    """Return the ends of the 80 % interval of a reading, in its unit, or None."""
    one = likely(desk, jar, extra).get(measure)
    return one.between(Z_80) if one else None


def doubt(desk: Desk, jar: Jar, read: Reading, extra: tuple[Reading, ...] = ()) -> str:
    """Return a plain question where a reading is outside its 99 % interval, else nothing."""
    one = likely(desk, jar, extra).get(read.measure)
    if one is None or not is_far(one, Measured(read.value, read.resolution)):
        return ""
    between = amount_between(read.measure, one.between(Z_99), beside=read.value)
    value = f"{read.measure.value.capitalize()}: {shown(read.measure, read.value)}"
    return f"{value} lies outside {between}, where all but one in a hundred lie. Is it read right?"


def shown(measure: Measure, value: float) -> str:
    """Return a reading for people, say `121.1 g` or `37 %`."""
    return percent(value) if measure.unit == "fraction" else f"{value:g} {measure.unit}"


def amount_between(
    measure: Measure, ends: tuple[float, float], *, beside: float | None = None
) -> str:
    """Return an interval for people, as fine as its width asks for: `108 to 136 g`.

    It is finer where else an end would be shown as the value `beside` it.
    """
    unit, factor = ("%", 100.0) if measure.unit == "fraction" else (measure.unit, 1.0)
    low, high = (end * factor for end in ends)
    digits = 0 if high - low >= 5.0 else 1 if high - low >= 0.2 else 2
    if beside is not None and round(beside * factor, digits) in (
        round(low, digits),
        round(high, digits),
    ):
        digits += 1
    return f"{low:.{digits}f} to {high:.{digits}f} {unit}"


def draft(desk: Desk, jar: Jar) -> tuple[str, dict[str, str]] | None:
    """Return the step a straining was left at and what was typed, or None."""
    return jars.draft(desk.store, jar.id)


def leave(desk: Desk, jar: Jar, step: str, typed: dict[str, str]) -> None:
    """Keep where a straining was left, so that one can come back to it."""
    with desk.store.writing() as db:
        diary.save_draft(db, jar.id, step, typed)
