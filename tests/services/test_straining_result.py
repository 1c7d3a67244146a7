"""What a straining comes to, in a sentence each, on the jar worked in the design."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.records import Measure, Separation
from steepboard.services import acts, material, straining
from steepboard.services.straining_result import result
from tests.shelves import MORNING, desk_at, order, spirit

# Design 3.4: 58.07 g in 326.66 mL of 45 % make 338.70 mL of 43.40 %, and bottle 250 mL.
MARC_G = 58.07 * 0.89 * 0.82 + 1.6 * 58.07 * 0.89 * 0.95249


def worked(desk, **changes):
    line = material.weighed("caraway", 58.07, "58.07 g", moisture=0.11, soluble=0.18)
    pours = (spirit(326.66, 0.45),)
    asked = order(botanicals=(line,), spirits=pours, held_ml_per_g=1.6, kept_ml=6.0, **changes)
    return acts.charge(desk, asked, MORNING)


def told(desk, jar, **values):
    read = tuple(
        straining.reading(desk, Measure[name.upper()], value, f"{value:g}", 0.1, MORNING)
        for name, value in values.items()
    )
    return result(desk, jar, straining.balance(desk, jar, read), read)


def test_each_question_has_its_sentence(tmp_path):
    desk = desk_at(tmp_path)
    said = told(
        desk, worked(desk), recovered=250, marc=MARC_G, filter_before=2.0, filter_after=7.715
    )
    assert said.bottle == "250.0 mL to bottle, ± 0.6."
    assert said.strength.startswith("43.4 % vol, ±")
    assert said.plan.startswith("Just as expected: 22")
    assert said.past == ""
    assert said.kept == (
        "The solids kept 82.7 mL, 1.60 mL for each dry gram; filter and vessel 6.0 mL."
    )
    # 88.70 mL of 43.40 % hold as much alcohol as 85.5 mL of 45 %.
    assert said.cost == (
        "What was not bottled holds the alcohol of 85.5 mL of the 45 % that was poured."
    )
    # A rinse with as much as is held brings half of it off: h / (h + h), design 3.7.
    assert "hold, the flavour of 41 mL" in said.next_time


@pytest.mark.parametrize(
    ("recovered", "said"),
    [
        (238, "12 mL less than the 250 mL expected, within"),
        (262, "12 mL more than the 250 mL expected, within"),
        (190, "60 mL less than the 250 mL expected, outside"),
    ],
)
def test_it_is_held_against_the_plan(tmp_path, recovered, said):
    desk = desk_at(tmp_path)
    assert told(desk, worked(desk), recovered=recovered).plan.startswith(said)


def test_it_is_held_against_past_batches_strained_the_same_way(tmp_path):
    desk = desk_at(tmp_path)

    def past(separation, recovered):
        jar, later = worked(desk), MORNING + timedelta(days=14)
        read = straining.reading(desk, Measure.RECOVERED, recovered, "read", 2, later)
        acts.strain(desk, jar.code, (read,), later, separation=separation, bottled=True)

    past(Separation.HAND, 244.995)  # 75 % of 326.66 mL
    past(Separation.PRESS, 300)
    jar = worked(desk)
    assert told(desk, jar, recovered=250).past == (
        "The one batch before gave 75 % of what was poured; this one gave 77 %."
    )
    past(Separation.HAND, 258.06)  # 79 %
    assert told(desk, jar, recovered=250).past == (
        "2 batches before gave 77 % of what was poured; this one gave 77 %."
    )


def test_a_past_batch_that_was_only_weighed_counts_by_its_density(tmp_path):
    desk, later = desk_at(tmp_path), MORNING + timedelta(days=14)
    # 244.995 mL, 75 % of 326.66 mL, of the liquid whose density is worked out above.
    weighed_g = 244.995 * 0.95249
    read = straining.reading(desk, Measure.RECOVERED_MASS, weighed_g, "read", 1, later)
    acts.strain(desk, worked(desk).code, (read,), later, bottled=True)
    assert told(desk, worked(desk), recovered=250).past.startswith("The one batch before gave 75 %")


def test_what_a_past_batch_was_rinsed_with_counts_as_poured(tmp_path):
    desk, later = desk_at(tmp_path), MORNING + timedelta(days=14)
    read = tuple(
        straining.reading(desk, measure, value, "read", 2, later)
        for measure, value in ((Measure.RECOVERED, 300.0), (Measure.WASH, 73.34))
    )
    acts.strain(desk, worked(desk).code, read, later, bottled=True)
    # 300 of 326.66 + 73.34 mL.
    assert told(desk, worked(desk), recovered=250).past.startswith("The one batch before gave 75 %")


def test_until_it_is_bottled_it_says_what_is_to_come(tmp_path):
    desk = desk_at(tmp_path)
    said = told(desk, worked(desk), drained=256)
    assert "to bottle in the end" in said.bottle
    assert (said.plan, said.past) == ("", "")


def test_what_drips_would_give_more_pressed_or_left_longer(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(separation=Separation.DRIP), MORNING)
    said = told(desk, jar, recovered=230)
    assert "pressed by hand, about" in said.next_time
    assert "pressed hard, about" in said.next_time
    assert "left to drip a night longer" in said.next_time


def test_what_was_rinsed_is_not_told_to_rinse(tmp_path):
    desk = desk_at(tmp_path)
    said = told(desk, worked(desk), recovered=320, wash=80, marc=MARC_G)
    assert "rinsed" not in said.next_time


def test_what_a_rinse_brought_is_not_held_against_the_plan(tmp_path):
    desk = desk_at(tmp_path)
    said = told(desk, worked(desk), recovered=318, wash=80, washed_out=78).plan
    assert said.startswith("Without the 78 mL of the rinse: 10 mL less than the 250 mL expected")


def test_fresh_solids_hold_by_the_gram_as_charged(tmp_path):
    desk = desk_at(tmp_path)
    line = material.weighed("raspberry", 400.0, "400 g")
    asked = order(botanicals=(line,), spirits=(spirit(600.0, 0.5),))
    said = told(desk, acts.charge(desk, asked, MORNING), recovered=700)
    # 0.5 mL for each gram, pressed by hand: absorption.csv, fresh fruit.
    assert "0.50 mL for each gram as charged" in said.kept
