"""What jars taught can say where each of its figures comes from."""

from __future__ import annotations

import re
from math import hypot

import pytest

from steepboard.services import lessons, losses, why_lessons
from tests.services.test_learning import bottle, learn_by
from tests.services.test_why import assert_answered
from tests.shelves import desk_at


def answered(desk):
    groups = lessons.lessons(desk, losses.strained(desk))
    return groups, why_lessons.of_groups(desk, groups)


def by_figure(answers):
    return {answer.figure: answer for answer in answers}


def plus_minus(text):
    return float(re.search(r"± (\d+\.\d+)", text)[1])


def test_every_line_of_the_page_has_an_answer_with_the_same_figure(tmp_path):
    desk = desk_at(tmp_path)
    learn_by(desk, 9)
    bottle(desk, "fennel")
    groups, answers = answered(desk)
    assert_answered(answers)
    told = [(answer.figure, answer.value) for answer in answers]
    for group in groups:
        for name, figure, _ in lessons.told(group):
            if figure:
                assert any(
                    name.strip() == of and value.startswith(f"{figure} mL") for of, value in told
                ), name
    found = by_figure(answers)
    assert found["beforehand"].source.startswith("common practice")
    assert found["Caraway seed"].inputs[-3].name == "1 earlier"
    assert found["Fennel seed"].inputs[-2].value == "9 batches, see each"


def test_a_batch_names_what_was_charged_and_read(tmp_path):
    """40 g of caraway in 300 mL of 45 %, whose wet marc weighs 86 g."""
    desk = desk_at(tmp_path)
    bottle(desk, marc_g=86.0, bottled_ml=250.0)
    _, answers = answered(desk)
    batch = by_figure(answers)["CARA-01"]
    # 86 g wet less the 32.0 g that stay solid: 54 g, at 0.95 g/mL 56.8 mL, in 36 dry grams.
    assert batch.value.startswith("1.58 ± ")
    assert batch.rule.startswith("The wet marc, less what cannot dissolve")
    named = {one.name: one.value for one in batch.inputs}
    assert named["Caraway seed"] == "40g"
    assert named["marc"] == "86 g"
    assert named["water in Caraway seed"].startswith("9.9 % ± ")
    assert named["kept by filter and vessel"] == "6 ± 3 mL"


def test_a_batch_whose_marc_was_not_weighed_says_how_it_tells_all_the_same(tmp_path):
    desk = desk_at(tmp_path)
    bottle(desk, marc_g=None)
    _, answers = answered(desk)
    assert by_figure(answers)["CARA-01"].rule.startswith("The liquid that neither came out")


def test_the_next_batch_adds_what_is_unsure_to_how_much_batches_differ(tmp_path):
    desk = desk_at(tmp_path)
    learn_by(desk, 3)
    _, answers = answered(desk)
    following = by_figure(answers)["next batch of Caraway seed"]
    parts = [plus_minus(one.value) for one in following.inputs]
    # Each is shown to two digits after the point.
    assert plus_minus(following.value) == pytest.approx(hypot(*parts), abs=0.011)


def test_whether_past_ranges_held_is_told_jar_by_jar(tmp_path):
    desk = desk_at(tmp_path)
    bottle(desk, marc_g=86.0, bottled_ml=250.0)
    bottle(desk, marc_g=86.0, bottled_ml=130.0)
    _, answers = answered(desk)
    held = by_figure(answers)["as expected, Caraway seed"]
    assert held.value == "1 of 2"
    assert {one.name: one.value for one in held.inputs} == {
        "CARA-01": "within its range",
        "CARA-02": "outside its range",
    }
