"""Every figure of a trial, a blend, a formula and a dose can say where it comes from."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain import alcohol
from steepboard.domain.base import Base
from steepboard.domain.readings import Measured
from steepboard.services import bench, bottles, doses, formulas, why_bench, why_blend, why_doses
from tests.services.test_bench import L, M, desk, found, started
from tests.services.test_doses import LATER, bottled
from tests.services.test_why import assert_answered

__all__ = ["desk"]


def by_figure(answers):
    assert_answered(answers)
    return {answer.figure: answer for answer in answers}


def named(answer):
    return {one.name: one.value for one in answer.inputs}


def stepped(desk, *steps, **more):
    code = started(desk, **more)
    for n, (typed, verdict) in enumerate(steps):
        bench.add(desk, code, typed, verdict, LATER + timedelta(minutes=3 * n))
    return bench.view(desk, code, LATER + timedelta(minutes=3 * len(steps)))


def test_seven_drops_name_each_step_and_the_size_of_a_drop(desk):
    view = bench.view(desk, found(desk), LATER + timedelta(minutes=9))
    told = by_figure(why_bench.of_trial(view))
    assert told["drops in all"].value == "7"
    assert named(told["drops in all"]) == {
        "step 1": "3 drops, 0.075 mL",
        "step 2": "2 drops, 0.05 mL",
        "step 3": "2 drops, 0.05 mL",
        "a drop": "0.025 mL",
    }
    assert told["drops in all"].inputs[-1].source == "measured here: 80 drops to 2 mL"
    # 7 drops at 40 to the mL are 0.175 mL, in 100 mL that is 1.75 mL/L.
    assert told["mL to a litre"].value == "1.75 mL/L"
    assert told["right at"].value == "1.75 mL/L"
    assert told["right at"].rule == "The least that was right."
    assert told["over"].value == "1.25 mL/L"
    assert "under" not in told
    assert told["steps left now"].value == "3"
    assert [told[f"step {n}"].value.split()[0] for n in (1, 2, 3)] == ["0.75", "1.25", "1.75"]


def test_the_plus_minus_names_verdicts_drops_and_sample(desk):
    view = bench.view(desk, found(desk), LATER)
    told = by_figure(why_bench.of_trial(view))["± of right"]
    # 0.5 mL/L below it was too little: 0.5 / 1.732 is 0.289. A drop is 0.144 in 20 mL of a small
    # cylinder, 1.5 %, and 15 % / 1.732 from use to use: 8.8 % of 1.75 is 0.154, the sample's 0.6 %
    # are 0.011. In squares together 0.33.
    assert told.value == "± 0.33 mL/L"
    assert named(told) == {
        "left by the verdicts": "0.5 mL/L",
        "what was added": "± 8.8 %",
        "the sample": "± 0.6 %",
    }


def test_between_too_little_and_too_much_the_middle_is_right(desk):
    view = stepped(desk, ("3 drops", L), ("4 drops", M))
    told = by_figure(why_bench.of_trial(view))
    # 0.75 and 1.75 mL/L
    assert told["right at"].value == "1.25 mL/L"
    assert told["right at"].rule.startswith("The middle between")
    assert named(told["right at"]) == {"step 1": "0.75 mL/L", "step 2": "1.75 mL/L"}
    assert told["under"].value == "1.75 mL/L"


def test_what_was_thinned_or_sipped_or_is_not_tasted_yet_is_named(desk):
    view = stepped(desk, ("4 drops", L), thinned=2.0, sip_ml=1.0)
    bench.put_in(desk, view.trial.code, "1 drop", LATER)
    view = bench.put_in(desk, view.trial.code, "1 drop", LATER)
    told = by_figure(why_bench.of_trial(view))
    assert told["added, not tasted"].value == "2 drops, 0.05 mL"
    assert told["drops in all"].value == "6"
    # 0.15 mL of one part in two, in 99 to 100 mL
    assert told["mL to a litre"].value.startswith("0.75")
    assert named(told["mL to a litre"]) == {
        "added in all": "0.15 mL",
        "the sample": "100 mL",
        "thinned": "one part in 2",
        "taken by each tasting": "1 mL",
    }


def test_the_next_day_s_verdict_is_told_with_its_step(desk):
    code = found(desk)
    bench.taste_again(desk, code, 3, M, LATER + timedelta(days=1))
    told = by_figure(why_bench.of_trial(bench.view(desk, code, LATER)))
    assert told["step 3"].value == "1.75 mL/L, right, later too much"


def test_a_blend_names_levels_parts_and_what_it_is_made_of(desk):
    blend = formulas.from_trials(desk, [found(desk)], 4500.0, LATER)
    told = by_figure(why_blend.of_blend(blend))
    # 1.75 mL to each of 4.5 litres are 7.875 mL: 80 % of that 6.3, 10 % 0.7875, 5 % 0.394.
    assert told["Caraway seed"].value.startswith("7.88 ± ")
    assert named(told["Caraway seed"]) == {"to a litre": "1.75 mL/L", "the base": "4.5 L"}
    assert told["80 %"].value == "6.3 mL CARA-01-A"
    assert told["80 %"].source == "common practice, no source"
    assert float(told["10 %, up to 90 %"].value.split(" mL ")[0]) == pytest.approx(0.7875, abs=1e-3)
    assert told["5 %, up to 95 %"].source.startswith("assumed")
    assert told["5 %, up to 100 %"].source.startswith("assumed")
    parts = [float(one.value) for one in told["mL/L of Caraway seed"].inputs[:2]]
    assert parts[0] / parts[1] == pytest.approx(1.75, rel=0.01)
    # 4500 mL of 28 % and 7.9 mL of some 44 %: 28.03 %; of 405 g of sugar 89.84 g/L are left.
    assert told["strength in the end"].value == "28.03 %"
    assert told["sugar in the end"].value == "89.8 g/L"
    assert told["volume in the end"].value.startswith("4507.")
    assert named(told["strength after the first"])["CARA-01-A"].startswith("6.3 mL of 44")


def test_two_bottles_of_one_tincture_each_name_their_part(desk):
    """Of 7.875 mL the first gives the 5 that it holds, 63.5 %; the second 2.875, 36.5 %.

    80 % are 6.3 mL: 5 and 1.3. A tenth is 0.7875 mL, all of the second.
    """
    trial = found(desk)
    bottled(desk, "caraway", 240.0)
    bottles.correct(desk, "CARA-01-A", Measured(5.0, 0.1), "poured out", LATER)
    both = ["CARA-01-A", "CARA-02-A"]
    blend = formulas.from_trials(desk, [trial], 4500.0, LATER, both)
    answers = why_blend.of_blend(blend)
    told = by_figure(answers)
    names = [answer.figure for answer in answers if "Caraway seed" in answer.figure]
    assert names == [
        "Caraway seed of CARA-01-A", "Caraway seed of CARA-02-A", "mL/L of Caraway seed",
    ]  # fmt: skip
    assert told["Caraway seed of CARA-01-A"].value.startswith("5 ± ")
    level = told["mL/L of Caraway seed"]
    assert level.value == "1.75 mL/L"
    # 1.75 mL/L times 0.1875, the intensity of 40 g in 240 mL by 5.625 / 5
    assert named(level)["mL/L times intensity"] == "0.328"
    assert named(level)["intensity of CARA-01-A"].endswith(", 63.5 % of it, 1.11 mL/L")
    assert named(level)["intensity of CARA-02-A"].endswith(", 36.5 % of it, 0.639 mL/L")
    assert told["80 %"].value == "5 mL CARA-01-A + 1.3 mL CARA-02-A"
    assert float(told["10 %, up to 90 %"].value.split(" mL ")[0]) == pytest.approx(0.7875, abs=1e-3)
    assert told["10 %, up to 90 %"].inputs[0].source == "see Caraway seed of CARA-02-A"
    assert named(told["strength after the first"])["CARA-02-A"].startswith("1.3 mL of 44")
    assert "drawn" not in told
    formulas.draw(desk, blend, 0.8, LATER)
    formulas.draw(desk, formulas.from_trials(desk, [trial], 4500.0, LATER), 0.05, LATER)
    told = by_figure(why_blend.of_blend(formulas.from_trials(desk, [trial], 4500.0, LATER)))
    assert told["drawn"].value == "85 % of it"
    # 1.3 mL and half of 0.7875
    assert named(told["drawn"]) == {"CARA-01-A": "5 of 5 mL", "CARA-02-A": "1.69 of 2.88 mL"}


def test_what_to_mind_of_a_blend_has_its_answer(desk):
    few = formulas.from_trials(desk, [found(desk)], 60.0, LATER)
    told = by_figure(why_blend.of_blend(few))
    assert told["addition small"].value == few.findings[0].text


def test_a_formula_keeps_level_times_intensity(desk):
    code = found(desk)
    made = formulas.keep(desk, "Night train", [code], LATER)
    told = by_figure(why_blend.of_formula(made))
    # 40 g in 240 mL, by the house rule for 45 % times 5.625 / 5: 0.1875; times 1.75 mL/L.
    assert told["Caraway seed"].value == "0.328"
    assert "intensity" in told["Caraway seed"].rule


def test_spirits_poured_together_name_each(desk):
    made = alcohol.blend([(300.0, 0.4), (200.0, 0.96)])
    told = by_figure(why_blend.of_spirits([(300.0, 0.4), (200.0, 0.96)], 20.0, made))
    assert told["makes"].value.startswith("494.")
    assert [one.value for one in told["makes"].inputs] == [
        "300 mL of 40.0 %", "200 mL of 96.0 %", "20 °C",
    ]  # fmt: skip


def test_a_dose_is_answered_as_it_was_settled_and_as_it_is_poured_here(desk):
    drink = Base("sour", 90.0, 0.18, 70.0)
    kept = doses.keep(desk, "night sour", 2.0, "CARA-01-A", "an edge", LATER, drink=drink)
    settled = by_figure(why_doses.of_kept(kept.dose))
    assert settled["night sour"].value == "2 mL of Caraway seed"
    assert "drink of night sour" in settled
    # Of a batch half as strong it takes twice as much: 4 mL, 160 drops at 40 to the mL.
    bottled(desk, "caraway", 480.0)
    (weak,) = doses.for_bottle(desk, "CARA-02-A")
    told = by_figure(why_doses.of_dose(weak))
    assert told["night sour"].value == "4 mL"
    assert named(told["night sour"])["settled as"] == "2 mL"
    assert told["drops of night sour"].value == "160"
    assert told["drops of night sour"].inputs[-1].source == "measured here: 80 drops to 2 mL"
    assert told["dashes of night sour"].value.split(",")[0].isdigit()
    # 4 mL in 94 mL of drink
    assert told["in a litre, night sour"].value == "42.6 mL"
    assert told["drink with night sour"].value.startswith("from 18.0 % to 19.")
    assert told["alcohol of night sour"].value.startswith("1.8 mL, 1.4 g")
