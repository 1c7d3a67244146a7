"""The bench trial: levels and brackets worked by hand, and tasters that are known to the test."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import hypot, nan, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain import bench
from steepboard.domain.base import Base
from steepboard.domain.bench import Step, Trial, Verdict, bracket, levels
from steepboard.domain.dosing import Portion, Tool
from steepboard.domain.mixing import Liquid
from steepboard.domain.readings import Measured
from steepboard.errors import OutOfRange
from tests.shelves import MORNING

L, R, M = Verdict.LITTLE, Verdict.RIGHT, Verdict.MUCH
DROP = Portion("nib", Tool.DROP, 1 / 40, 0.05, "measured here")
LIQUID = Liquid(0.60, 0.0, 0.24)
MINUTE = timedelta(minutes=1)


def tried(*steps, each_ml=1 / 40, **changes):
    """Return a trial in 100 mL with steps of so many drops and their verdicts, minutes apart."""
    made = tuple(
        Step(n, MORNING + 3 * n * MINUTE, Measured(drops * each_ml, 0.0), f"{drops} drops", verdict)
        for n, (drops, verdict) in enumerate(steps, 1)
    )
    trial = Trial(
        "BENCH-01", MORNING, "KL", Base("sour", 100.0, 0.28, 90.0), 0.0, "CARA-01-A", "Caraway",
        replace(DROP, each_ml=each_ml), steps=made,
    )  # fmt: skip
    return replace(trial, **changes)


def codes(trial, now=MORNING):
    return [one.code for one in bench.trial_findings(trial, LIQUID, now)]


def test_seven_drops_in_a_hundred_millilitres():
    # 7 drops at 40 to the mL are 0.175 mL, in 100 mL that is 1.75 mL/L
    trial = tried((3, L), (2, L), (2, R))
    assert trial.added_ml == pytest.approx(0.175)
    assert levels(trial) == pytest.approx((0.75, 1.25, 1.75))
    found = bracket(trial)
    assert (found.low_ml_l, found.high_ml_l) == (pytest.approx(1.25), None)
    assert found.mark_ml_l == pytest.approx(1.75)
    # the tongue: 0.5 mL/L below, spread evenly; the drops: 5 % of 1.75
    assert found.mark_u_ml_l == pytest.approx(hypot(0.5 / sqrt(3), 0.0875))


def test_what_is_not_tasted_yet_counts_in_what_tastings_left():
    # 1 mL in 100 mL is 10 mL/L. A sip of 10 mL of these 101 leaves 90.10 mL of the sample with
    # 0.901 mL of tincture in it; 1 mL more are 1.901 mL in 90.10 mL.
    trial = tried((1, L), each_ml=1.0, sip_ml=10.0)
    assert bench.level_now(trial) == pytest.approx(10.0)
    waiting = replace(trial, untasted=(bench.Added(Measured(1.0, 0.0), "1 drop"),))
    assert bench.level_now(waiting) == pytest.approx(1e3 * 1.901 / 90.10, rel=1e-3)


def test_a_bracket_lies_between_too_little_and_too_much():
    trial = tried((5, L), (2, R), (1, R), (2, M), sample_u_ml=0.6)
    found = bracket(trial)
    assert found.low_ml_l == pytest.approx(1.25)
    assert found.high_ml_l == pytest.approx(2.5)
    assert found.mark_ml_l == pytest.approx(1.75)  # the least that was right
    # half of 1.25 mL/L; drops 5 % and the sample 0.6 % of 1.75
    assert found.mark_u_ml_l == pytest.approx(hypot(0.625 / sqrt(3), 1.75 * hypot(0.05, 0.006)))


def test_without_a_right_step_the_mark_is_in_the_middle():
    found = bracket(tried((6, L), (6, M)))
    assert found.mark_ml_l == pytest.approx((1.5 + 3.0) / 2)


def test_nothing_is_known_before_anything_was_too_much_or_right():
    assert bracket(tried()).mark_ml_l is None
    assert bracket(tried((2, L), (2, L))).mark_ml_l is None


def test_what_is_tasted_away_makes_the_next_drops_count_more():
    # 20 drops, 0.5 mL: 5 mL/L. Of 100.5 mL 10 are tasted: 90.0498 mL of base and 0.450249 mL stay.
    # 0.5 mL more are 0.950249 in 90.0498: 10.5525 mL/L, where 10 would be without the tasting.
    trial = tried((20, L), (20, L), sip_ml=10.0)
    assert levels(trial) == pytest.approx((5.0, 10.5525), abs=1e-4)


def test_a_thinned_tincture_counts_for_its_part():
    # one part in five: 10 drops are 0.25 mL, 0.05 mL of them tincture, 0.5 mL/L
    assert levels(tried((10, R), thinned=5.0)) == pytest.approx((0.5,))


def test_what_was_measured_has_the_doubt_of_its_scale_and_not_of_drops():
    step = Step(1, MORNING, Measured(0.2, 0.02), "0.2 ml", R)
    found = bracket(tried(steps=(step,)))
    # 2 mL/L: 2/sqrt(3) of the tongue; 0.01/sqrt(3) of 0.2 mL, 2.887 %
    assert found.mark_u_ml_l == pytest.approx(hypot(2 / sqrt(3), 2 * 0.02887), rel=1e-4)


def test_the_next_day_s_verdict_counts():
    trial = tried((4, L), (4, R))
    grew = replace(trial, steps=(trial.steps[0], replace(trial.steps[1], later=M)))
    assert bracket(grew).high_ml_l == pytest.approx(2.0)
    assert bracket(grew).mark_ml_l == pytest.approx(1.5)
    assert "taste_next_day" in codes(trial)
    assert "taste_next_day" not in codes(grew)


def test_verdicts_that_contradict_each_other_are_told_and_give_no_mark():
    for steps in (((4, M), (4, L)), ((4, L), (4, M), (4, R))):
        assert bracket(tried(*steps)).mark_ml_l is None
        assert "verdicts_cross" in codes(tried(*steps))
    slip = tried((4, R), (4, L), (4, R))
    assert bracket(slip).mark_ml_l == pytest.approx(3.0)
    assert "verdicts_cross" in codes(slip)


def test_six_steps_tire_the_tongue_and_an_hour_rests_it():
    steps = [(1, L)] * 6
    last = MORNING + 18 * MINUTE
    assert "tongue_tired" not in codes(tried(*steps[:5]), last)
    assert "tongue_tired" in codes(tried(*steps), last + 10 * MINUTE)
    assert bench.sitting(tried(*steps), last + 59 * MINUTE) == 6
    assert bench.sitting(tried(*steps), last + 60 * MINUTE) == 0
    assert "Rest" in bench.next_step(tried(*steps), last)
    assert "Rest" not in bench.next_step(tried(*steps), last + timedelta(hours=2))


def test_what_to_do_next_follows_the_last_verdict():
    assert "untouched" in bench.next_step(tried(), MORNING)
    assert bench.next_step(tried((2, L)), MORNING).startswith("Add a little more")
    assert bench.next_step(tried((2, R)), MORNING).startswith("Stop here")
    assert bench.next_step(tried((2, M)), MORNING).startswith("That was too far")
    assert "ended" in bench.next_step(tried((2, R), ended=True), MORNING)


def test_a_dropper_coarser_than_the_bracket_is_told_with_how_to_thin():
    # A drop of 0.05 mL in 100 mL is 0.5 mL/L; 2.0 was too little and 2.5 too much: a quarter of
    # the bracket is 0.125, a quarter of that drop. An eighth of the mark, 2.25, is 0.28. So one
    # part in four: 2.5 mL with 7.5 mL of spirit; intensity 0.24 / 4.
    trial = tried((4, L), (1, M), each_ml=0.05)
    made = bench.thinner(trial, LIQUID)
    assert (made.parts, made.take_ml, made.spirit_ml) == (4, 2.5, 7.5)
    assert (made.strength, made.intensity) == (0.60, pytest.approx(0.06))
    (text,) = [f.text for f in bench.trial_findings(trial, LIQUID, MORNING) if "Thin" in f.text]
    assert "spirit of 60.0 %" in text
    assert "one part in 4" in text


def test_what_is_thinned_already_is_told_with_all_its_parts():
    trial = tried((4, L), (1, M), each_ml=0.05, thinned=3.0)
    (text,) = [f.text for f in bench.trial_findings(trial, LIQUID, MORNING) if "Thin" in f.text]
    assert "one part in 4 (12 in all)" in text
    assert bench.thinner(trial, LIQUID).intensity == pytest.approx(0.24 / 12)


def test_a_sample_that_is_tasted_away_never_runs_dry():
    assert levels(tried(*[(1, L)] * 40, sip_ml=10.0))[-1] > 0.0


def test_right_at_the_second_drop_is_too_coarse_to_tell():
    assert bench.is_coarse(tried((1, L), (1, R)))
    assert not bench.is_coarse(tried((3, L), (2, R)))
    assert bench.thinner(tried((3, L), (2, R)), LIQUID) is None


@given(
    truth=st.floats(0.5, 20.0),
    width=st.floats(0.0, 0.2),
    each_ml=st.floats(0.01, 0.08),
    drops=st.lists(st.integers(1, 6), min_size=1, max_size=12),
    sip_ml=st.floats(0.0, 5.0),
)
def test_the_bracket_contains_what_the_taster_likes(truth, width, each_ml, drops, sip_ml):
    trial = tried(sip_ml=sip_ml, each_ml=each_ml)
    for n, count in enumerate(drops, 1):
        step = Step(n, MORNING, Measured(count * each_ml, 0.0), "", L)
        trial = replace(trial, steps=(*trial.steps, step))
        level = levels(trial)[-1]
        said = L if level < truth * (1 - width) else M if level > truth * (1 + width) else R
        trial = replace(trial, steps=(*trial.steps[:-1], replace(step, verdict=said)))
    found = bracket(trial)
    assert found.low_ml_l <= truth
    assert found.high_ml_l is None or found.high_ml_l >= truth
    assert "verdicts_cross" not in codes(trial)
    if any(step.verdict is R for step in trial.steps):
        assert truth * (1 - width) <= found.mark_ml_l <= truth * (1 + width)
    elif found.high_ml_l is not None:
        assert found.low_ml_l < found.mark_ml_l < found.high_ml_l


@given(st.integers(1, 100), st.floats(0.01, 0.08), st.floats(1.0, 50.0), st.floats(1.1, 10.0))
def test_levels_go_with_the_drop_and_against_sample_and_thinning(drops, each_ml, thinned, times):
    def level(**changes):
        return levels(tried((drops, R), each_ml=each_ml, **changes))[0]

    plain = level()
    assert levels(tried((drops, R), each_ml=each_ml * times))[0] == pytest.approx(plain * times)
    assert level(thinned=thinned) == pytest.approx(plain / thinned)
    assert level(base=Base("sour", 100.0 * times)) == pytest.approx(plain / times)


@pytest.mark.parametrize(
    "wrong",
    [{"thinned": 0.5}, {"thinned": nan}, {"thinned": 2000.0}, {"sip_ml": -1.0}, {"sip_ml": 11.0}],
)
def test_what_is_no_trial_is_refused(wrong):
    with pytest.raises(OutOfRange):
        tried(**wrong)
