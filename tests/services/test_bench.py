"""Bench trials and whole blends, on a shelf with bottles."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from steepboard.domain.base import Base
from steepboard.domain.bench import Verdict
from steepboard.domain.bottles import BottleKind, Purpose
from steepboard.domain.dosing import Tool
from steepboard.domain.readings import Measured
from steepboard.errors import (
    BadAmount,
    NoAnswer,
    NotEnough,
    NothingToUndo,
    NothingWeighed,
    NotKept,
    OtherTincture,
    OutOfRange,
    WrongState,
)
from steepboard.services import bench, bottle_shelf, bottles, droppers, formulas, house, undoing
from steepboard.services.undo_words import what
from tests.services.test_doses import LATER, bottled
from tests.shelves import desk_at

SAMPLE = Base("platform sour", 100.0, 0.28, 90.0)
NEXT_DAY = LATER + timedelta(days=1)
L, R, M = Verdict.LITTLE, Verdict.RIGHT, Verdict.MUCH


@pytest.fixture
def desk(tmp_path):
    """Give a shelf with CARA-01-A and FENN-01-A, and a dropper of 40 drops to the mL."""
    made = desk_at(tmp_path)
    bottled(made, "caraway", 240.0)
    bottled(made, "fennel", 240.0)
    droppers.count(made, "blue bulb", Tool.DROP, 80, Measured(2.0, 0.1), 0.45, LATER)
    return made


def started(desk, code="CARA-01-A", base=SAMPLE, **more):
    return bench.start(desk, code, base, LATER, sample_u_ml=0.6, **more).trial.code


def found(desk, code="CARA-01-A"):
    """Begin and step up a trial that finds 7 drops right."""
    trial = started(desk, code)
    for n, (typed, verdict) in enumerate([("3 drops", L), ("2 drops", L), ("2 drops", R)]):
        bench.add(desk, trial, typed, verdict, LATER + timedelta(minutes=3 * n))
    return trial


def test_a_trial_is_stepped_up_left_and_come_back_to(desk, tmp_path):
    assert started(desk) == "BENCH-01"
    bench.add(desk, "", "3 drops", L, LATER, remark="thin\nat first")
    desk.store.close()
    again = desk_at(tmp_path)
    view = bench.add(again, "bench-01", "0.1 ml", L, NEXT_DAY)
    assert view.levels_ml_l == pytest.approx((0.75, 1.75))
    assert view.trial.steps[0].remark == "thin at first"
    assert (view.added_ml, view.level_ml_l) == (pytest.approx(0.175), pytest.approx(1.75))
    assert view.steps_in_sitting == 1
    assert [one.trial.code for one in bench.views(again, NEXT_DAY)] == ["BENCH-01"]


def test_seven_drops_are_scaled_to_four_and_a_half_litres(desk):
    blend = formulas.from_trials(desk, [found(desk)], 4500.0, LATER)
    (pour,) = blend.scaled.pours
    # 7 drops at 40 to the mL in 100 mL: 0.175 * 45 = 7.875 mL
    assert round(pour.total_ml, 1) == 7.9
    assert pour.first_ml == pytest.approx(0.8 * 7.875)
    assert pour.share.bottle == "CARA-01-A"
    assert blend.findings == ()


def test_what_would_be_added_in_less_than_a_drop_is_to_be_thinned(desk):
    (said,) = formulas.from_trials(desk, [found(desk)], 60.0, LATER).findings
    # 1.75 mL/L in 60 mL: 0.105 mL; a twentieth of it is 0.00525 mL, and 0.025 / 0.00525 is 4.8
    assert said.code == "addition_small"
    assert "0.0053 mL" in said.text
    assert "with 4 mL" in said.text
    assert "5 times" in said.text


def test_the_next_day_s_verdict_moves_the_mark(desk):
    trial = found(desk)
    view = bench.taste_again(desk, trial, 3, M, NEXT_DAY, remark="it grew")
    assert view.bracket.mark_ml_l == pytest.approx((1.25 + 1.75) / 2)
    assert view.trial.steps[2].later_remark == "it grew"
    undoing.undo_trial(desk, trial, NEXT_DAY)
    assert bench.view(desk, trial, NEXT_DAY).bracket.mark_ml_l == pytest.approx(1.75)


def test_each_step_can_be_taken_back_and_in_the_end_the_trial(desk):
    trial = found(desk)
    bench.end(desk, trial, NEXT_DAY)
    with pytest.raises(WrongState):
        bench.add(desk, trial, "1 drop", R, NEXT_DAY)
    undoing.undo_trial(desk, trial, NEXT_DAY)
    for left in (2, 1, 0):
        undoing.undo_trial(desk, trial, NEXT_DAY)
        assert len(bench.view(desk, trial, NEXT_DAY).trial.steps) == left
    undoing.undo_trial(desk, trial, NEXT_DAY)
    with pytest.raises(NotKept):
        bench.view(desk, trial, NEXT_DAY)
    with pytest.raises(NothingToUndo):
        undoing.undo_trial(desk, trial, NEXT_DAY)
    assert started(desk) == "BENCH-02"


def test_what_is_not_tasted_yet_is_kept_and_belongs_to_the_next_verdict(desk, tmp_path):
    """Drops are in the record as they fall, so that a quit or a crash loses none."""
    trial = started(desk)
    for typed in ("1 drop", "1 drop", "0.1 ml"):
        bench.put_in(desk, trial, typed, LATER)
    bench.remark(desk, trial, "thin", LATER)
    bench.remark(desk, trial, "thin, dry", LATER)
    desk.store.close()
    again = desk_at(tmp_path)
    view = bench.view(again, trial, NEXT_DAY)
    assert (view.trial.steps, view.trial.remark) == ((), "thin, dry")
    # 2 drops of 0.025 mL and 0.1 mL in 100 mL
    assert view.now_ml_l == pytest.approx(1.5)
    assert "0.1 ml + 2 drops went in" in view.next_step
    bench.take_out(again, trial, NEXT_DAY)
    view = bench.add(again, trial, "1 drop", L, NEXT_DAY)
    (step,) = view.trial.steps
    assert (step.typed, step.added.value) == ("3 drops", pytest.approx(0.075))
    assert (step.remark, view.trial.remark, view.trial.untasted) == ("thin, dry", "", ())


def test_a_second_remark_is_taken_back_alone_and_nothing_takes_back_both(desk):
    """The first is still to be noted then; what is told of it is that it is a remark."""
    trial = started(desk)
    bench.remark(desk, trial, "thin", LATER)
    bench.remark(desk, trial, "thin, dry", LATER)
    gone = undoing.undo_trial(desk, trial, LATER)
    assert what(desk, gone) == f"bench trial {trial}, a remark: thin, dry"
    assert bench.view(desk, trial, LATER).trial.remark == "thin"
    bench.remark(desk, trial, "dry", LATER)
    assert bench.remark(desk, trial, " ", LATER).trial.remark == ""
    assert undoing.last_of_trial(desk, trial).kinds == ("keep",)


def test_a_verdict_taken_back_leaves_the_drops_in_the_glass(desk):
    """Undo goes back entry by entry: first the verdict, then the drop."""
    trial = started(desk)
    bench.put_in(desk, trial, "1 drop", LATER)
    bench.put_in(desk, trial, "1 drop", LATER)
    bench.add(desk, trial, None, R, LATER)
    for left in ([2], [1], []):
        undoing.undo_trial(desk, trial, LATER)
        shown = bench.view(desk, trial, LATER)
        assert shown.trial.steps == ()
        assert [round(shown.trial.untasted_ml / 0.025)] == (left or [0])
    with pytest.raises(NothingToUndo):
        bench.take_out(desk, trial, LATER)
    with pytest.raises(NothingWeighed):
        bench.add(desk, trial, None, R, LATER)


def test_drops_and_what_was_read_count_with_the_size_of_the_drop_too(desk):
    """±: 0.1 mL read to 0.1 mL, and 2 drops of 0.025 mL that are all off by the same part."""
    trial = started(desk)
    bench.put_in(desk, trial, "2 drops", LATER)
    view = bench.add(desk, trial, "0.1 ml", R, LATER)
    part = view.trial.portion.u
    # half a step spread evenly, 0.1 / 2 / sqrt(3) = 0.02887 mL, beside 0.05 mL of drops
    assert view.trial.steps[0].added.u == pytest.approx((0.028868**2 + (0.05 * part) ** 2) ** 0.5,
                                                        rel=1e-4)  # fmt: skip


def test_what_the_drops_took_is_drawn_at_the_end_and_comes_back_with_an_undo(desk):
    """7 drops tasted and one not, of 0.025 mL each, thinned to one part in 2: 0.1 mL."""
    trial = started(desk, thinned=2.0)
    bench.add(desk, trial, "7 drops", R, LATER)
    bench.put_in(desk, trial, "1 drop", LATER)
    ended = bench.end(desk, trial, NEXT_DAY)
    assert ended.drawn.volume.value == pytest.approx(0.1)
    (entry,) = bottle_shelf.draws(desk, NEXT_DAY)
    assert (entry.purpose, entry.note) == (Purpose.TASTING, trial)
    assert entry.typed == "8 drops of one part in 2"
    assert bottle_shelf.bottle(desk, "CARA-01-A").left_ml == pytest.approx(99.9)
    undoing.undo_trial(desk, trial, NEXT_DAY)
    assert bottle_shelf.bottle(desk, "CARA-01-A").left_ml == 100.0
    assert not bench.view(desk, trial, NEXT_DAY).trial.ended
    undoing.undo_trial(desk, trial, NEXT_DAY)
    assert bottle_shelf.bottle(desk, "CARA-01-A").left_ml == 100.0
    assert bench.end(desk, trial, NEXT_DAY).drawn.volume.value == pytest.approx(0.0875)


def test_a_trial_ends_also_where_its_bottle_is_gone_or_too_empty(desk):
    """Then nothing is drawn, and nothing is in the way."""
    first, second = found(desk), found(desk, "FENN-01-A")
    bottles.end(desk, "CARA-01-A", BottleKind.USE_UP, "", LATER)
    bottles.correct(desk, "FENN-01-A", Measured(0.0, 0.01), "poured out", LATER)
    assert bench.end(desk, first, NEXT_DAY).drawn is None
    assert bench.end(desk, second, NEXT_DAY).drawn is None
    assert bottle_shelf.draws(desk, NEXT_DAY) == ()
    assert undoing.undo_trial(desk, second, NEXT_DAY).code == second


def test_an_ended_trial_is_out_of_sight_and_can_still_be_scaled(desk):
    trial = found(desk)
    assert bench.end(desk, "", LATER).view.trial.ended
    assert bench.views(desk, LATER) == ()
    assert len(bench.views(desk, LATER, ended=True)) == 1
    assert formulas.from_trials(desk, [trial], 1000.0, LATER).scaled.pours[0].total_ml
    with pytest.raises(NotKept):
        bench.view(desk, "", LATER)


def test_a_trial_keeps_the_dropper_it_was_begun_with(desk):
    trial = found(desk)
    droppers.count(desk, "blue bulb", Tool.DROP, 20, Measured(2.0, 0.1), 0.45, LATER)
    assert bench.view(desk, trial, LATER).bracket.mark_ml_l == pytest.approx(1.75)


def test_several_tinctures_go_into_one_blend_and_are_drawn_as_one_act(desk):
    trials = [found(desk), found(desk, "FENN-01-A")]
    blend = formulas.from_trials(desk, trials, 4500.0, LATER)
    assert [one.code for one in blend.bottles] == ["CARA-01-A", "FENN-01-A"]
    drawn = formulas.draw(desk, blend, 0.8, NEXT_DAY)
    assert [one.left_ml for one in drawn] == pytest.approx([93.7, 93.7])
    entries = bottle_shelf.draws(desk, NEXT_DAY)
    note = "4.5 L of platform sour (BENCH-01 + BENCH-02)"
    assert {(one.purpose, one.note) for one in entries} == {(Purpose.BLEND, note)}
    undoing.undo(desk, None, NEXT_DAY)
    assert [one.left_ml for one in bottle_shelf.bottles(desk)] == [100.0, 100.0]


def test_where_one_bottle_holds_too_little_nothing_is_drawn_of_any(desk):
    trials = [found(desk), found(desk, "FENN-01-A")]
    bottles.correct(desk, "FENN-01-A", Measured(3.0, 0.1), "poured out", LATER)
    blend = formulas.from_trials(desk, trials, 4500.0, LATER)
    assert [one.code for one in blend.findings] == ["bottle_short"]
    with pytest.raises(NotEnough):
        formulas.draw(desk, blend, 1.0, NEXT_DAY)
    assert bottle_shelf.draws(desk, NEXT_DAY) == ()


def test_a_formula_is_made_again_from_a_weaker_batch(desk):
    formulas.keep(desk, "Night train", [found(desk)], LATER, note="before the soda")
    bottles.end(desk, "CARA-01-A", BottleKind.USE_UP, "", LATER)
    with pytest.raises(NothingWeighed):
        formulas.from_formula(desk, "night train", 4500.0)
    # twice the recovered volume of the same charge: half the intensity, twice the volume
    bottled(desk, "caraway", 480.0)
    blend = formulas.from_formula(desk, "night train", 4500.0)
    assert blend.bottles[0].code == "CARA-02-A"
    assert blend.scaled.pours[0].total_ml == pytest.approx(2 * 7.875)
    assert (blend.name, blend.scaled.base.volume_ml) == ("Night train", 4500.0)


def test_the_oldest_bottle_that_holds_enough_is_taken_or_the_one_picked(desk):
    formulas.keep(desk, "Night train", [found(desk)], LATER)
    bottled(desk, "caraway", 240.0)
    assert formulas.from_formula(desk, "Night train", 4500.0).bottles[0].code == "CARA-01-A"
    bottles.correct(desk, "CARA-01-A", Measured(5.0, 0.1), "poured out", LATER)
    assert formulas.from_formula(desk, "Night train", 4500.0).bottles[0].code == "CARA-02-A"
    picked = formulas.from_formula(desk, "Night train", 4500.0, ["CARA-01-A"])
    assert picked.bottles[0].code == "CARA-01-A"
    with pytest.raises(OtherTincture):
        formulas.from_formula(desk, "Night train", 4500.0, ["FENN-01-A"])


def test_what_a_blend_brings_of_a_limited_substance_is_told_for_a_litre(desk):
    bottled(desk, "quassia", 240.0)
    blend = formulas.from_trials(desk, [found(desk, "QUAS-01-A")], 4500.0, LATER)
    (quassin,) = [one for one in blend.limits if one.substance == "quassin"]
    # 7.875 mL in 4507.9 mL, of 40 g in 240 mL: 0.2912 g of quassia in a litre
    assert quassin.dose_ml_per_l == pytest.approx(1.747, abs=1e-3)
    assert quassin.shares[0].mass_g == pytest.approx(0.2912, abs=1e-4)
    assert blend.cautions


def test_a_formula_is_forgotten_and_taken_back(desk):
    made = formulas.keep(desk, "Night train", [found(desk)], LATER)
    house.forget(desk, "formula", "NIGHT train", LATER)
    with pytest.raises(NotKept):
        formulas.formula(desk, "Night train")
    house.undo(desk, "formula", "night train", LATER)
    assert formulas.formulas(desk) == (made,)


def test_without_a_mark_nothing_is_scaled_or_kept(desk):
    trial = started(desk)
    bench.add(desk, trial, "2 drops", L, LATER)
    for act in (
        lambda: formulas.from_trials(desk, [trial], 1000.0, LATER),
        lambda: formulas.keep(desk, "Night train", [trial], LATER),
    ):
        with pytest.raises(NoAnswer):
            act()
    assert formulas.formulas(desk) == ()


def test_trials_of_two_bases_or_twice_of_one_tincture_make_no_blend(desk):
    first = found(desk)
    with pytest.raises(NoAnswer):
        formulas.from_trials(desk, [first, found(desk)], 1000.0, LATER)
    other = started(desk, "FENN-01-A", Base("tonic", 100.0))
    bench.add(desk, other, "4 drops", R, LATER)
    with pytest.raises(NoAnswer):
        formulas.from_trials(desk, [first, other], 1000.0, LATER)


@pytest.mark.parametrize(
    "typed", ["", "drops", "0 drops", "1.5 drops", "-1 drop", "2 g", "2 dashes"]
)
def test_what_is_no_step_is_refused_and_loses_nothing(desk, typed):
    trial = found(desk)
    before = bench.view(desk, trial, LATER)
    with pytest.raises(BadAmount):
        bench.add(desk, trial, typed, R, LATER)
    assert bench.view(desk, trial, LATER) == before


def test_a_trial_done_by_the_dash_shows_how_dashes_are_written(desk):
    """By the word for several of them."""
    by_drop = bench.view(desk, found(desk), LATER).trial
    trial = replace(by_drop, portion=replace(by_drop.portion, tool=Tool.DASH))
    with pytest.raises(BadAmount, match="like 2 dashes"):
        bench.read_step("2 drops", trial)


def test_what_is_no_trial_is_refused_and_loses_nothing(desk):
    trial = found(desk)
    before = bench.view(desk, trial, LATER)
    with pytest.raises(OutOfRange):
        bench.add(desk, trial, "101 ml", R, LATER)
    with pytest.raises(OutOfRange):
        bench.taste_again(desk, trial, 4, R, LATER)
    with pytest.raises(OutOfRange):
        started(desk, sip_ml=50.0)
    with pytest.raises(NotKept):
        started(desk, dropper="red bulb")
    with pytest.raises(NotKept):
        bench.add(desk, "BENCH-99", "1 drop", R, LATER)
    assert bench.views(desk, LATER) == (before,)
