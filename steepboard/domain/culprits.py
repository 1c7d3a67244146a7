"""Which reading of an open balance is most likely wrong, and what would close it.

The readings are held against one another and against what is usual: what is unaccounted for, what
the marc and the filter hold, what the stages add up to, scale against measure. Each mistake that
people make is asked how well it would explain all of these together (Bayes' rule; any text).
Losses that are no mistake compete.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

from steepboard.domain.balance_work import Case
from steepboard.domain.evidence import Evidence, fit_by_some
from steepboard.domain.matrices import dot
from steepboard.domain.mistakes import Mistake, Slip, mistakes

_SOUND, _SPILT = 0.7, 0.06
"""Weights of no mistake at all, and of liquid that was spilt; assumed, as are the mistakes'."""
_MOST_SPILT = 0.3  # of all that was in the jar; assumed
_NAMED = 0.75  # of what mistakes explain, that one or two readings must to be named; assumed
_UNEXPLAINED = -50.0  # log weight of what no mistake here explains: some nine ± off; assumed
_AS_WELL = 3.0  # ± of a fit within which what closes the balance fits as well; assumed
_NOT_A_MISTAKE = 0.82  # chance of a mere loss above which no reading is named; assumed


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading that may be wrong, how, and what would close the balance."""

    fields: tuple[str, ...]
    """One reading, or two that stand in each other's place; by their names in `Readings`."""
    slip: Slip
    values: tuple[float, ...]
    """What these readings would have to be."""
    chance: float
    """Among all that would explain the readings, losses included."""


@dataclass(frozen=True, slots=True)
class Ranking:
    """What an open balance points at."""

    named: tuple[Suspect, ...]
    """The most likely first; no more than two readings in all, and none where it cannot tell."""
    lost: float
    """Chance that nothing is wrong but that liquid went elsewhere, or nothing is wrong at all."""


_Weighed = tuple[float, Mistake, tuple[float, ...]]
"""The log weight of a mistake, and what its readings would have to be."""


def rank(case: Case, causes: Sequence[tuple[Case, Case, float]], density_g_ml: float) -> Ranking:
    """Return what is most likely wrong with an open balance.

    `causes` are the swings of the balance, the density is that of what came out.
    """
    evidence = Evidence(case, causes)
    possible = mistakes(case.readings, density_g_ml, evidence.total_g)
    weighed = [_weigh(evidence, mistake) for mistake in possible]
    return _ranked(weighed, list(_losses(evidence)))


def _weigh(evidence: Evidence, mistake: Mistake) -> _Weighed:
    if mistake.off is None:
        left = list(evidence.gaps)
        for field, meant in mistake.meant.items():
            change = meant - evidence.read(field)
            left = [gap + change * m for gap, m in zip(left, evidence.move(field), strict=True)]
        values = tuple(mistake.meant.values())
        return log(mistake.weight) - 0.5 * dot(left, left), mistake, values
    field, least, most = mistake.off
    value = evidence.read(field)
    move = evidence.move(field)
    off, fit = fit_by_some(evidence.gaps, move, least, min(most, value))
    closing = evidence.off(field)
    if closing is not None and abs(closing - off) * sqrt(dot(move, move)) <= _AS_WELL:
        off = closing
    return log(mistake.weight) + fit, mistake, (max(0.0, value - off),)


def _losses(evidence: Evidence) -> Iterable[float]:
    """Yield the log weight of nothing wrong, and of a spill before and after the stages."""
    yield log(_SOUND) - 0.5 * dot(evidence.gaps, evidence.gaps)
    most = _MOST_SPILT * evidence.total_g
    for moved in ({"closing": 1.0}, {"closing": 1.0, "stages": 1.0}):
        way = evidence.apart(moved)
        yield log(_SPILT / 2) + fit_by_some(evidence.gaps, way, 0.0, most)[1]


def _ranked(weighed: Sequence[_Weighed], losses: Sequence[float]) -> Ranking:
    rest = [*losses, _UNEXPLAINED]
    top = max([*rest, *(weight for weight, _, _ in weighed)])
    total = sum(exp(w - top) for w in rest) + sum(exp(w - top) for w, _, _ in weighed)
    lost_chance = sum(exp(w - top) for w in losses) / total
    best: dict[tuple[str, ...], Suspect] = {}
    chances: dict[tuple[str, ...], float] = {}
    for weight, mistake, values in sorted(weighed, key=lambda item: -item[0]):
        chance = exp(weight - top) / total
        best.setdefault(mistake.fields, Suspect(mistake.fields, mistake.slip, values, chance))
        chances[mistake.fields] = chances.get(mistake.fields, 0.0) + chance
    if lost_chance > _NOT_A_MISTAKE or not best:
        return Ranking((), lost_chance)
    order = sorted(chances, key=lambda fields: -chances[fields])
    named = order[:1] if len(order[0]) > 1 else [f for f in order if len(f) == 1][:2]
    if sum(chances[fields] for fields in named) < _NAMED * (1.0 - lost_chance):
        return Ranking((), lost_chance)
    if len(named) > 1 and chances[named[0]] >= 0.95 * (1.0 - lost_chance):
        named = named[:1]
    return Ranking(
        tuple(
            Suspect(fields, best[fields].slip, best[fields].values, chances[fields])
            for fields in named
        ),
        lost_chance,
    )
