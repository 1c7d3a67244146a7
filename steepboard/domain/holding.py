"""What one straining says of the liquid that a gram of its solids held, light enough to re-teach.

The same masses as in the strain balance. Moisture and soluble part that are wrong for a botanical
are just as wrong in its next plan, and cancel there; so they add nothing to the ± given here.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, sqrt

from steepboard.domain.learning import Batch
from steepboard.domain.liquor import Liquor, Solid
from steepboard.domain.planning import Held
from steepboard.domain.readings import Measured, Readings

_CLOSES = 0.02  # of the liquor, to which a straining should add up; common practice, no source
_LOST_U = 0.01  # of the liquor, ± of what evaporates and spills unseen; half of that


def held_batches(
    solids: Sequence[Solid],
    made: Liquor,
    readings: Readings,
    usual: Sequence[Held],
    kept: tuple[float, float],
) -> tuple[Batch, ...]:
    """Return what a gram of each solid held in mL, with its ±; empty where nothing tells.

    `made` is the liquor, `usual` the prior of each solid, `kept` what filter and vessel keep in mL
    with its ±. The weighed marc tells most. What the straining lacks or has too much beyond 2 % of
    the liquor may then be the marc's fault, and counts as its ±. Without it, all that did not come
    out was held. Of several solids each takes a share of what is unusual, as its prior is unsure.
    """
    volume_ml = made.volume_ml
    density = made.mass_g / volume_ml
    by_rest = _by_rest(volume_ml, density, readings, kept)
    if readings.marc_g is None:
        if by_rest is None:
            return ()
        held_ml, u_ml = by_rest
    else:
        held_g, u_g = _in_marc_g(solids, made, readings.marc_g, readings.dry_marc_g)
        held_ml, u_ml = held_g / density, u_g / density
        if by_rest is not None:
            gap_ml = abs(held_ml - by_rest[0]) - _CLOSES * volume_ml
            u_ml = hypot(u_ml, max(0.0, gap_ml))
    return _shared(solids, usual, held_ml, u_ml)


def _in_marc_g(
    solids: Sequence[Solid], made: Liquor, wet: Measured, dry: Measured | None
) -> tuple[float, float]:
    """Return what the marc held in g with its ±: wet less dried, or less what cannot dissolve."""
    if dry is None:
        return wet.value - sum(s.undissolved_g for s in solids), wet.u
    # What the held liquor had dissolved is still there when it is dry.
    pure = 1.0 - made.dissolved_g / made.mass_g
    return (wet.value - dry.value) / pure, hypot(wet.u, dry.u) / pure


def _by_rest(
    volume_ml: float, density: float, readings: Readings, kept: tuple[float, float]
) -> tuple[float, float] | None:
    """Return all that neither came out nor stayed elsewhere, in mL with its ±."""
    if not readings.recovered_is_read:
        return None
    out_ml, out_u = _came_out(readings, density)
    kept_ml, kept_u = kept if readings.is_filtered else (0.0, 0.0)
    before, after = readings.filter_before_g, readings.filter_after_g
    if before is not None and after is not None:
        kept_ml, kept_u = (after.value - before.value) / density, hypot(before.u, after.u) / density
    sampled_ml = _ml(readings.sampled_ml)
    gone_ml = kept_ml + sampled_ml + _ml(readings.sediment_ml) - _ml(readings.wash_ml)
    charged, strained = readings.gross_charged_g, readings.gross_before_g
    if charged is not None and strained is not None:
        gone_ml += (charged.value - strained.value) / density - sampled_ml
    return volume_ml - out_ml - gone_ml, hypot(out_u, kept_u, _LOST_U * volume_ml)


def _came_out(readings: Readings, density: float) -> tuple[float, float]:
    """Return what came out in mL with its ±, by the last stage that was read; the scale first.

    As long as nothing was filtered, all that drained, was pressed and came back of a rinse.
    """
    for mass, volume in (
        (readings.recovered_g, readings.recovered_ml),
        (readings.filtered_g, readings.filtered_ml),
    ):
        if mass is not None or volume is not None:
            return _stage(mass, volume, density)
    stages = (
        _stage(readings.drained_g, readings.drained_ml, density),
        _stage(readings.pressed_g, readings.pressed_ml, density),
        _stage(None, readings.washed_out_ml, density),
    )
    return sum(ml for ml, _ in stages), hypot(*(u for _, u in stages))


def _stage(mass: Measured | None, volume: Measured | None, density: float) -> tuple[float, float]:
    if mass is not None:
        return mass.value / density, mass.u / density
    return (volume.value, volume.u) if volume is not None else (0.0, 0.0)


def _ml(reading: Measured | None) -> float:
    return reading.value if reading is not None else 0.0


def _shared(
    solids: Sequence[Solid], usual: Sequence[Held], held_ml: float, u_ml: float
) -> tuple[Batch, ...]:
    """Return what each solid held of it, as the priors expect it together with this sum.

    One solid takes it all. Each of several takes a share of the difference in squares of its ±,
    and what the others may have held adds to its own ±.
    """
    grams = [held.basis_g(solid) for solid, held in zip(solids, usual, strict=True)]
    if min(grams) <= 0.0:
        return ()
    if len(grams) == 1:
        return (Batch(held_ml / grams[0], u_ml / grams[0]),)
    unsure = [(held.u * g) ** 2 for held, g in zip(usual, grams, strict=True)]
    extra_ml = held_ml - sum(held.ml_per_g * g for held, g in zip(usual, grams, strict=True))
    return tuple(
        Batch(
            held.ml_per_g + extra_ml * mine / sum(unsure) / g,
            hypot(u_ml, sqrt(sum(unsure) - mine)) / g,
        )
        for held, g, mine in zip(usual, grams, unsure, strict=True)
    )
