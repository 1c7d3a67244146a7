"""Learning: the exact posterior, wild batches, and honest intervals on simulated shelves."""

from __future__ import annotations

from itertools import pairwise
from math import sqrt

import numpy as np
import pytest

from steepboard.domain import learning
from steepboard.domain.learning import Batch, Prior, learn
from steepboard.errors import OutOfRange
from tests.tables.shelves import ENOUGH, WRONG, simulate

ROOT = Prior(1.7, 0.35)  # absorption.csv, dried root pressed by hand
# Invented: three roots, unevenly often measured, with marcs weighed and not.
MEASURED = {
    "angelica": [Batch(1.9, 0.02), Batch(2.1, 0.12), Batch(1.8, 0.02)],
    "calamus": [Batch(1.5, 0.12)],
    "orris": [Batch(2.2, 0.02), Batch(2.3, 0.02), Batch(2.0, 0.3), Batch(2.4, 0.12)],
}
ALIKE = [Batch(value, 0.03) for value in (2.0, 2.1, 1.9, 2.05, 1.95)]


def by_matrices(prior, measured, name):
    """Return mean and ± of the next batch from the covariance matrix of all there is to know.

    One row for each measured batch and a last one for the next batch of `name`; conditioning a
    joint Normal is any textbook's (Bishop, Pattern Recognition and Machine Learning, 2.3.1; from
    memory), solved here by numpy.
    """
    rows = [(plant, batch) for plant, own in measured.items() for batch in own]
    plants = np.array([plant for plant, _ in rows] + [name])
    read = np.array([batch.value for _, batch in rows])
    reading = np.diag([batch.u**2 for _, batch in rows] + [0.0])
    same = plants[:, None] == plants[None, :]
    found = []
    for spread, weight in zip(learning._SPREADS, learning._WEIGHTS, strict=True):
        between = (spread * prior.sd) ** 2 * np.eye(len(plants))
        joint = prior.sd**2 / 2 * (1.0 + same) + between + reading
        seen, cross = joint[:-1, :-1], joint[-1, :-1]
        gap = read - prior.mean
        solved = np.linalg.solve(seen, gap)
        likelihood = np.exp(-gap @ solved / 2) / np.sqrt(np.linalg.det(seen))
        variance = joint[-1, -1] - cross @ np.linalg.solve(seen, cross)
        found.append((weight * likelihood, prior.mean + cross @ solved, variance))
    weights, means, variances = map(np.array, zip(*found, strict=True))
    mean = np.average(means, weights=weights)
    return mean, np.sqrt(np.average(variances + (means - mean) ** 2, weights=weights))


@pytest.mark.parametrize("name", ["angelica", "calamus", "orris", "never measured"])
def test_the_posterior_is_that_of_the_whole_covariance_matrix(name):
    mean, u = by_matrices(ROOT, MEASURED, name)
    found = learn(ROOT, MEASURED).of(name)
    assert found.mean == pytest.approx(mean, rel=1e-9)
    assert found.next_u == pytest.approx(u, rel=1e-9)


def test_without_batches_the_prior_stands():
    found = learn(ROOT, {}).of("orris")
    assert (found.mean, found.u, found.batches) == (1.7, pytest.approx(0.35), 0)


def test_each_batch_makes_the_mean_surer():
    known = [learn(ROOT, {"orris": ALIKE[:count]}).of("orris") for count in range(6)]
    assert all(later.u < earlier.u for earlier, later in pairwise(known))
    assert known[-1].mean == pytest.approx(2.0, abs=0.03)
    assert known[-1].batches == 5


def test_a_botanical_never_measured_leans_on_its_class():
    lesson = learn(ROOT, {"orris": ALIKE, "angelica": ALIKE})
    other = lesson.of("calamus")
    assert 1.7 < other.mean < 2.0
    assert lesson.of("orris").u < other.u < ROOT.sd


def test_what_is_read_badly_teaches_less():
    well, badly = (learn(ROOT, {"orris": [Batch(2.4, u)]}).of("orris").mean for u in (0.03, 0.5))
    assert 1.7 < badly < well < 2.4


def test_batches_that_differ_widen_the_next_one():
    apart = [Batch(value, 0.03) for value in (1.4, 2.6, 2.0, 1.5, 2.5)]
    wide, narrow = (learn(ROOT, {"orris": own}).of("orris") for own in (apart, ALIKE))
    assert wide.mean == pytest.approx(narrow.mean, abs=0.1)
    assert wide.spread > 2 * narrow.spread


def test_the_spread_has_a_floor():
    found = learn(ROOT, {"orris": [Batch(2.0, 0.001)] * 200}).of("orris")
    assert found.spread == pytest.approx(0.1 * ROOT.sd, rel=0.01)


@pytest.mark.parametrize("place", [0, 2, 5])
def test_one_wild_batch_does_not_ruin_what_the_others_taught(place):
    before = learn(ROOT, {"orris": ALIKE}).of("orris")
    wild = [*ALIKE[:place], Batch(12.0, 0.03), *ALIKE[place:]]
    after = learn(ROOT, {"orris": wild}).of("orris")
    assert after.mean == pytest.approx(before.mean, abs=0.02)
    assert after.next_u == pytest.approx(before.next_u, rel=0.1)


def test_a_prior_without_spread_is_refused():
    with pytest.raises(OutOfRange):
        Prior(1.7, 0.0)


@pytest.mark.parametrize("name", WRONG)
def test_on_simulated_shelves_intervals_hold_and_yields_come_near_who_knows(name):
    known = simulate(WRONG[name], shelves=80)[ENOUGH]
    # Three standard deviations of a binomial share beyond the 75 to 85 % that are asked for.
    slack = 3 * sqrt(0.8 * 0.2 / known.jars)
    assert 0.75 - slack <= known.coverage <= 0.85 + slack
    assert known.error("planned") <= 1.2 * known.error("knower")
    assert known.error("planned") < min(known.error("as poured"), known.error("less 10 %")) / 2
