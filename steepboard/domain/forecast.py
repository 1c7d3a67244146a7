"""How fast something is used, when it runs out, and when the next jar is to be started.

Weeks are told as a Gamma-Poisson rate tells them: so many lumps of one size a week, at a rate that
is known by the weeks before, older ones for less. The lump makes up for what draws and weeks differ
by. How fast the past is forgotten is not fixed: several rates are kept, each with a memory of its
own, and count for as much as they would have foretold the weeks (discount models, West and Harrison
1997, ch. 14; from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import exp, hypot, lgamma, log, sqrt

WEEK = 7
MEMORY_DAYS = 728
"""Draws from before count no more; assumed, see `FORGETS`: the longest memory is 20 weeks."""
FORGETS = (0.95, 0.85, 0.7, 0.5)
"""By which a week counts for less than the next, for each rate. By simulation, DEVELOPERS.md."""
NINE_IN_TEN = 1.2815515655
"""Standard deviations of a normal curve that nine in ten lie under (published: any table of it).

So sure it is to be that the next jar is ready in time."""
LONGEST_DAYS = 730
"""What lasts longer gets no day; assumed: nobody plans a jar two years ahead."""
_FIRST = 0.5
"""Lumps taken as used before anything was seen: Jeffreys' prior of a Poisson rate."""
_LUMP_WEEKS = 4.0
"""Weeks that the single draws count for, beside how the weeks differ; assumed, by simulation."""
_LUMP_FORGETS = 0.9
"""Likewise, for the size of the lump."""
_PROOF_FORGETS = 0.97
"""Likewise, for how well a rate foretold a week."""


@dataclass(frozen=True, slots=True)
class Rate:
    """A Gamma rate of lumps a week, and how much it counts for among others."""

    weight: float
    shape: float
    weeks: float
    forgets: float


@dataclass(frozen=True, slots=True)
class Use:
    """What is known of how fast something is used."""

    rates: tuple[Rate, ...]
    lump_ml: float

    @property
    def ml_per_week(self) -> float:
        """What a week uses, on average."""
        return self.within(WEEK)[0]

    @property
    def ml_per_week_u(self) -> float:
        """± of that average, as a standard uncertainty; single weeks differ by more."""
        mean = self.ml_per_week / self.lump_ml
        spread = sum(
            one.weight * (one.shape / one.weeks**2 + (one.shape / one.weeks - mean) ** 2)
            for one in self.rates
        )
        return self.lump_ml * sqrt(spread)

    def within(self, days: float) -> tuple[float, float]:
        """Return the mean and the standard deviation of what so many days use, in mL."""
        ahead = days / WEEK
        means = [one.shape / one.weeks * ahead for one in self.rates]
        mean = sum(one.weight * each for one, each in zip(self.rates, means, strict=True))
        spread = 0.0
        for one, each in zip(self.rates, means, strict=True):
            known = one.weeks * one.forgets  # for the rate goes on changing meanwhile
            spread += one.weight * (each * (1.0 + ahead / known) + (each - mean) ** 2)
        return self.lump_ml * mean, self.lump_ml * sqrt(spread)

    def most(self, days: float, sds: float = NINE_IN_TEN) -> float:
        """Return the mL that so many days use at most, in nine of ten cases.

        `sds` are the deviations of a normal curve for other cases.
        """
        mean, sd = self.within(days)
        if days <= 0.0:
            return 0.0
        shape = (mean / sd) ** 2
        root = 1.0 - 1.0 / (9.0 * shape) + sds / (3.0 * sqrt(shape))
        return mean * float(max(root, 0.0) ** 3)  # a Gamma's: Wilson and Hilferty's cube root


@dataclass(frozen=True, slots=True)
class RunOut:
    """Days from now until nothing is left; None where that is more than `LONGEST_DAYS` away."""

    early: int | None
    """In one of ten cases it is gone before."""
    middle: int | None
    late: int | None
    """In nine of ten."""


@dataclass(frozen=True, slots=True)
class Term:
    """One part of a start-by date: what it is, by how many days it moves it, and who says so."""

    what: str
    days: int
    source: str


@dataclass(frozen=True, slots=True)
class StartBy:
    """The day by which the next jar is to be charged, and how it came about."""

    day: date
    terms: tuple[Term, ...]


def use(draws: Iterable[tuple[float, float]], known_days: float) -> Use | None:
    """Return how fast something is used, or None where nothing was drawn within memory.

    `draws` are days ago and mL; `known_days` is for how long it could be drawn. What was drawn in
    less than a week stands for a whole one: a first evening is no measure of all that follow.
    """
    draws = [(ago, ml) for ago, ml in draws if 0.0 <= ago < MEMORY_DAYS and ml > 0.0]
    if not draws:
        return None
    known = min(max(known_days, WEEK, *(ago for ago, _ in draws)), MEMORY_DAYS) / WEEK
    weeks = [0.0] * (int(known) + 1)
    sums = squares = 0.0
    for ago, ml in draws:
        week = int(ago / WEEK)
        weeks[week] += ml
        weight = _LUMP_FORGETS**week
        sums, squares = sums + weight * ml, squares + weight * ml * ml
    lump_ml = _lump(weeks[:-1], squares / sums)
    rates = _rates([ml / lump_ml for ml in reversed(weeks)], known - int(known))
    return Use(rates, lump_ml)


def run_out(use: Use, left_ml: float, left_u_ml: float = 0.0) -> RunOut:
    """Return when `left_ml` and their ± are used."""
    return RunOut(
        *(_days(use, left_ml, left_u_ml, sds) for sds in (NINE_IN_TEN, 0.0, -NINE_IN_TEN))
    )


def start_by(today: date, terms: Iterable[Term]) -> StartBy:
    """Return today moved by all terms, each told with its source."""
    terms = tuple(terms)
    return StartBy(today + timedelta(days=sum(term.days for term in terms)), terms)


def _days(use: Use, left_ml: float, left_u_ml: float, sds: float) -> int | None:
    """Return the last whole day up to which what is left lasts."""

    def lasts(days: int) -> bool:
        mean, most = use.within(days)[0], use.most(days, sds)
        if not sds:
            return most < left_ml
        apart = hypot(most - mean, sds * left_u_ml)
        return mean + (apart if sds > 0.0 else -apart) < left_ml

    low, high = 0, LONGEST_DAYS + 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if lasts(middle) else (low, middle)
    return None if low == LONGEST_DAYS else low


def _lump(weeks: Sequence[float], by_draws: float) -> float:
    """Return the mL of a lump, from how whole weeks differ from the next, the last one first.

    Of lumps of one size that come by chance, the variance of a week over its mean is that size.
    """
    swings = compared = seen = 0.0
    for week, (ml, before) in enumerate(pairwise(weeks)):
        weight = _LUMP_FORGETS**week
        swings += weight * (ml - before) ** 2 / 2.0
        seen += weight * (ml + before) / 2.0
        compared += weight
    by_weeks = swings / seen if seen else by_draws
    return (_LUMP_WEEKS * by_draws + compared * by_weeks) / (_LUMP_WEEKS + compared)


def _rates(weeks: Sequence[float], part: float) -> tuple[Rate, ...]:
    """Return the rates after lumps of weeks, the oldest first, of which only a part was seen."""
    shapes = [_FIRST + weeks[0]] * len(FORGETS)
    seen = [part] * len(FORGETS)
    proofs = [0.0] * len(FORGETS)
    for lumps in weeks[1:]:
        for n, forgets in enumerate(FORGETS):
            if seen[n] >= 1.0:
                proofs[n] = proofs[n] * _PROOF_FORGETS + _foretold(lumps, shapes[n], seen[n])
            shapes[n] = _FIRST + (shapes[n] - _FIRST) * forgets + lumps
            seen[n] = seen[n] * forgets + 1.0
    best = max(proofs)
    weights = [exp(proof - best) for proof in proofs]
    total = sum(weights)
    return tuple(
        Rate(weight / total, shape, known, forgets)
        for weight, shape, known, forgets in zip(weights, shapes, seen, FORGETS, strict=True)
    )


def _foretold(lumps: float, shape: float, weeks: float) -> float:
    """Return the logarithm of how likely a week was, up to what all rates have in common."""
    told = shape * log(weeks / (weeks + 1.0)) - lumps * log(weeks + 1.0)
    return lgamma(shape + lumps) - lgamma(shape) + told
