"""What a charged jar should bottle, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from steepboard.domain import guards
from steepboard.domain.liquor import SOLIDS_ML_PER_G, SOLIDS_ML_PER_G_U, Pour, Solid, liquor
from steepboard.domain.swings import charge_swings

_Z_80 = 1.2816  # half-width of a normal 80 % interval in standard deviations; any normal table


@dataclass(frozen=True, slots=True)
class Held:
    """Liquid that a gram of spent solids holds, in mL/g, with its standard uncertainty.

    The gram is a dry one, but for fresh material one as charged, unless `per_dry` says dry.
    """

    ml_per_g: float
    u: float = 0.0
    per_dry: bool = False

    def __post_init__(self) -> None:
        """Refuse what no solids can hold."""
        guards.not_negative("held liquid per gram", self.ml_per_g)
        guards.not_negative("uncertainty of the held liquid", self.u)

    def basis_g(self, solid: Solid) -> float:
        """Return the grams of `solid` that the figure counts by."""
        return solid.mass_g if solid.fresh and not self.per_dry else solid.dry_g


@dataclass(frozen=True, slots=True)
class Expected:
    """Bottled volume to expect in mL, and the ends of its 80 % interval."""

    expected_ml: float
    low_ml: float
    high_ml: float


def held_ml(solids: Sequence[Solid], held: Sequence[Held]) -> float:
    """Return what the spent solids hold together, in mL; `held` has one entry for each."""
    return sum(h.ml_per_g * h.basis_g(s) for s, h in zip(solids, held, strict=True))


def expected_yield(
    solids: Sequence[Solid],
    pours: Sequence[Pour],
    held: Sequence[Held],
    kept_ml: float,
    kept_u_ml: float = 0.0,
    *,
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
    solids_ml_per_g_u: float = SOLIDS_ML_PER_G_U,
) -> Expected:
    """Return what a charged jar should bottle; `held` has one entry for each solid.

    Every ± of solids and pours counts, to first order (`swings`). Those of what several botanicals
    hold add up, for one way of pressing errs the same way with all.
    """
    guards.not_negative("volume kept by filter and vessel", kept_ml)
    guards.not_negative("uncertainty of the volume kept", kept_u_ml)

    def left_ml(solids: Sequence[Solid], pours: Sequence[Pour]) -> float:
        made = liquor(solids, pours, solids_ml_per_g)
        return made.volume_ml - held_ml(solids, held) - kept_ml

    middle_ml = left_ml(solids, pours)
    u_ml = hypot(
        kept_u_ml,
        sum(h.u * h.basis_g(s) for s, h in zip(solids, held, strict=True)),
        sum(s.dry_g * s.soluble for s in solids) * solids_ml_per_g_u,
        *(
            weight * (left_ml(*high) - left_ml(*low))
            for high, low, weight in charge_swings(tuple(solids), tuple(pours))
        ),
    )
    ends_ml = (middle_ml, middle_ml - _Z_80 * u_ml, middle_ml + _Z_80 * u_ml)
    return Expected(*(max(0.0, ml) for ml in ends_ml))
