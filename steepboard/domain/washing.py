"""Rinsing the spent solids: what the liquid that they hold still brings, and at what strength.

A rinse of w mL on h mL held is taken to mix well and to drain until h mL are held again, so that
it carries off w/(h + w) of all that is held. Textbook leaching with constant retained liquid, from
memory; a leaching tutorial that was read states the same assumptions.
"""

from __future__ import annotations

from dataclasses import dataclass

from steepboard.domain import alcohol, guards


@dataclass(frozen=True, slots=True)
class Rinse:
    """What rinsing brings; volumes in mL at 20 °C, strengths by volume."""

    left: float
    """Share of the held flavour that stays in the solids."""
    brought_ml: float
    """The flavour that comes off, as mL of the liquor that was held."""
    extra_ml: float
    """What pooling the rinses adds to the volume."""
    pooled_ml: float
    """First liquor and rinses together."""
    pooled_strength: float
    intensity: float
    """Flavour per mL of the pool against that of the first liquor."""


def left_in_marc(held_ml: float, wash_ml: float, times: int) -> float:
    """Return the share of the held flavour that so many rinses leave: (h/(h + w))ⁿ.

    Source: the head of this file. Raises `OutOfRange`.
    """
    guards.positive("held liquid", held_ml)
    guards.positive("rinse", wash_ml)
    guards.not_negative("number of rinses", times)
    return float((held_ml / (held_ml + wash_ml)) ** times)


def rinse(
    held_ml: float,
    strength: float,
    recovered_ml: float,
    wash_ml: float,
    wash_strength: float,
    times: int = 1,
) -> Rinse:
    """Return what `times` rinses of `wash_ml` bring to a liquor already poured off.

    `strength` is that of the liquor, poured off and held alike. In the end the solids hold h mL
    again: the share `left` of it first liquor, the rest rinsing spirit. All else is in the pool,
    and there masses add. Dissolved solids are counted as water, which moves the pool's volume by
    less than a thousandth (measured here, up to 70 g/L). Raises `OutOfRange`.
    """
    guards.not_negative("recovered volume", recovered_ml)
    left = left_in_marc(held_ml, wash_ml, times)
    brought_ml = held_ml * (1.0 - left)
    liquor_ml, spirit_ml = recovered_ml + brought_ml, max(0.0, times * wash_ml - brought_ml)
    pool = alcohol.blend([(liquor_ml, strength), (spirit_ml, wash_strength)])
    return Rinse(
        left=left,
        brought_ml=brought_ml,
        extra_ml=pool.total_ml - recovered_ml,
        pooled_ml=pool.total_ml,
        pooled_strength=pool.strength,
        intensity=liquor_ml / pool.total_ml,
    )
