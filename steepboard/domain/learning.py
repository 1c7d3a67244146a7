"""What measured batches teach: the class first, then the botanical, by the Normal update.

A batch of botanical i of a class is  value = class + botanical i + batch + reading,  each part
Normal: the class around the prior, the botanicals around their class, the batches around their
botanical, the reading with its own ±. For one spread between batches the posterior is exact
(published: Gelman and others, Bayesian Data Analysis, 3rd ed., 5.4; from memory). The spread itself
is not known: a few of them are tried, each counts by how well it explains the batches.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, hypot, log, sqrt
from operator import mul
from statistics import median
from typing import Generic, NamedTuple, TypeVar

from steepboard.domain import guards

K = TypeVar("K")

_SPREADS = (0.1, 0.15, 0.22, 0.33, 0.5, 0.75, 1.1, 1.6)
"""Spreads between batches that are tried, in sd of the prior; assumed, the first is the floor."""
_USUAL_SPREAD = 0.4  # in sd of the prior: about a tenth of what is held; assumed
_SPREAD_DOUBT = 0.5  # sd of its natural logarithm; assumed, weighs about as much as two batches
_FAR = 3.0  # ± beyond which a batch counts as wild; common practice
_LEVEL = 0.5  # of the prior's variance is the class's, as much the botanical's; assumed
_SOME = 3  # batches from which their own middle is trusted above the prior
_MAD_TO_SD = 1.4826  # of a Normal; any statistics text


@dataclass(frozen=True, slots=True)
class Prior:
    """What is expected of any botanical of a class before one was measured."""

    mean: float
    sd: float

    def __post_init__(self) -> None:
        """Refuse a prior that nothing could teach."""
        guards.positive("spread of the prior", self.sd)


@dataclass(frozen=True, slots=True)
class Batch:
    """What one batch measured, with the standard uncertainty of that measurement."""

    value: float
    u: float


@dataclass(frozen=True, slots=True)
class Learned:
    """What is known of one botanical after so many batches of its own."""

    mean: float
    u: float
    """± of the mean."""
    spread: float
    """Between batches, as a standard deviation."""
    batches: int

    @property
    def next_u(self) -> float:
        """± of the next batch."""
        return hypot(self.u, self.spread)


@dataclass(frozen=True, slots=True)
class Lesson(Generic[K]):
    """What the batches of one class taught."""

    own: Mapping[K, Learned]
    """By botanical, those that were measured."""
    others: Learned
    """Any other botanical of the class."""

    def of(self, name: K) -> Learned:
        """Return what is known of a botanical."""
        return self.own.get(name, self.others)


class _Normal(NamedTuple):
    """A Normal in units of the prior: its mean less the prior's, over the prior's sd."""

    mean: float
    variance: float


class _Scaled(NamedTuple):
    """The batches of one botanical in units of the prior."""

    values: list[float]
    squares: list[float]
    variances: list[float]
    """Of the readings alone."""


class _Fit(NamedTuple, Generic[K]):
    """The exact posterior for one spread between batches."""

    log_evidence: float
    own: dict[K, _Normal]
    others: _Normal


def learn(prior: Prior, batches: Mapping[K, Sequence[Batch]]) -> Lesson[K]:
    """Return what the batches of a class teach, by botanical."""
    scaled = {name: _scaled(prior, own) for name, own in batches.items() if own}
    fits = [_fit(scaled, spread) for spread in _SPREADS]
    best = max(fit.log_evidence for fit in fits)
    weights = [w * exp(f.log_evidence - best) for w, f in zip(_WEIGHTS, fits, strict=True)]
    shares = [weight / sum(weights) for weight in weights]
    spread = sqrt(_mean([s**2 for s in _SPREADS], shares))

    def learned(found: list[_Normal], count: int) -> Learned:
        mean = _mean([f.mean for f in found], shares)
        variance = _mean([f.variance + (f.mean - mean) ** 2 for f in found], shares)
        sd = prior.sd
        return Learned(prior.mean + mean * sd, sqrt(variance) * sd, spread * sd, count)

    own = {name: learned([f.own[name] for f in fits], len(batches[name])) for name in scaled}
    return Lesson(own, learned([fit.others for fit in fits], 0))


def tamed(prior: Prior, batches: Sequence[Batch]) -> list[Batch]:
    """Return the batches, those far from the rest with so much ± that they teach next to nothing.

    Three and more are held to their own middle, fewer to the prior.
    """
    if len(batches) >= _SOME:
        middle = median([b.value for b in batches])
        scatter = _MAD_TO_SD * median([abs(b.value - middle) for b in batches])
        reach = max(scatter, _USUAL_SPREAD * prior.sd)
    else:
        middle, reach = prior.mean, prior.sd
    far = [abs(b.value - middle) - _FAR * hypot(reach, b.u) for b in batches]
    return [
        Batch(b.value, hypot(b.u, by)) if by > 0.0 else b
        for b, by in zip(batches, far, strict=True)
    ]


def _scaled(prior: Prior, batches: Sequence[Batch]) -> _Scaled:
    own = tamed(prior, batches)
    values = [(b.value - prior.mean) / prior.sd for b in own]
    return _Scaled(values, [value**2 for value in values], [(b.u / prior.sd) ** 2 for b in own])


def _fit(scaled: Mapping[K, _Scaled], spread: float) -> _Fit[K]:
    """Return the posterior in units of the prior, if batches differ by `spread`."""
    between = spread**2
    evidence, precision, pull = 0.0, 1.0 / _LEVEL, 0.0
    sums: dict[K, tuple[float, float]] = {}
    for name, own in scaled.items():
        weights = [1.0 / (between + variance) for variance in own.variances]
        weight = sum(weights)
        mean = sum(map(mul, weights, own.values)) / weight
        apart = sum(map(mul, weights, own.squares)) - weight * mean**2
        around = _LEVEL + 1.0 / weight
        precision += 1.0 / around
        pull += mean / around
        evidence += sum(map(log, weights)) - log(weight) - apart - log(around) - mean**2 / around
        sums[name] = weight, mean
    level = pull / precision
    evidence += level * pull - log(precision)
    own_normals = {}
    for name, (weight, mean) in sums.items():
        total = weight + 1.0 / _LEVEL
        kept = 1.0 / _LEVEL / total
        own_normals[name] = _Normal(
            (1.0 - kept) * mean + kept * level, 1.0 / total + kept**2 / precision
        )
    return _Fit(evidence / 2.0, own_normals, _Normal(level, 1.0 / precision + _LEVEL))


def _mean(values: Sequence[float], shares: Sequence[float]) -> float:
    return sum(value * share for value, share in zip(values, shares, strict=True))


def _normalised(weights: Sequence[float]) -> tuple[float, ...]:
    return tuple(weight / sum(weights) for weight in weights)


_WEIGHTS = _normalised(
    [exp(-((log(s / _USUAL_SPREAD) / _SPREAD_DOUBT) ** 2) / 2) for s in _SPREADS]
)
