"""How fast something is used, when it runs out, and by when the next jar is to be started."""

from __future__ import annotations

from datetime import date
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain import forecast
from steepboard.domain.forecast import RunOut, Term, run_out, start_by, use
from tests.tables.bars import KINDS, watch

STEADY = [(day + 0.4, 5.0) for day in range(140)]  # 35 mL a week
DRAWS = st.lists(st.tuples(st.floats(0, 800), st.floats(0.05, 200)), min_size=1, max_size=60)


@pytest.mark.parametrize("kind", KINDS)
def test_one_bar_in_ten_runs_dry_that_starts_by_the_date(kind):
    """Two hundred bars: chance alone moves 10 % by 2.1 %, so 5 to 15 % is told from 0 and 25."""
    cases = [case for seed in range(200) if (case := watch(kind, seed, (5, 14))[0])]
    assert len(cases) > 150
    assert 0.04 <= sum(case.dry for case in cases) / len(cases) <= 0.16


def test_the_ninetieth_percentile_is_that_of_a_gamma_drawn_by_numpy():
    """With one rate, lumps come by a Gamma-Poisson; the continuous law is drawn for it."""
    known = use(STEADY, 140)
    mean, sd = known.within(18)
    drawn = np.random.default_rng(5).gamma((mean / sd) ** 2, sd**2 / mean, 200_000)
    for share, sds in ((0.9, 1.2815515655), (0.1, -1.2815515655), (0.5, 0.0)):
        assert known.most(18, sds) == pytest.approx(np.quantile(drawn, share), rel=0.01)
    assert NormalDist().inv_cdf(0.9) == pytest.approx(forecast.NINE_IN_TEN)


def test_a_steady_bar_is_read_as_what_it_uses():
    known = use(STEADY, 140)
    assert known.ml_per_week == pytest.approx(35, rel=0.05)
    assert known.ml_per_week_u < 7
    told = run_out(known, 100)  # 20 days at 5 mL a day
    assert told.middle == pytest.approx(20, abs=1)
    assert 12 < told.early < told.middle < told.late < 30


def test_a_bar_that_picks_up_is_followed_within_weeks():
    twice = [(ago, 10.0) for ago, _ in STEADY[:42]] + STEADY[42:]
    assert use(twice, 140).ml_per_week == pytest.approx(70, rel=0.15)


def test_what_is_drawn_no_more_lasts():
    stopped = [(ago + 84, ml) for ago, ml in STEADY]  # nothing in the last twelve weeks
    known = use(stopped, 224)
    assert known.ml_per_week < 5
    assert run_out(known, 100).early > 60


def test_a_first_evening_is_not_taken_for_all_evenings_of_a_week():
    first = use([(0.01, 12.0), (0.02, 9.0), (0.03, 8.6)], 0.1)  # 29.6 mL, then nothing yet
    assert 29.6 <= first.ml_per_week < 29.6 * 1.5


def test_what_was_never_drawn_has_no_use():
    assert use([], 100) is None
    assert use([(900.0, 5.0)], 1000) is None  # longer ago than is remembered


def test_what_lasts_longer_than_two_years_gets_no_day():
    assert run_out(use([(30.0, 0.5)], 300), 1000) == RunOut(None, None, None)


def test_an_empty_shelf_is_dry_today():
    assert run_out(use(STEADY, 140), 0.0) == RunOut(0, 0, 0)


def test_less_sure_of_what_stands_is_sooner_dry():
    known = use(STEADY, 140)
    assert run_out(known, 100, 20).early < run_out(known, 100).early


@given(DRAWS, st.floats(0, 900), st.floats(0, 5000))
def test_a_run_out_is_in_order_and_more_lasts_longer(draws, known_days, left_ml):
    known = use(draws, known_days)
    if known is None:
        assert all(ago >= forecast.MEMORY_DAYS for ago, _ in draws)
        return
    told = run_out(known, left_ml)
    days = [_day(told.early), _day(told.middle), _day(told.late)]
    assert days == sorted(days)
    assert _day(run_out(known, left_ml + 10).early) >= days[0]


@given(DRAWS, st.floats(0, 900), st.floats(1, 5000))
def test_the_early_day_is_the_last_on_which_most_of_what_may_go_is_less_than_what_is_left(
    draws, known_days, left_ml
):
    """The simulated bars ask `most`, people are told `early`: with no ± both are one rule.

    Of a few large draws the Gamma's nine in ten lies under its mean; there `early` is sooner still.
    """
    known = use(draws, known_days)
    early = run_out(known, left_ml).early if known else None
    if early is None:
        return
    assert known.most(early) < left_ml * (1.0 + 1e-9)
    if known.most(early + 1) >= known.within(early + 1)[0]:
        assert known.most(early + 1) >= left_ml * (1.0 - 1e-9)


def _day(day):
    return forecast.LONGEST_DAYS if day is None else day


def test_a_start_by_date_is_the_early_day_less_all_that_comes_between():
    """12 June, 20 days until it may be gone, 14 + 2 in jar and settling, 2 to spare: 14 June."""
    terms = (
        Term("gone, early", 20, "35 mL a week"),
        Term("steep", -14, "as CARA-03 did"),
        Term("settle", -2, "your settings"),
        Term("margin", -2, "your settings"),
    )
    told = start_by(date(2026, 6, 12), terms)
    assert told.day == date(2026, 6, 14)
    assert told.terms == terms
