"""Walking through a straining: what to expect, what to doubt, where it was left, how it ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.balance import Balance, Measured, Readings, strain_balance
from steepboard.domain.liquor import liquor
from steepboard.domain.records import Jar, Measure, Reading
from steepboard.services import material
from steepboard.store import diary, jars

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.services.desk import Desk

_FAR = 2.5  # half-widths of what is to be expected, beyond which a reading is asked about; assumed

FIELDS = {
    Measure.DRAINED: "drained_ml",
    Measure.PRESSED: "pressed_ml",
    Measure.RECOVERED: "recovered_ml",
    Measure.RECOVERED_MASS: "recovered_g",
    Measure.MARC: "marc_g",
    Measure.FILTER_BEFORE: "filter_before_g",
    Measure.FILTER_AFTER: "filter_after_g",
    Measure.SEDIMENT: "sediment_ml",
    Measure.SAMPLED: "sampled_ml",
    Measure.GROSS_CHARGED: "gross_charged_g",
    Measure.GROSS_BEFORE: "gross_before_g",
}
WEIGHED = frozenset(measure for measure, field in FIELDS.items() if field.endswith("_g"))
"""The measures that are read in g; all others are read in mL."""


def reading(
    desk: Desk, measure: Measure, value: float, typed: str, resolution: float, now: datetime
) -> Reading:
    """Return a reading; it counts no finer than the house's scale or cylinder shows."""
    tools = desk.settings.instruments
    step = tools.scale_step_g if measure in WEIGHED else tools.volume_step_ml
    return Reading(measure, value, typed, max(resolution, step), now)


def balance(desk: Desk, jar: Jar, extra: tuple[Reading, ...] = ()) -> Balance | None:
    """Return the strain balance of a jar, or None as long as nothing recovered was read.

    `extra` are readings that were typed and not kept yet; they replace those that were.
    """
    read = {r.measure: r for r in (*jar.readings, *extra)}
    readings = Readings(**{FIELDS[m]: Measured(r.value, r.resolution) for m, r in read.items()})
    if not readings.recovered_is_read:
        return None
    kept = material.kept_of(jar.charge.kept_ml, desk.settings)
    library = desk.library_for(jar)
    return strain_balance(
        material.solids(jar.charge, desk.settings.instruments, library),
        material.pours(jar.charge.spirits, desk.settings.instruments),
        readings,
        held_prior=material.held(jar.charge, library),
        kept_prior=(kept.value, kept.u),
        solids_ml_per_g=desk.settings.arithmetic.solids_ml_per_g,
    )


def expect(desk: Desk, jar: Jar, measure: Measure) -> tuple[float, float] | None:
    """Return what a reading should lie between, in its unit, or None where nothing is known.

    The ends are those of an 80 % interval (1.28 standard deviations of the prior).
    """
    charge, library = jar.charge, desk.library_for(jar)
    solids, held = material.solids(charge, library=library), material.held(charge, library)
    made = liquor(solids, material.pours(charge.spirits), desk.settings.arithmetic.solids_ml_per_g)
    kept = material.kept_of(charge.kept_ml, desk.settings)
    pairs = list(zip(solids, held, strict=True))
    held_ml = sum(h.ml_per_g * h.basis_g(s) for s, h in pairs)
    held_u = sum(h.u * h.basis_g(s) for s, h in pairs)
    solid_g = sum(s.undissolved_g for s in solids)
    before = jar.reading(Measure.FILTER_BEFORE)
    middle, u = {
        Measure.DRAINED: (made.volume_ml - held_ml, held_u),
        Measure.MARC: (solid_g + held_ml * made.density_g_ml, held_u * made.density_g_ml),
        Measure.RECOVERED: (made.volume_ml - held_ml - kept.value, held_u + kept.u),
        Measure.RECOVERED_MASS: (
            (made.volume_ml - held_ml - kept.value) * made.density_g_ml,
            (held_u + kept.u) * made.density_g_ml,
        ),
        Measure.FILTER_AFTER: (
            (before.value if before else 0.0) + kept.value * made.density_g_ml,
            kept.u * made.density_g_ml,
        ),
    }.get(measure, (None, 0.0))
    if middle is None:
        return None
    return max(0.0, middle - 1.2816 * u), max(0.0, middle + 1.2816 * u)


def doubt(desk: Desk, jar: Jar, measure: Measure, value: float) -> str:
    """Return a plain question where a reading is far from what was expected, else nothing."""
    between = expect(desk, jar, measure)
    if between is None:
        return ""
    low, high = between
    middle, half = (low + high) / 2, max((high - low) / 2, 1.0)
    if abs(value - middle) <= _FAR * half:
        return ""
    unit = "g" if measure in WEIGHED else "mL"
    return (
        f"{value:g} {unit} is far from the {low:.0f} to {high:.0f} {unit} to expect. "
        "Is it read right?"
    )


def draft(desk: Desk, jar: Jar) -> tuple[str, dict[str, str]] | None:
    """Return the step a straining was left at and what was typed, or None."""
    return jars.draft(desk.store, jar.id)


def leave(desk: Desk, jar: Jar, step: str, typed: dict[str, str]) -> None:
    """Keep where a straining was left, so that one can come back to it."""
    with desk.store.writing() as db:
        diary.save_draft(db, jar.id, step, typed)
