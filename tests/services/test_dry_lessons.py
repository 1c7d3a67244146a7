"""The review shows what dried samples taught of water and soluble part, each figure answered."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.records import Measure, Reading
from steepboard.services import acts, dry_lessons, lessons, losses, material, why_dry_lessons
from tests.services.test_learning import bottle
from tests.services.test_why import assert_answered
from tests.shelves import MORNING, desk_at

DAY = timedelta(days=1)
BOTH = {
    Measure.DRY_MARC: 31.0,
    Measure.RESIDUE_VOLUME: 10.0,
    Measure.RESIDUE: 0.28,
}


def dry(desk, number=0, read=BOTH, marc_g=86.0, **changes):
    """Bottle a jar of 40 g in 300 mL of 45 %, and dry what is named; return its code."""
    charged = MORNING + number * 20 * DAY
    code = bottle(desk, charged=charged, marc_g=marc_g, bottled_ml=250.0, **changes)
    at = charged + 15 * DAY
    kept = tuple(Reading(what, v, f"{v}", 0.01, at) for what, v in read.items())
    acts.strain(desk, code, kept, at)
    return code


def test_nothing_is_shown_of_a_botanical_of_which_nothing_was_dried(tmp_path):
    desk = desk_at(tmp_path)
    bottle(desk)
    assert dry_lessons.dry_lessons(desk) == ()


def test_a_dried_marc_and_a_dried_sample_show_water_and_soluble_part(tmp_path):
    """Before, now and by the jar, worked by hand."""
    desk = desk_at(tmp_path)
    code = dry(desk)
    water, soluble = dry_lessons.dry_lessons(desk)
    # 300 mL of 45 % weigh 283.1 g (OIML R 22) and get 3.9 g of water of 40 g at 9.87 %: 287.0 g in
    # 303.8 mL. 0.028 g in each mL, of which solids take 0.62 mL/g: 0.028 * 303.8 / 0.9826 = 8.66 g
    # dissolved, 2.93 % of 295.7 g. The 55 g that the wet marc lost leave 0.0302 * 55 = 1.66 g in
    # the 31 g, so 29.34 g never dissolved: 38.0 g dry of 40 g, 8.66 g of them soluble.
    assert water.batches[0].value == pytest.approx(0.050, abs=0.001)
    assert soluble.batches[0].value == pytest.approx(0.2279, abs=0.001)
    assert (water.usual.value, soluble.usual.value) == pytest.approx((0.0987, 0.11))
    for one in (water, soluble):
        (batch,) = one.batches
        assert batch.code == code
        low, high = sorted((batch.value, one.usual.value))
        assert low < one.learned.mean < high
        assert one.learned.u < one.usual.u
    line = material.weighed("caraway", 40.0, "40g")
    assert material.moisture_of(line, desk.library).value == water.learned.mean
    assert next(iter(dry_lessons.dry_told(water)))[:2] == ("beforehand", "9.9 % ± 1.2 %")
    assert dry_lessons.dry_heading(soluble) == "soluble part of dry Caraway seed, of the dry mass"


def test_a_residue_alone_tells_of_the_soluble_part_alone(tmp_path):
    """The water stays as it is usual, and is not shown as if it had been measured."""
    desk = desk_at(tmp_path)
    dry(desk, read={Measure.RESIDUE_VOLUME: 10.0, Measure.RESIDUE: 0.28})
    dry(desk, 1, name="fennel", read={Measure.DRY_MARC: 33.0})
    caraway, fennel = dry_lessons.dry_lessons(desk)
    assert [one.share for one in (caraway, fennel)] == [dry_lessons.SOLUBLE] * 2
    # 8.66 g, see above, of the 36.05 g that 40 g are when dry.
    assert caraway.batches[0].value == pytest.approx(0.2402, abs=0.001)
    assert dry_lessons.about_dried(caraway.batches[0]).endswith(", dry residue")
    assert dry_lessons.about_dried(fennel.batches[0]).endswith(", dried marc")
    assert dry_lessons.dry_lessons(desk, "fenn") == (fennel,)


def test_a_share_that_a_person_gave_with_the_jar_teaches_nothing_of_it(tmp_path):
    desk = desk_at(tmp_path)
    line = material.weighed("caraway", 40.0, "40g", moisture=0.05)
    dry(desk, botanicals=(line,))
    (soluble,) = dry_lessons.dry_lessons(desk)
    assert soluble.share == dry_lessons.SOLUBLE
    inputs = {
        one.name: (one.value, one.source)
        for answer in why_dry_lessons.of_dried(desk, (soluble,))
        for one in answer.inputs
    }
    assert inputs["water in Caraway seed"] == ("5.0 %", "given by you")


def test_every_line_of_dried_samples_has_an_answer_with_the_same_figure(tmp_path):
    desk = desk_at(tmp_path)
    codes = [dry(desk, number, BOTH | {Measure.RESIDUE: 0.2 + number / 100}) for number in range(9)]
    dried = dry_lessons.dry_lessons(desk)
    answers = why_dry_lessons.of_dried(desk, dried)
    assert_answered(answers)
    found = {answer.figure: answer for answer in answers}
    assert len(found) == len(answers)
    for one in dried:
        for name, figure, more in dry_lessons.dry_told(one):
            label = name.strip()
            if label == "earlier":
                assert more == "1 more"
                continue
            answer = found[one.figure if label == "now" else f"{one.figure}, {label}"]
            assert answer.value.startswith(figure)
            if label == "now":
                assert found[f"{one.figure}, next batch"].value in more
    known = {one.name: one for one in found["water in Caraway seed"].inputs}
    assert codes[8] in known
    assert codes[0] not in known
    assert known["1 earlier"].source == "measured here"
    batch = found[f"soluble part of dry Caraway seed, {codes[8]}"]
    assert {one.name: one.value for one in batch.inputs}["residue"] == "0.28 g"


def test_what_is_far_from_what_is_usual_says_that_it_counts_for_little(tmp_path):
    desk = desk_at(tmp_path)
    dry(desk, read={Measure.RESIDUE_VOLUME: 10.0, Measure.RESIDUE: 1.1})
    (soluble,) = dry_lessons.dry_lessons(desk)
    assert dry_lessons.about_dried(soluble.batches[0]).endswith("far off: counts for little")


def test_the_page_of_a_jar_may_tell_another_figure_and_the_answer_says_why(tmp_path):
    """A batch is told by the dry mass now believed, the balance by the one then believed."""
    from steepboard.services import why_lessons

    desk = desk_at(tmp_path)
    dry(desk)
    groups = lessons.lessons(desk, losses.strained(desk))
    rules = [one.rule for one in why_lessons.of_groups(desk, groups) if one.figure == "CARA-01"]
    assert "what was believed as it was charged" in rules[0]
