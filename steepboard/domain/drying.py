"""What dried samples say of a botanical's water and of its soluble part."""

from __future__ import annotations

from math import hypot
from typing import NamedTuple

from steepboard.domain.learning import Batch
from steepboard.domain.liquor import Liquor, Solid
from steepboard.domain.readings import Measured, Readings


class Dryness(NamedTuple):
    """Of one botanical; None where nothing tells."""

    moisture: Batch | None
    """Of the mass as weighed."""
    soluble: Batch | None
    """Of the dry mass."""


def dryness(solid: Solid, made: Liquor, readings: Readings) -> Dryness:
    """Return what a jar of one botanical says of it.

    A dried sample of the liquid tells what dissolved, the dried marc what did not; both together
    tell the dry mass, and so the water there had been. Of `made`, the liquor as it was believed,
    only ethanol and water count.
    """
    dissolved = _dissolved_g(made, readings)
    if dissolved is None:
        return Dryness(None, _soluble_by_marc(solid, made, readings))
    undissolved = _undissolved_g(dissolved.value / (made.ethanol_g + made.water_g), readings)
    if undissolved is not None:
        dry_g = dissolved.value + undissolved.value
        if 0.0 < dry_g < solid.mass_g:
            dry_u = hypot(dissolved.u, undissolved.u)
            moisture = Batch(1.0 - dry_g / solid.mass_g, dry_u / solid.mass_g)
            part = dissolved.value / dry_g
            u = hypot((1.0 - part) * dissolved.u, part * undissolved.u) / dry_g
            return Dryness(moisture, _soluble(part, u))
    if solid.dry_g <= 0.0:
        return Dryness(None, None)
    return Dryness(None, _soluble(dissolved.value / solid.dry_g, dissolved.u / solid.dry_g))


def _soluble(share: float, u: float) -> Batch | None:
    return Batch(share, u) if 0.0 <= share < 1.0 else None


def _dissolved_g(made: Liquor, readings: Readings) -> Batch | None:
    """Return what is dissolved in all the liquor, by the dry residue of a sample, in g."""
    sample, residue = readings.residue_ml, readings.residue_g
    if sample is None or residue is None or sample.value <= 0.0 or readings.is_rinsed:
        return None
    g_per_ml = residue.value / sample.value
    pure = 1.0 - g_per_ml * made.solids_ml_per_g
    if pure <= 0.0:
        return None
    mix_ml = made.volume_ml - made.dissolved_g * made.solids_ml_per_g
    u_per_ml = hypot(residue.u, g_per_ml * sample.u) / sample.value
    return Batch(g_per_ml * mix_ml / pure, u_per_ml * mix_ml / pure**2)


def _undissolved_g(per_g: float, readings: Readings) -> Batch | None:
    """Return what never dissolved, in g: the dried marc less what dried of the liquor it held.

    `per_g` is what is dissolved in each g of that liquor's ethanol and water, in g.
    """
    dried = _dried(readings)
    if dried is None:
        return None
    wet, dry = dried
    left_g = dry.value - per_g * (wet.value - dry.value)
    return Batch(left_g, hypot((1.0 + per_g) * dry.u, per_g * wet.u)) if left_g > 0.0 else None


def _soluble_by_marc(solid: Solid, made: Liquor, readings: Readings) -> Batch | None:
    """Return the soluble part where the marc alone was dried.

    The dry mass that is not in the dried marc is in the liquor that came out: of all that
    dissolved the same share as of the ethanol and water.
    """
    dried, pure_g = _dried(readings), made.ethanol_g + made.water_g
    if dried is None or solid.dry_g <= 0.0:
        return None
    wet, dry = dried
    out = 1.0 - (wet.value - dry.value) / pure_g
    if out <= 0.0:
        return None
    rest = dry.value / solid.dry_g
    part = (1.0 - rest) / out
    # Unlike what dissolved, this is a small difference that a wrong moisture swings.
    moisture_u = rest * solid.moisture_u / (1.0 - solid.moisture)
    dry_u = (1.0 / solid.dry_g + part / pure_g) * dry.u
    return _soluble(part, hypot(dry_u, part / pure_g * wet.u, moisture_u) / out)


def _dried(readings: Readings) -> tuple[Measured, Measured] | None:
    """Return what the marc weighed wet and dry, where that tells anything."""
    wet, dry = readings.marc_g, readings.dry_marc_g
    if wet is None or dry is None or wet.value < dry.value or readings.is_rinsed:
        return None
    return wet, dry
