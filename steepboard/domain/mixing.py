"""A liquid by what a mL of it holds, and what several make when poured together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

from steepboard.domain import alcohol, guards
from steepboard.domain.liquor import SOLIDS_ML_PER_G, Liquor
from steepboard.domain.readings import Measured
from steepboard.errors import NothingWeighed


@dataclass(frozen=True, slots=True)
class Liquid:
    """What a mL of a tincture, or of plain spirit, holds; each ± is a standard uncertainty."""

    strength: float
    """True, by volume at 20 °C."""
    dissolved_g_ml: float = 0.0
    intensity: float = 0.0
    """The index of `ratio.intensity`; plain spirit has 0."""
    strength_u: float = 0.0
    dissolved_u_g_ml: float = 0.0
    shares: tuple[tuple[int, float], ...] = ()
    """From jar ids to their parts of the volume; what is missing to 1 is plain spirit or water."""
    doubts: tuple[tuple[int, float, float], ...] = ()
    """What each jar brings to the ± of strength and solids; under 0, what no jar brings."""

    def __post_init__(self) -> None:
        """Refuse what no liquid can be."""
        guards.fraction("strength", self.strength)
        guards.not_negative("dissolved solids per mL", self.dissolved_g_ml)
        guards.not_negative("intensity", self.intensity)


def content(liquid: Liquid, volume_ml: float, solids_ml_per_g: float = SOLIDS_ML_PER_G) -> Liquor:
    """Return the grams that so many mL at 20 °C hold. Raises `OutOfRange`."""
    mix_share = 1.0 - liquid.dissolved_g_ml * solids_ml_per_g
    guards.positive("share of ethanol and water", mix_share)
    mass_fraction = alcohol.mass_fraction_of(min(1.0, liquid.strength / mix_share))
    mix_g = volume_ml * mix_share * alcohol.density_kg_m3(mass_fraction) / 1e3
    ethanol_g = mix_g * mass_fraction
    return Liquor(ethanol_g, mix_g - ethanol_g, volume_ml * liquid.dissolved_g_ml, solids_ml_per_g)


def density(liquid: Liquid, solids_ml_per_g: float = SOLIDS_ML_PER_G) -> tuple[float, float]:
    """Return the density in g/mL at 20 °C and its ±, from those of strength and solids."""

    def at(strength: float, dissolved_g_ml: float) -> float:
        highest = 1.0 - dissolved_g_ml * solids_ml_per_g
        moved = replace(
            liquid, strength=min(max(strength, 0.0), highest), dissolved_g_ml=dissolved_g_ml
        )
        return content(moved, 1.0, solids_ml_per_g).mass_g

    strength, solids = liquid.strength, liquid.dissolved_g_ml
    by_strength = at(strength + liquid.strength_u, solids) - at(
        strength - liquid.strength_u, solids
    )
    by_solids = at(strength, solids + liquid.dissolved_u_g_ml) - at(strength, solids)
    return at(strength, solids), hypot(by_strength / 2.0, by_solids)


def mixed(
    parts: Sequence[tuple[Liquid, Measured]], solids_ml_per_g: float = SOLIDS_ML_PER_G
) -> tuple[Liquid, float]:
    """Return what these mL make together, and how many mL at 20 °C that is.

    Grams add: of ethanol, of water, of what is dissolved. So does what makes the intensity.
    The ± leave contraction out, which is far below them. Raises `NothingWeighed`.
    """
    parts = [(liquid, volume) for liquid, volume in parts if volume.value > 0.0]
    if not parts:
        raise NothingWeighed("liquid", "pour at least one, more than 0 mL of it")
    if len(parts) == 1:
        return parts[0][0], parts[0][1].value
    held = [content(liquid, volume.value, solids_ml_per_g) for liquid, volume in parts]
    made = Liquor(
        sum(one.ethanol_g for one in held),
        sum(one.water_g for one in held),
        sum(one.dissolved_g for one in held),
        solids_ml_per_g,
    )
    total_ml, poured_ml = made.volume_ml, sum(volume.value for _, volume in parts)
    dissolved = made.dissolved_g / total_ml
    doubts = _doubts(parts, made.true_strength, dissolved, poured_ml)
    return (
        Liquid(
            min(made.true_strength, 1.0),
            dissolved,
            sum(one.intensity * volume.value for one, volume in parts) / total_ml,
            hypot(*(strength_u for _, strength_u, _ in doubts)),
            hypot(*(dissolved_u for _, _, dissolved_u in doubts)),
            _shares(parts, poured_ml),
            doubts,
        ),
        total_ml,
    )


def _doubts(
    parts: Sequence[tuple[Liquid, Measured]], strength: float, dissolved: float, poured_ml: float
) -> tuple[tuple[int, float, float], ...]:
    """Return the ± of means weighed by volume: what one jar brings adds up, jars are apart."""
    by_jar: dict[int, tuple[float, float]] = {}
    apart: list[tuple[float, float]] = []
    for liquid, volume in parts:
        weight, off = volume.value / poured_ml, volume.u / poured_ml
        apart.append(
            ((liquid.strength - strength) * off, (liquid.dissolved_g_ml - dissolved) * off)
        )
        for jar_id, strength_u, dissolved_u in liquid.doubts or _own_doubt(liquid):
            brought = (weight * strength_u, weight * dissolved_u)
            if jar_id:
                before = by_jar.get(jar_id, (0.0, 0.0))
                by_jar[jar_id] = (before[0] + brought[0], before[1] + brought[1])
            else:
                apart.append(brought)
    rest = (hypot(*(one[0] for one in apart)), hypot(*(one[1] for one in apart)))
    return ((0, *rest), *((jar_id, *both) for jar_id, both in sorted(by_jar.items())))


def _own_doubt(liquid: Liquid) -> tuple[tuple[int, float, float], ...]:
    jar_id = liquid.shares[0][0] if len(liquid.shares) == 1 else 0
    return ((jar_id, liquid.strength_u, liquid.dissolved_u_g_ml),)


def _shares(
    parts: Sequence[tuple[Liquid, Measured]], poured_ml: float
) -> tuple[tuple[int, float], ...]:
    found: dict[int, float] = {}
    for liquid, volume in parts:
        for jar_id, share in liquid.shares:
            found[jar_id] = found.get(jar_id, 0.0) + share * volume.value / poured_ml
    return tuple(sorted(found.items()))
