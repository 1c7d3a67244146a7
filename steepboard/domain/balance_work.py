"""The sums of a strain balance, worked once from one set of inputs; masses in g, mL at 20 °C."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from steepboard.domain import alcohol
from steepboard.domain.expected import Held, held_ml
from steepboard.domain.liquor import (
    Liquor,
    Pour,
    Solid,
    dissolved_from_apparent,
    liquor,
    true_from_apparent,
)
from steepboard.domain.readings import Measured, Readings
from steepboard.domain.washing import left_in_marc
from steepboard.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class Case:
    """All that a balance is worked from."""

    solids: tuple[Solid, ...]
    pours: tuple[Pour, ...]
    readings: Readings
    held: tuple[Held, ...]
    kept_ml: float
    solids_ml_per_g: float


@dataclass(frozen=True, slots=True)
class Worked:
    """The liquids of a straining, and what each part of them weighs."""

    made: Liquor
    """In the jar before straining."""
    pool: Liquor
    """What came out, rinses included."""
    in_marc: Liquor
    """What the solids hold in the end; only its make-up counts."""
    rinse_g: float
    parts_g: dict[str, float]
    """What left or stayed, as read or as usual."""
    undissolved_g: float

    @property
    def total_g(self) -> float:
        """All that went in."""
        return self.made.mass_g + self.rinse_g

    @property
    def unaccounted_g(self) -> float:
        """What no part explains."""
        return self.total_g - sum(self.parts_g.values())


def weight_g(mass: Measured | None, volume: Measured | None, density: float) -> float | None:
    """Return what a liquid weighs, by the scale or else by its volume; None where not read."""
    if mass is not None:
        return mass.value
    return None if volume is None else volume.value * density


def stages_g(case: Case, made: Liquor, pool: Liquor) -> float:
    """Return what drained, was pressed and came back of a rinse."""
    r, first = case.readings, made.density_g_ml
    stages = (
        weight_g(r.drained_g, r.drained_ml, first),
        weight_g(r.pressed_g, r.pressed_ml, first),
        weight_g(None, r.washed_out_ml, pool.density_g_ml),
    )
    return sum(stage for stage in stages if stage is not None)


def worked(case: Case) -> Worked:
    """Return the liquids and the parts of a straining."""
    r, made = case.readings, _made(case.solids, case.pours, case.solids_ml_per_g)
    usual_ml = held_ml(case.solids, case.held)
    undissolved_g = sum(s.undissolved_g for s in case.solids)
    rough_g = usual_ml * made.density_g_ml
    if r.marc_g is not None:
        rough_g = r.marc_g.value - undissolved_g
    rinse, pool, in_marc = _rinsed(case, made, rough_g / made.density_g_ml)
    held_g = usual_ml * in_marc.density_g_ml
    if r.marc_g is not None and r.dry_marc_g is not None:
        solids_in = in_marc.dissolved_g / in_marc.mass_g
        held_g = (r.marc_g.value - r.dry_marc_g.value) / (1.0 - solids_in)
        undissolved_g = r.dry_marc_g.value - solids_in * held_g
    elif r.marc_g is not None:
        held_g = rough_g
    parts = dict(_parts(case, made, pool, held_g))
    return Worked(made, pool, in_marc, rinse.mass_g if rinse else 0.0, parts, undissolved_g)


def work(case: Case) -> dict[str, float]:
    """Return every figure of the balance by name; what cannot be worked is left out."""
    w, r = worked(case), case.readings
    density = dict.fromkeys(("recovered", "filter", "sediment", "rest"), w.pool.density_g_ml)
    density |= {"marc": w.in_marc.density_g_ml, "unaccounted": w.pool.density_g_ml}
    masses = {**w.parts_g, "unaccounted": w.unaccounted_g, "liquor": w.made.mass_g}
    out = {"density": w.pool.density_g_ml, "total_g": w.total_g}
    for name, g in masses.items():
        out[f"{name}_g"], out[f"{name}_share"] = g, g / w.total_g
        out[f"{name}_ml"] = g / density.get(name, w.made.density_g_ml)
    if r.is_rinsed:
        out |= {"rinse_g": w.rinse_g, "rinse_ml": r.rinse_ml, "rinse_share": w.rinse_g / w.total_g}
    poured_ml = sum(
        alcohol.volume_at_20_ml(p.volume_ml, p.strength, p.temperature_c) for p in case.pours
    )
    out["yield_fraction"] = out["recovered_ml"] / (poured_ml + r.rinse_ml)
    out["strength"] = w.pool.true_strength
    dry_g = sum(s.dry_g for s in case.solids)
    if dry_g > 0.0:
        out["held_per_dry_g_ml"] = out["marc_ml"] / dry_g
    if r.dry_marc_g is not None and r.marc_g is not None:
        out["undissolved_g"] = w.undissolved_g
        out["undissolved_gap_g"] = w.undissolved_g - sum(s.undissolved_g for s in case.solids)
    filtered_g = weight_g(r.filtered_g, r.filtered_ml, w.pool.density_g_ml)
    if r.is_final and filtered_g is not None:
        out["filtered_ml"] = filtered_g / w.pool.density_g_ml
        out["settled_away_ml"] = out["filtered_ml"] - out["recovered_ml"]
    return out | dict(_mismatches(case, w)) | _cross_checks(case, w.pool)


@lru_cache(maxsize=64)
def _made(solids: tuple[Solid, ...], pours: tuple[Pour, ...], solids_ml_per_g: float) -> Liquor:
    return liquor(solids, pours, solids_ml_per_g)


def _parts(case: Case, made: Liquor, pool: Liquor, held_g: float) -> Iterator[tuple[str, float]]:
    """Yield each part; what the last liquid that was read still holds is not counted twice."""
    r, density = case.readings, pool.density_g_ml
    recovered = weight_g(r.recovered_g, r.recovered_ml, density)
    if recovered is None:
        recovered = weight_g(r.filtered_g, r.filtered_ml, density)
    yield "recovered", stages_g(case, made, pool) if recovered is None else recovered
    yield "marc", held_g
    if r.filter_before_g is not None and r.filter_after_g is not None and r.is_filtered:
        yield "filter", r.filter_after_g.value - r.filter_before_g.value
    else:
        yield "filter", case.kept_ml * density
    if r.sediment_ml is not None and r.is_final:
        yield "sediment", r.sediment_ml.value * density
    sampled_g = r.sampled_ml.value * made.density_g_ml if r.sampled_ml is not None else 0.0
    if r.sampled_ml is not None:
        yield "sampled", sampled_g
    if r.gross_charged_g is not None and r.gross_before_g is not None:
        yield "evaporated", r.gross_charged_g.value - r.gross_before_g.value - sampled_g


def _rinsed(case: Case, made: Liquor, usual_ml: float) -> tuple[Liquor | None, Liquor, Liquor]:
    """Return the rinse, what came out with it, and what the solids then hold.

    The rinse mixes with what was held and drains until as much is held again (`washing`).
    """
    r = case.readings
    if r.wash_ml is None or r.wash_ml.value <= 0.0:
        return None, made, made
    if r.wash_strength is not None:
        strength = r.wash_strength.value
    else:
        strength = liquor((), case.pours).solids_free_strength
    rinse = liquor((), (Pour(r.wash_ml.value, strength),), case.solids_ml_per_g)
    stays_ml = min(usual_ml, made.volume_ml)
    if stays_ml <= 0.0:
        return rinse, _mixed(made, 1.0, rinse, 1.0), made
    left = left_in_marc(stays_ml, r.wash_ml.value, 1)
    of_made, of_rinse = left * stays_ml / made.volume_ml, (1.0 - left) * stays_ml / r.wash_ml.value
    pool = _mixed(made, 1.0 - of_made, rinse, 1.0 - of_rinse)
    return rinse, pool, _mixed(made, of_made, rinse, of_rinse)


def _mixed(one: Liquor, of_one: float, other: Liquor, of_other: float) -> Liquor:
    return Liquor(
        one.ethanol_g * of_one + other.ethanol_g * of_other,
        one.water_g * of_one + other.water_g * of_other,
        one.dissolved_g * of_one + other.dissolved_g * of_other,
        one.solids_ml_per_g,
    )


def _mismatches(case: Case, w: Worked) -> Iterator[tuple[str, float]]:
    """Yield by how many mL scale and measure differ on a liquid that was read by both."""
    r = case.readings
    for stage, liquid in (("drained", w.made), ("pressed", w.made), ("filtered", w.pool),
                          ("recovered", w.pool)):  # fmt: skip
        mass: Measured | None = getattr(r, f"{stage}_g")
        volume: Measured | None = getattr(r, f"{stage}_ml")
        if mass is not None and volume is not None:
            yield f"{stage}_mismatch_ml", mass.value / liquid.density_g_ml - volume.value


def _cross_checks(case: Case, pool: Liquor) -> dict[str, float]:
    """Return what hydrometer and dry residue say of the liquid, against what the balance says."""
    r, v = case.readings, case.solids_ml_per_g
    out, dissolved = {}, pool.dissolved_g / pool.volume_ml
    out["dissolved_g_ml"] = dissolved
    if r.residue_g is not None and r.residue_ml is not None and r.residue_ml.value > 0.0:
        out["residue_g_ml"] = r.residue_g.value / r.residue_ml.value
        out["residue_gap_g_ml"] = out["residue_g_ml"] - dissolved
        dissolved = out["residue_g_ml"]
    read = r.hydrometer
    if read is None:
        return out
    try:
        strength = true_from_apparent(read.value, read.temperature_c, dissolved, v)
        out |= {"hydrometer": strength, "hydrometer_gap": strength - pool.true_strength}
        out["hydrometer_g_ml"] = dissolved_from_apparent(
            read.value, read.temperature_c, pool.true_strength, v
        )
    except OutOfRange:
        pass  # no such liquid shows this; the finding says so
    return out
