"""What the record knows of blends that were begun, and bottles that share in one."""

from __future__ import annotations

import pytest

from steepboard.domain.bottles import BottleKind
from steepboard.domain.readings import Measured
from steepboard.errors import AlreadyDrawn
from steepboard.services import bench, bottle_shelf, bottles, formulas, undoing, why_findings
from steepboard.services.bottle_words import contains
from tests.services.test_bench import NEXT_DAY, M, R, desk, found
from tests.services.test_doses import LATER, bottled
from tests.shelves import desk_at

__all__ = ["desk"]


def test_what_was_drawn_for_a_blend_is_read_from_the_record(desk, tmp_path):
    """80 % of 7.875 mL are 6.3 mL; what is left then is three additions, and no more."""
    trial = found(desk)
    formulas.draw(desk, formulas.from_trials(desk, [trial], 4500.0, LATER), 0.8, LATER)
    desk.store.close()
    again = desk_at(tmp_path)
    blend = formulas.from_trials(again, [trial], 4500.0, NEXT_DAY)
    (pour,) = blend.scaled.pours
    assert pour.share.drawn_ml == pytest.approx(6.3)
    assert (blend.scaled.reached, blend.scaled.stage) == (pytest.approx(0.8), 1)
    with pytest.raises(AlreadyDrawn):
        formulas.draw(again, blend, 0.8, NEXT_DAY)
    formulas.draw(again, blend, 0.1, NEXT_DAY)
    with pytest.raises(AlreadyDrawn):  # by a page that does not know of it yet
        formulas.draw(again, blend, 0.1, NEXT_DAY)
    blend = formulas.from_trials(again, [trial], 4500.0, NEXT_DAY)
    formulas.draw(again, blend, 0.1, NEXT_DAY)
    assert bottle_shelf.bottle(again, "CARA-01-A").left_ml == pytest.approx(100.0 - 7.875)
    whole = formulas.from_trials(again, [trial], 4500.0, NEXT_DAY).scaled
    assert (whole.reached, whole.stage) == (1.0, 4)
    assert formulas.last_whole(again, trial) == "4.5 L"
    undoing.undo(again, "CARA-01-A", NEXT_DAY)
    assert formulas.from_trials(again, [trial], 4500.0, NEXT_DAY).scaled.stage == 2


def test_another_amount_and_one_made_anew_are_blends_of_their_own(desk):
    """Nothing of them is drawn, and the record keeps them apart by a number."""
    trial = found(desk)
    formulas.draw(desk, formulas.from_trials(desk, [trial], 4500.0, LATER), 1.0, LATER)
    assert formulas.from_trials(desk, [trial], 900.0, LATER).scaled.reached == 0.0
    anew = formulas.from_trials(desk, [trial], 4500.0, LATER, anew=True)
    assert anew.note == "4.5 L of platform sour (BENCH-01), no. 2"
    assert anew.scaled.reached == 0.0
    formulas.draw(desk, anew, 0.8, LATER)
    now = formulas.from_trials(desk, [trial], 4500.0, LATER)
    assert (now.note, now.scaled.stage) == (anew.note, 1)


def test_two_bottles_of_one_tincture_share_where_the_first_does_not_hold_enough(desk):
    """7.875 mL of one intensity: 5 mL from the first, 2.875 mL from the second, in that order.

    80 % are 6.3 mL: all of the first and 1.3 mL of the second, which gives what follows.
    """
    formulas.keep(desk, "Night train", [found(desk)], LATER)
    bottled(desk, "caraway", 240.0)
    bottles.correct(desk, "CARA-01-A", Measured(5.0, 0.1), "poured out", LATER)
    both = ["CARA-01-A", "cara-02-a"]
    blend = formulas.from_formula(desk, "Night train", 4500.0, both)
    first, second = blend.scaled.pours
    assert [one.code for one in blend.bottles] == ["CARA-01-A", "CARA-02-A"]
    assert (first.total_ml, second.total_ml) == (pytest.approx(5.0), pytest.approx(2.875))
    assert (first.first_ml, second.first_ml) == (pytest.approx(5.0), pytest.approx(1.3))
    assert first.then_ml == pytest.approx((0.0, 0.0, 0.0))
    assert second.then_ml == pytest.approx((0.7875, 0.39375, 0.39375))
    assert blend.findings == ()
    formulas.draw(desk, blend, 0.8, LATER)
    later = formulas.from_formula(desk, "Night train", 4500.0)
    assert later.scaled.stage == 1
    drawn = formulas.draw(desk, later, 0.2, LATER)
    assert [(one.code, round(one.left_ml, 3)) for one in drawn] == [("CARA-02-A", 97.125)]
    # the same grams of base and tincture, whether from one bottle or two
    alone = formulas.from_formula(desk, "Night train", 4500.0, ["CARA-02-A"], anew=True)
    assert blend.scaled.whole.volume_ml == pytest.approx(alone.scaled.whole.volume_ml)


def test_a_bottle_that_was_picked_and_is_not_needed_is_told(desk):
    """It is not passed over in silence."""
    formulas.keep(desk, "Night train", [found(desk)], LATER)
    bottled(desk, "caraway", 240.0)
    blend = formulas.from_formula(desk, "Night train", 4500.0, ["CARA-02-A", "CARA-01-A"])
    assert [one.code for one in blend.bottles] == ["CARA-02-A"]
    assert [one.text for one in blend.findings] == [
        "Nothing is taken of CARA-01-A: the bottles before it hold enough."
    ]


def test_a_blend_goes_on_from_another_bottle_where_the_first_is_gone(desk):
    """6.3 mL came from the first; the 1.575 mL that are missing come from the second."""
    trial = found(desk)
    formulas.draw(desk, formulas.from_trials(desk, [trial], 4500.0, LATER), 0.8, LATER)
    bottles.end(desk, "CARA-01-A", BottleKind.USE_UP, "", LATER)
    bottled(desk, "caraway", 240.0)
    blend = formulas.from_trials(desk, [trial], 4500.0, LATER)
    assert [(p.share.bottle, round(p.missing_ml(1.0), 3)) for p in blend.scaled.pours] == [
        ("CARA-01-A", 0.0), ("CARA-02-A", 1.575),
    ]  # fmt: skip
    assert blend.findings == ()
    formulas.draw(desk, blend, 0.2, LATER)
    assert bottle_shelf.bottle(desk, "CARA-02-A").left_ml == pytest.approx(98.425)


def test_more_drawn_than_the_mark_asks_for_by_now_is_told_and_is_in_the_blend(desk):
    """7.875 mL were drawn; the next day 3 drops are right, 0.75 mL/L or 3.375 mL in 4.5 L."""
    trial = found(desk)
    before = formulas.from_trials(desk, [trial], 4500.0, LATER)
    formulas.draw(desk, before, 1.0, LATER)
    for number, verdict in ((1, R), (2, M), (3, M)):
        bench.taste_again(desk, trial, number, verdict, NEXT_DAY)
    blend = formulas.from_trials(desk, [trial], 4500.0, NEXT_DAY)
    (pour,) = blend.scaled.pours
    assert (pour.total_ml, blend.scaled.reached) == (pytest.approx(3.375), 1.0)
    (said,) = blend.findings
    assert said.text.startswith("4.5 mL more of CARA-01-A are in than it takes now.")
    assert blend.scaled.whole == before.scaled.whole
    assert [answer.figure for answer in why_findings.of_findings(blend.findings)] == [
        "too much drawn"
    ]


def test_a_formula_that_was_kept_anew_goes_on_with_what_was_drawn_for_it(desk):
    """6.3 mL of either are in; by now it takes caraway alone, the fennel is in all the same."""
    both = [found(desk), found(desk, "FENN-01-A")]
    formulas.keep(desk, "Night train", both, LATER)
    formulas.draw(desk, formulas.from_formula(desk, "Night train", 4500.0), 0.8, LATER)
    formulas.keep(desk, "Night train", both[:1], LATER)
    blend = formulas.from_formula(desk, "Night train", 4500.0)
    assert [one.text.partition(" are in")[0] for one in blend.findings] == [
        "6.3 mL more of FENN-01-A"
    ]
    # 4500 mL with 7.875 mL of the one and 6.3 mL of the other; a mix shrinks by less than 0.1 %
    assert blend.scaled.whole.volume_ml == pytest.approx(4514.2, abs=2.0)
    (drawn,) = formulas.draw(desk, blend, 0.2, LATER)
    assert (drawn.code, round(drawn.left_ml, 3)) == ("CARA-01-A", 92.125)
    whole = formulas.from_formula(desk, "Night train", 4500.0)
    assert whole.scaled.stage == 4
    assert formulas.drawn_last(desk, whole) == "CARA-01-A"
    undoing.undo(desk, "CARA-01-A", LATER)
    assert formulas.from_formula(desk, "Night train", 4500.0).scaled.stage == 1


def test_a_second_bottle_of_what_takes_less_by_now_is_in_all_the_same(desk):
    """5 mL of the first and 2.875 of the second were drawn; 3.375 mL are right by now."""
    trial = found(desk)
    bottled(desk, "caraway", 240.0)
    bottles.correct(desk, "CARA-01-A", Measured(5.0, 0.1), "poured out", LATER)
    picked = ["CARA-01-A", "CARA-02-A"]
    formulas.draw(desk, formulas.from_trials(desk, [trial], 4500.0, LATER, picked), 1.0, LATER)
    for number, verdict in ((1, R), (2, M), (3, M)):
        bench.taste_again(desk, trial, number, verdict, NEXT_DAY)
    blend = formulas.from_trials(desk, [trial], 4500.0, NEXT_DAY)
    over = [(pour.share.bottle, round(pour.over_ml, 3)) for pour in blend.scaled.pours]
    assert over == [("CARA-01-A", 1.625), ("CARA-02-A", 2.875)]


def test_the_allergens_of_all_its_bottles_are_named(desk):
    """Celery is one of the EU's fourteen; walnut stands in both laws' lists, and is named once."""
    codes = [bottled(desk, name, 240.0).code for name in ("celery seed", "walnut")]
    blend = formulas.from_trials(desk, [found(desk, code) for code in codes], 4500.0, LATER)
    assert blend.allergens == ("celery", "nuts (walnut)")
    assert contains(blend) == "Contains celery, nuts (walnut)."
    (eu,) = (one.title for one in blend.cautions if one.code == "ALLERGEN_EU")
    assert "celery (Celery seed)" in eu
    assert "nuts (walnut)" in eu
    assert contains(formulas.from_trials(desk, [found(desk)], 4500.0, LATER)) == ""
