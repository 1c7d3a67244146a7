"""From the bench to the whole blend, and a blend as a formula that knows no batch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from steepboard.domain import guards
from steepboard.domain.base import Base
from steepboard.domain.liquor import SOLIDS_ML_PER_G
from steepboard.domain.mixing import Liquid, mixed
from steepboard.domain.readings import Measured

FIRST = 0.8
"""Part that goes in first. Common practice, no source."""
APPROACH = (0.1, 0.05, 0.05)
"""Parts that follow one by one, each tasted: half of what is missing, the rest in two. Assumed."""
STAGES = tuple(round(part, 9) for part in accumulate((FIRST, *APPROACH)))
"""What of the whole is in after each of them."""

NOTHING = (1.0, 1.0)
"""The span of a share that gives no more."""
_SLACK = 1e-6  # part of a whole that is nothing but rounding


@dataclass(frozen=True, slots=True)
class Share:
    """A tincture at its level in a blend."""

    bottle: str
    """Code of the bottle it is taken from."""
    of: str
    liquid: Liquid
    ml_per_l: float
    """For each litre of the base."""
    u_ml_per_l: float = 0.0
    span: tuple[float, float] = (0.0, 1.0)
    """From which part of the tincture to which it comes, where bottles share; 1 to 1 for nothing.

    Nothing more is taken of what was drawn for a blend that takes less by now, or none of it.
    """
    drawn_ml: float = 0.0
    """What was drawn for the blend so far."""


@dataclass(frozen=True, slots=True)
class Pour:
    """What of one tincture goes into the whole, in mL."""

    share: Share
    total_ml: float
    u_ml: float

    @property
    def first_ml(self) -> float:
        """What goes in first."""
        return self.up_to_ml(FIRST)

    @property
    def then_ml(self) -> tuple[float, ...]:
        """The additions that lead from there to the mark."""
        return tuple(self.up_to_ml(to) - self.up_to_ml(at) for at, to in pairwise(STAGES))

    @property
    def reached(self) -> float:
        """The part of the tincture that is in, by what was drawn; 1 where it has all it gives."""
        (at, to), drawn_ml = self.share.span, self.share.drawn_ml
        if drawn_ml >= (1.0 - _SLACK) * self.total_ml:
            return 1.0
        return at + drawn_ml / self.total_ml * (to - at)

    @property
    def over_ml(self) -> float:
        """What was drawn beyond all that it takes; 0 for none."""
        over = self.share.drawn_ml - self.total_ml
        return over if over > _SLACK * self.total_ml else 0.0

    def up_to_ml(self, part: float) -> float:
        """Return what it gives until this part of the whole is in."""
        at, to = self.share.span
        return self.total_ml * min(max((part - at) / (to - at), 0.0), 1.0) if at < to else 0.0

    def in_ml(self, part: float) -> float:
        """Return what of it is in with this part of the whole: all that is drawn of too much."""
        return self.share.drawn_ml if self.over_ml else self.up_to_ml(part)

    def missing_ml(self, part: float) -> float:
        """Return what is to be drawn yet until this part of the whole is in."""
        missing = self.up_to_ml(part) - self.share.drawn_ml
        return missing if missing > _SLACK * self.total_ml else 0.0


@dataclass(frozen=True, slots=True)
class Made:
    """A blend with so much of its tinctures in it."""

    volume_ml: float
    strength: float
    sugar_g_l: float
    """Of the base's sugar; what tinctures bring is in `dissolved_g_l` too."""
    dissolved_g_l: float


@dataclass(frozen=True, slots=True)
class Addition:
    """What goes into the whole at once."""

    part: float
    """Of the whole."""
    taken_ml: tuple[float, ...]
    """Of each pour, in their order."""


@dataclass(frozen=True, slots=True)
class Scaled:
    """A whole blend: what goes in, and what it is after the first part and in the end."""

    base: Base
    pours: tuple[Pour, ...]
    first: Made
    whole: Made

    @property
    def reached(self) -> float:
        """The part of the whole that is in, by what was drawn of every tincture."""
        return min(pour.reached for pour in self.pours)

    @property
    def stage(self) -> int:
        """Which of `STAGES` comes next; their number where all is in."""
        return sum(part <= self.reached + _SLACK for part in STAGES)

    @property
    def additions(self) -> tuple[Addition, ...]:
        """What goes in at each of `STAGES`; of the one that comes next only what is left of it."""
        made = []
        for number, to in enumerate(STAGES):
            at = STAGES[number - 1] if number else 0.0
            if number == self.stage:
                taken = [pour.missing_ml(to) for pour in self.pours]
                at = max(at, self.reached)
            else:
                taken = [pour.up_to_ml(to) - pour.up_to_ml(at) for pour in self.pours]
            made.append(Addition(to - at, tuple(taken)))
        return tuple(made)

    def more(self, part: float) -> float | None:
        """Return the part that is in with so much more; None for more than the whole."""
        to = self.reached + part
        return None if to > 1.0 + _SLACK else min(to, 1.0)


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One tincture of a formula."""

    of: str
    """Name of the tincture."""
    index_ml_l: float
    """Its level in mL/L times the intensity of the batch it was tasted with."""


@dataclass(frozen=True, slots=True)
class Formula:
    """A blend that can be made again from other batches."""

    name: str
    base: Base
    """What it was tasted in; its volume is that of the sample."""
    ingredients: tuple[Ingredient, ...]
    note: str = ""


def scaled(base: Base, shares: Sequence[Share], solids_ml_per_g: float = SOLIDS_ML_PER_G) -> Scaled:
    """Return what a base of this volume takes; raises `OutOfRange` for a level that is none."""
    pours = []
    for share in shares:
        if share.span != NOTHING:
            guards.positive("level", share.ml_per_l)
        litres = base.volume_ml / 1e3
        pours.append(Pour(share, share.ml_per_l * litres, share.u_ml_per_l * litres))
    return Scaled(
        base,
        tuple(pours),
        made(base, pours, FIRST, solids_ml_per_g),
        made(base, pours, 1.0, solids_ml_per_g),
    )


def made(
    base: Base, pours: Sequence[Pour], part: float, solids_ml_per_g: float = SOLIDS_ML_PER_G
) -> Made:
    """Return a blend with this part of its tinctures in it: grams add, volumes do not."""
    parts = [(base.liquid, base.volume_ml)]
    parts += [(pour.share.liquid, pour.in_ml(part)) for pour in pours]
    liquid, volume_ml = mixed([(one, Measured(ml, 0.0)) for one, ml in parts], solids_ml_per_g)
    return Made(
        volume_ml,
        liquid.strength,
        base.sugar_g_l * base.volume_ml / volume_ml,
        1e3 * liquid.dissolved_g_ml,
    )


def index(ml_per_l: float, intensity: float) -> float:
    """Return a level as a formula keeps it; raises `OutOfRange` for what has no intensity."""
    return guards.positive("level", ml_per_l) * guards.positive("intensity", intensity)


def level(ingredient: Ingredient, intensity: float) -> float:
    """Return the mL/L that a tincture of this intensity takes to stand at its place."""
    return ingredient.index_ml_l / guards.positive("intensity", intensity)
