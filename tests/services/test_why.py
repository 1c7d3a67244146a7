"""Every figure can say where it comes from."""

from __future__ import annotations

import re
from dataclasses import fields
from datetime import timedelta
from pathlib import Path

import pytest

import steepboard
from steepboard.domain import limits
from steepboard.domain.balance import Balance, Checked, Figure
from steepboard.domain.records import Measure
from steepboard.services import acts, plans, straining, why
from steepboard.services.plans import Further, Wish
from steepboard.services.why_expected import of_expected
from steepboard.services.why_findings import RULES
from tests.shelves import MORNING, desk_at, order

SAYS_WHO = (
    "published", "common practice", "from memory", "measured here", "assumed", "given by you",
    "house setting", "worked out", "see ", "usual for", "masses add", "volumes of what", "what ",
    "the trade's", "as it was read", "written down for", "as it was tasted",
)  # fmt: skip
READ = {
    Measure.RECOVERED: 250.0,
    Measure.RECOVERED_MASS: 239.0,
    Measure.DRAINED: 200.0,
    Measure.PRESSED: 60.0,
    Measure.MARC: 78.0,
    Measure.DRY_MARC: 31.0,
    Measure.FILTER_BEFORE: 3.0,
    Measure.FILTER_AFTER: 8.0,
    Measure.SEDIMENT: 4.0,
    Measure.SAMPLED: 3.0,
    Measure.GROSS_CHARGED: 640.0,
    Measure.GROSS_BEFORE: 636.0,
    Measure.HYDROMETER: 0.41,
    Measure.RESIDUE_VOLUME: 10.0,
    Measure.RESIDUE: 0.3,
    Measure.WASH: 20.0,
    Measure.WASH_STRENGTH: 0.45,
    Measure.WASHED_OUT: 18.0,
}


def strained(folder, left_out=()):
    desk = desk_at(folder)
    jar = acts.charge(desk, order(), MORNING)
    at = MORNING + timedelta(days=14)
    readings = tuple(
        straining.reading(desk, measure, value, f"{value:g}", 0.1, at)
        for measure, value in READ.items()
        if measure not in left_out
    )
    return desk, acts.strain(desk, jar.code, readings, at, bottled=True)


def assert_answered(answers):
    for answer in answers:
        assert answer.figure
        assert answer.value
        assert answer.rule.endswith((".", "!", ")"))
        for source in (answer.source, *(one.source for one in answer.inputs)):
            assert source.startswith(SAYS_WHO) or ": " in source, (answer.figure, source)


@pytest.mark.parametrize(
    "wish",
    [
        Wish(0.45, "caraway", want_ml=250.0),
        Wish(0.45, "caraway", have_g=40.0, vessel_ml=300.0),
        Wish(0.55, "orange zest", want_ml=400.0, made_from=0.96, room_c=17.0),
        Wish(0.30, "a root from the meadow", want_ml=250.0, moisture=0.8, soluble=0.2, fresh=True),
    ],
)
def test_every_figure_of_a_plan_has_an_answer(tmp_path, wish):
    desk = desk_at(tmp_path)
    answers = why.of_plan(plans.make(desk.settings, wish), desk.settings, desk.library)
    figures = {answer.figure for answer in answers}
    assert figures >= {"weigh and pour", "ratio", "strength", "hydrometer", "expected", "range"}
    assert_answered(answers)


def test_what_a_plan_worked_out_is_not_said_to_be_given(tmp_path):
    desk = desk_at(tmp_path)
    wish = Wish(0.60, "coriander", want_ml=250.0, ratio=2.0)
    answers = why.of_plan(plans.make(desk.settings, wish), desk.settings, desk.library)
    told = {answer.figure: answer for answer in answers}
    assert [one.source for one in told["liquor"].inputs[:2]] == [
        "worked out: see weigh and pour"
    ] * 2
    assert told["ratio"].source == "given by you"


def test_a_plan_tells_what_was_asked_and_how_its_ratio_came_about(tmp_path):
    """Parts, what is wanted, the strength let down to; 55 % asks for 5 + 5 × 0.15/0.40 = 6.875."""
    desk = desk_at(tmp_path)
    asked = Wish(
        0.55, "orange zest", want_ml=500.0, made_from=0.96, parts=25.0,
        further=(Further("caraway", 5.0),),
    )  # fmt: skip
    made = plans.make(desk.settings, asked)
    told = {one.figure: one for one in why.of_plan(made, desk.settings, desk.library)}
    size = {one.name: one.value for one in told["weigh and pour"].inputs}
    first, second = (line.name for line in made.order.botanicals)
    assert (size[f"parts of {first}"], size[f"parts of {second}"]) == ("25 of 30", "5 of 30")
    assert size["wanted"] == "500 mL"
    assert size["strength that is poured"] == "55.0 %"
    assert size["strength of the spirit"] == "96.0 %"
    assert size["ratio"] == told["ratio"].value == "1:6.88"
    assert "1:5 at 40 %, 1:10 at 80 %" in told["ratio"].rule
    assert told["ratio"].source.startswith("common practice")


def test_a_plan_out_of_what_there_is_tells_what_that_is(tmp_path):
    desk = desk_at(tmp_path)
    made = plans.make(desk.settings, Wish(0.45, "caraway", have_g=40.0, vessel_ml=300.0))
    size = next(iter(why.of_plan(made, desk.settings, desk.library)))
    told = [(one.name, one.value, one.source) for one in size.inputs]
    assert ("botanical there is", "40 g", "given by you") in told
    assert ("the jar holds", "300 mL", "given by you") in told


def test_what_scale_and_cylinder_show_stands_beside_the_exact_amounts(tmp_path):
    """As the screen says it: of 326.66 mL the cylinder shows 326 mL, in steps of 2 mL."""
    desk = desk_at(tmp_path)
    wish = Wish(0.45, "caraway", want_ml=250.0, moisture=0.11, soluble=0.18, held_ml_per_g=1.6)
    size = next(iter(why.of_plan(plans.make(desk.settings, wish), desk.settings, desk.library)))
    assert size.value == "58.1 g, 326.7 mL"  # design, worked example: 58.07 g and 326.66 mL
    assert size.inputs[0].value == "58.1 g; 326 mL of 45 %"
    assert size.inputs[0].source == "worked out, rounded to 0.1 g and 2 mL: house settings"


def test_water_has_no_strength_in_an_answer(tmp_path):
    desk = desk_at(tmp_path)
    wish = Wish(0.55, "caraway", want_ml=250.0, made_from=0.96)
    made = plans.make(desk.settings, wish)
    told = {one.figure: one for one in why.of_plan(made, desk.settings, desk.library)}
    water = next(one for one in told["liquor"].inputs if one.name == "water")
    assert water.value == made.order.spirits[1].typed_volume


def test_a_dose_sum_is_answered_in_the_digits_that_it_is_told_in(tmp_path):
    """Both go to the careful side, upward."""
    desk = desk_at(tmp_path)
    made = plans.make(desk.settings, Wish(0.50, "quassia", want_ml=300.0))
    told = {one.figure: one.value for one in why.of_plan(made, desk.settings, desk.library)}
    amount = told["quassin in a drink"].removesuffix("/L")
    assert f"brings up to {amount}." in limits.finding(made.doses[0]).text


def test_what_a_plan_says_beside_its_figures_has_an_answer_too(tmp_path):
    desk = desk_at(tmp_path)
    made = plans.make(desk.settings, Wish(0.60, "coriander", want_ml=250.0, ratio=2.0))
    answers = why.of_plan(made, desk.settings, desk.library)
    told = {answer.figure: answer.value for answer in answers}
    assert {offer.way for offer in made.offers} <= told.keys()
    assert told["for as much as you want"] == made.instead
    assert told["prepare Coriander seed"] == made.preparation
    assert {"taste", "rounding"} <= told.keys()
    assert_answered(answers)


def test_a_given_figure_names_the_person_and_a_usual_one_its_book(tmp_path):
    desk = desk_at(tmp_path)
    wish = Wish(0.45, "caraway", want_ml=250.0, moisture=0.12)
    answers = why.of_plan(plans.make(desk.settings, wish), desk.settings, desk.library)
    expected = next(answer for answer in answers if answer.figure == "liquor")
    sources = {one.name: one.source for one in expected.inputs}
    assert sources["water in Caraway seed"] == "given by you"
    assert sources["soluble part of dry Caraway seed"].startswith(("assumed", "from memory"))


def test_every_part_of_a_balance_has_an_answer_with_its_readings(tmp_path):
    desk, jar = strained(tmp_path)
    balance = straining.balance(desk, jar)
    answers = why.of_balance(desk, jar)
    assert_answered(answers)
    parts = [
        field.name
        for field in fields(Balance)
        if isinstance(getattr(balance, field.name), (Figure, Checked))
    ]
    assert len(parts) == 13  # all that a straining may be read of
    inputs = {one.name for answer in answers for one in answer.inputs}
    assert inputs >= {reading.measure.value for reading in jar.readings} - {
        Measure.DRAINED, Measure.PRESSED  # the bottled volume came after them
    }  # fmt: skip


def test_what_came_out_names_the_reading_that_counted_and_a_rinse_that_came_back(tmp_path):
    def named(folder, *left_out):
        desk, jar = strained(folder, left_out)
        (one,) = (one for one in why.of_balance(desk, jar) if one.figure == "recovered")
        return [given.name for given in one.inputs]

    assert named(tmp_path / "both") == [Measure.RECOVERED_MASS.value]
    assert named(tmp_path / "cylinder", Measure.RECOVERED_MASS) == [Measure.RECOVERED.value]
    stages = [Measure.DRAINED.value, Measure.PRESSED.value, Measure.WASHED_OUT.value]
    assert named(tmp_path / "stages", Measure.RECOVERED_MASS, Measure.RECOVERED) == stages


def test_a_hydrometer_is_read_in_percent_there_too(tmp_path):
    desk, jar = strained(tmp_path)
    sources = {
        one.name: one.source for answer in why.of_balance(desk, jar) for one in answer.inputs
    }
    assert sources["hydrometer"] == "measured here, to 10.0 %"  # the step that READ is kept with
    assert sources["marc"] == "measured here, to 0.1 g"


def test_the_answer_for_unaccounted_names_each_part_and_its_amount(tmp_path):
    desk, jar = strained(tmp_path)
    answers = {answer.figure: answer for answer in why.of_balance(desk, jar)}
    named = {one.name: one.value for one in answers["unaccounted"].inputs}
    assert {"recovered", "held in the marc", "held in the filter", "evaporated"} <= named.keys()
    assert named["recovered"] == answers["recovered"].value


def test_a_jar_that_was_not_strained_has_answers_for_its_charge_alone(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(), MORNING)
    answers = why.of_jar(desk, jar)
    assert "unaccounted" not in {answer.figure for answer in answers}
    assert_answered(answers)


@pytest.mark.parametrize(("days", "told"), [(1, "every day"), (3, "every 3 days")])
def test_how_often_a_jar_is_stirred_is_told_in_plain_words(tmp_path, days, told):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(stir_every_days=days), MORNING)
    assert {one.figure: one.value for one in why.of_jar(desk, jar)}["stir"] == told


def test_each_finding_that_can_come_up_has_its_rule():
    folder = Path(steepboard.__file__).parent
    source = "".join(
        path.read_text(encoding="utf-8")
        for layer in ("domain", "services")
        for path in (folder / layer).glob("*.py")
    )
    codes = set(re.findall(r'Finding\(\s*f?"([a-z_-]+)', source))
    codes -= {"short_", "dose_sum"}  # the first is two; doses tell their own sums
    assert codes | {"short_botanical", "short_spirit"} == RULES.keys()


@pytest.mark.parametrize(
    ("left_out", "without"), [(None, "hydrometer"), (Measure.WASH, "washed out")]
)
def test_whatever_is_expected_of_a_reading_has_an_answer(tmp_path, left_out, without):
    """Each names its rule, what is usual and what else was read; a rinse hides the hydrometer."""
    desk, jar = strained(tmp_path, (left_out,))
    answers = of_expected(desk, jar, list(Measure))
    figures = {answer.figure for answer in answers}
    assert figures == {f"expected {one.value}" for one in straining.likely(desk, jar)}
    assert len(figures) == 14
    assert f"expected {without}" not in figures
    assert_answered(answers)
    marc = next(answer for answer in answers if answer.figure == "expected marc")
    named = {one.name: one.source for one in marc.inputs}
    assert named["recovered mass"] == "measured here, to 0.1 g"
    assert "marc" not in named
    assert {
        "held by Caraway seed, drip",
        "held by Caraway seed, pressed by hand",
        "Caraway seed",
    } <= set(named)


def test_before_anything_is_read_the_marc_is_expected_by_what_is_usual_alone(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(), MORNING)
    (marc,) = of_expected(desk, jar, [Measure.MARC])
    low, high = straining.expect(desk, jar, Measure.MARC)
    assert marc.value == f"{low:.0f} to {high:.0f} g"
    assert not [one for one in marc.inputs if one.source.startswith("measured here, to")]
