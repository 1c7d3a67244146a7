"""A trial at the bench by keys: stepped up, tasted again, scaled up, drawn, kept as a formula."""

from __future__ import annotations

import asyncio
from datetime import timedelta

import pytest

from steepboard.catalogue.cautions import LAST_WORD
from steepboard.domain.base import Base
from steepboard.domain.bench import Verdict
from steepboard.services import bench, bottle_shelf, bottling, formulas
from steepboard.services.typed_bottles import read_all_fills
from steepboard.tui.app import SteepBoard
from steepboard.tui.screens.ask import Confirm
from steepboard.tui.screens.ask_form import AskForm
from steepboard.tui.screens.bench import BenchScreen
from steepboard.tui.screens.blend import BlendScreen
from tests.shelves import MORNING
from tests.tui.flows import HOSTILE, SEEN, bar_desk, calm, on_board, strained_jar, told
from tests.tui.shelf_data import asked, toasts
from tests.tui.test_bottles import FIRST, left, press

CODE = "BENCH-01"


def on_trial(folder, base="platform bitter", **changes):
    """Build a shelf with one bottle and a trial of it in 100 mL begun; return its desk."""
    desk = bar_desk(folder)
    strained_jar(desk, 3)
    bottling.fill(desk, "CARA-01", read_all_fills("2x100ml"), MORNING - timedelta(days=3))
    sample = Base(base, 100.0, 0.28, 90.0)
    bench.start(desk, FIRST, sample, MORNING, sample_u_ml=0.3, **changes)
    return desk


def at_bench(desk, go, size=(80, 24), now=MORNING):
    async def run(board, pilot):
        await pilot.press("e")
        await calm(board, pilot)
        assert isinstance(board.screen, BenchScreen)
        await go(board, pilot)

    on_board(desk, run, size, now)


def steps(desk):
    return [(s.typed, s.counts) for s in bench.view(desk, CODE, MORNING).trial.steps]


def test_an_empty_bench_is_told_what_to_do(tmp_path):
    async def go(board, pilot):
        assert "No trial is open." in told(board)
        await press(board, pilot, "space", "1", "s", "x", "u", "t")
        assert isinstance(board.screen, BenchScreen)

    at_bench(bar_desk(tmp_path), go)


def test_a_trial_is_begun_by_keys(tmp_path):
    desk = bar_desk(tmp_path)
    strained_jar(desk, 3)
    bottling.fill(desk, "CARA-01", read_all_fills("100ml"), MORNING)

    async def go(board, pilot):
        await press(board, pilot, "n", "=cara-01-a", "enter", "=platform bitter", "enter")
        await press(board, pilot, "=100 ml", "enter", "=28 %", "enter")
        assert isinstance(board.screen, AskForm)
        await press(board, pilot, "=90 g/l", "enter", "enter", "enter")
        assert "platform bitter (28.0 %, 90 g/L sugar)" in told(board)
        assert "Measure 100 mL of platform bitter, with an untouched glass" in told(board)

    at_bench(desk, go)
    assert bench.view(desk, "", MORNING).trial.bottle == FIRST


def test_enter_twice_in_a_hurry_begins_one_trial(tmp_path):
    """The second one comes before the form is gone from the screen, and does nothing."""
    desk = bar_desk(tmp_path)
    strained_jar(desk, 3)
    bottling.fill(desk, "CARA-01", read_all_fills("100ml"), MORNING)

    async def go(board, pilot):
        await press(board, pilot, "n", "=cara-01-a", "enter", "=platform bitter", "enter")
        await press(board, pilot, "=100 ml", "enter", "=28 %", "enter", "=90 g/l", "enter")
        form = board.screen
        form.on_form_finished()
        form.on_form_finished()
        await calm(board, pilot)
        assert isinstance(board.screen, BenchScreen)

    at_bench(desk, go)
    assert [one.trial.code for one in bench.views(desk, MORNING)] == [CODE]


def test_each_step_is_a_key_for_each_drop_and_one_for_the_verdict(tmp_path):
    desk = on_trial(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "1")
        assert "Add something first" in toasts(board)[0]
        await press(board, pilot, "minus")
        assert toasts(board) == ["Nothing went in yet."]
        await press(board, pilot, "space", "space", "up", "minus")
        assert "Taste it beside the untouched glass." in told(board)
        await press(board, pilot, "1", "space", "2")
        assert "1 drop more: right" in toasts(board)[0]
        await press(board, pilot, "minus")
        assert toasts(board) == ["All that went in is tasted: u takes back the last step."]
        await press(board, pilot, "space", "space", "3")
        assert "● right" in told(board)
        assert "Right at" in told(board)

    at_bench(desk, go, (120, 40))
    assert steps(desk) == [
        ("2 drops", Verdict.LITTLE), ("1 drop", Verdict.RIGHT), ("2 drops", Verdict.MUCH),
    ]  # fmt: skip


def test_drops_not_tasted_yet_wait_while_another_trial_is_shown(tmp_path):
    desk = on_trial(tmp_path)
    bench.start(desk, FIRST, Base("soda", 100.0, 0.0, 0.0), MORNING, sample_u_ml=0.3)

    async def go(board, pilot):
        shown = board.screen.chosen().trial.code
        await press(board, pilot, "space", "space", "right", "left", "1")
        assert board.screen.chosen().trial.code == shown
        (step,) = bench.view(desk, shown, MORNING).trial.steps
        assert step.typed == "2 drops"

    at_bench(desk, go)


def test_drops_not_tasted_yet_are_there_after_a_quit(tmp_path):
    """Another board, a crash or the command line find them in the record."""
    desk = on_trial(tmp_path)

    async def drip(board, pilot):
        await press(board, pilot, "space", "space", "space", "minus", "r", "=thin", "enter")

    async def taste(board, pilot):
        assert "Remark: thin." in told(board)
        await press(board, pilot, "2", "u", "y")
        assert "Taste it beside the untouched glass." in told(board)
        await press(board, pilot, "3")

    at_bench(desk, drip)
    assert bench.view(desk, CODE, MORNING).trial.untasted_ml > 0.0
    at_bench(desk, taste)
    assert steps(desk) == [("2 drops", Verdict.MUCH)]


def test_the_end_draws_what_the_drops_took_and_undo_brings_it_back(tmp_path):
    """What is asked and what is told say so."""
    desk = on_trial(tmp_path)
    bench.add(desk, CODE, "0.5 ml", Verdict.RIGHT, MORNING)

    async def go(board, pilot):
        await press(board, pilot, "x")
        assert f"drawn from {FIRST} for tasting" in asked(board)
        await press(board, pilot, "y")
        assert f"0.5 mL are drawn from {FIRST}" in toasts(board)[0]
        assert left(desk) == pytest.approx(99.5)
        await press(board, pilot, "u", "y")
        assert "ended" not in told(board)

    at_bench(desk, go)
    assert left(desk) == 100.0


def test_an_amount_and_a_remark_may_be_typed(tmp_path):
    desk = on_trial(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "a", "=9 spoons", "enter")
        assert isinstance(board.screen, AskForm)
        await press(board, pilot, "ctrl+u", "=0.5 ml", "enter", "r", "=still thin", "enter", "1")

    at_bench(desk, go)
    (only,) = bench.view(desk, CODE, MORNING).trial.steps
    assert (only.typed, only.added.value, only.remark) == ("0.5 ml", 0.5, "still thin")


def test_after_six_steps_a_sitting_a_rest_is_asked_for(tmp_path):
    desk = on_trial(tmp_path)
    for _ in range(6):
        bench.add(desk, CODE, "1 drop", Verdict.LITTLE, MORNING)

    async def go(board, pilot):
        assert "Rest for an hour at least" in told(board)
        await press(board, pilot, "space", "1")
        assert isinstance(board.screen, Confirm)
        await press(board, pilot, "n")
        assert len(steps(desk)) == 6
        await press(board, pilot, "1", "y")

    at_bench(desk, go)
    assert len(steps(desk)) == 7


def test_the_next_day_counts_instead_and_undo_takes_it_back(tmp_path):
    desk = on_trial(tmp_path)
    bench.add(desk, CODE, "3 drops", Verdict.LITTLE, MORNING)
    bench.add(desk, CODE, "2 drops", Verdict.RIGHT, MORNING)
    tomorrow = MORNING + timedelta(days=1)

    async def go(board, pilot):
        await press(board, pilot, "t", "right", "enter", "enter", "=it grew", "enter")
        assert steps(desk)[-1] == ("2 drops", Verdict.MUCH)
        assert "later: too much" in told(board)
        await press(board, pilot, "u", "y")

    at_bench(desk, go, (120, 40), tomorrow)
    assert steps(desk)[-1] == ("2 drops", Verdict.RIGHT)


def test_it_is_scaled_drawn_part_by_part_and_taken_back(tmp_path):
    desk = on_trial(tmp_path)
    bench.add(desk, CODE, "0.4 ml", Verdict.LITTLE, MORNING)
    bench.add(desk, CODE, "0.4 ml", Verdict.RIGHT, MORNING)  # 8 mL/L

    async def go(board, pilot):
        await press(board, pilot, "s", "=4.5 L", "enter")
        assert isinstance(board.screen, BlendScreen)
        # 8 mL to each of 4.5 litres: 36 mL, of which 28.8 first, then 3.6 and twice 1.8.
        assert "36" in told(board)
        assert "▸ 80 % 28.8 mL CARA-01-A" in told(board)
        await press(board, pilot, "d")
        assert left(desk) == pytest.approx(100.0 - 28.8)
        await press(board, pilot, "d", "u", "y")
        assert left(desk) == pytest.approx(100.0 - 28.8)
        assert "▸ 10 % 3.6 mL" in told(board)
        await press(board, pilot, "k", "ctrl+u", "=Night train", "enter", "enter")
        assert "Night train is kept" in toasts(board)[0]
        await press(board, pilot, "escape", "s", "enter")
        assert "● 80 % 28.8 mL CARA-01-A drawn" in told(board)
        assert "▸ 10 % 3.6 mL" in told(board)
        await press(board, pilot, "d", "d", "d", "d")
        assert left(desk) == pytest.approx(100.0 - 36.0)
        assert "All of it is drawn" in told(board)
        await press(board, pilot, "n", "y")
        assert "▸ 80 % 28.8 mL" in told(board)
        await press(board, pilot, "escape", "f", "enter", "=1 L", "enter", "enter")
        assert isinstance(board.screen, BlendScreen)
        assert "8 mL of" in told(board).replace("8.0", "8")

    at_bench(desk, go, (120, 40))
    assert [one.name for one in formulas.formulas(desk)] == ["Night train"]


def test_a_formula_is_made_again_from_a_bottle_of_another_batch(tmp_path):
    """What is kept under a name already is said beside it, before it is replaced."""
    desk = on_trial(tmp_path)
    bench.add(desk, CODE, "0.8 ml", Verdict.RIGHT, MORNING)  # 8 mL/L
    formulas.keep(desk, "Night train", [CODE], MORNING)
    strained_jar(desk, 3)
    bottling.fill(desk, "CARA-02", read_all_fills("100ml"), MORNING)

    async def go(board, pilot):
        await press(board, pilot, "f", "enter", "=1 L", "enter", "=cara-02-a", "enter")
        assert "mL of Caraway seed from CARA-02-A" in told(board)
        await press(board, pilot, "escape", "f", "enter", "=1 L", "enter", "=cara-09-a", "enter")
        assert "! " in asked(board)
        await press(board, pilot, "escape", "s", "=1 L", "enter", "k", "ctrl+u", "=night TRAIN")
        assert "kept before: replaced" in asked(board)

    at_bench(desk, go)


def test_the_page_of_a_blend_names_its_allergens(tmp_path):
    desk = on_trial(tmp_path)
    strained_jar(desk, 3, "celery seed")
    bottling.fill(desk, "CELE-01", read_all_fills("100ml"), MORNING)
    sample = Base("platform bitter", 100.0, 0.28, 90.0)
    bench.start(desk, "CELE-01-A", sample, MORNING, sample_u_ml=0.3)
    bench.add(desk, "BENCH-02", "0.8 ml", Verdict.RIGHT, MORNING)

    async def go(board, pilot):
        await press(board, pilot, "s", "=1 L", "enter")
        assert isinstance(board.screen, BlendScreen)
        assert "Contains celery." in told(board)
        assert told(board).count(LAST_WORD) == 1

    at_bench(desk, go, (80, 60))


def test_without_a_mark_there_is_nothing_to_scale_and_nothing_is_asked(tmp_path):
    desk = on_trial(tmp_path)
    bench.add(desk, CODE, "0.4 ml", Verdict.LITTLE, MORNING)

    async def go(board, pilot):
        await press(board, pilot, "s")
        assert isinstance(board.screen, BenchScreen)
        (said,) = toasts(board)
        assert said.startswith(f"{CODE} has found no level yet. Add a little more")

    at_bench(desk, go)


def test_a_trial_stays_in_sight_when_it_ends_and_is_shown_again_by_a_key(tmp_path):
    desk = on_trial(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "x", "y")
        assert "The trial is ended." in told(board)
        await press(board, pilot, "v", "v")
        assert "No trial is open." in told(board)
        await press(board, pilot, "v", "space", "1")
        assert "The trial is ended." in told(board)

    at_bench(desk, go)
    assert steps(desk) == []
    assert bottle_shelf.bottle(desk, FIRST).left_ml == 100.0


def test_hostile_text_stays_text(tmp_path):
    desk = on_trial(tmp_path, base=HOSTILE)
    bench.add(desk, CODE, "0.8 ml", Verdict.RIGHT, MORNING, remark=HOSTILE)
    with desk.store.writing() as db:
        db.execute("update bottle set name = ?", [HOSTILE])

    async def go(board, pilot):
        seen = [told(board)]
        for keys in (("t",), ("escape", "r"), ("escape", "s", "=1 L", "enter"), ("k",)):
            await press(board, pilot, *keys)
            seen.append(told(board))
        assert isinstance(board.screen, AskForm)
        assert SEEN[:20] in seen[0]
        assert SEEN[:20] in seen[3]
        assert all(ord(letter) >= 32 for text in seen for letter in text)

    at_bench(desk, go, (120, 40))


@pytest.mark.parametrize("key", ["b", "e", "l", "c", "m", "p"])
def test_a_screen_called_before_the_first_frame_was_seen_comes_up(tmp_path, key):
    desk = on_trial(tmp_path)

    async def run():
        board = SteepBoard(desk, lambda: MORNING)
        async with board.run_test() as pilot:
            await pilot.press(key)
            await calm(board, pilot)
            assert board.current_mode != "shelf"

    asyncio.run(run())


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
@pytest.mark.parametrize("what", ["trial", "blend"])
def test_the_bench_looks_as_it_did(tmp_path, snap_compare, what, size):
    desk = on_trial(tmp_path)
    bench.add(desk, CODE, "3 drops", Verdict.LITTLE, MORNING, remark="still thin")
    bench.add(desk, CODE, "0.4 ml", Verdict.RIGHT, MORNING)

    async def prepare(pilot):
        await press(pilot.app, pilot, "e")
        await calm(pilot.app, pilot)
        await press(pilot.app, pilot, "space", "space")
        if what == "blend":
            await press(pilot.app, pilot, "s", "=4.5 L", "enter")
            await calm(pilot.app, pilot)
            assert isinstance(pilot.app.screen, BlendScreen)
            await press(pilot.app, pilot, "d")
            pilot.app.clear_notifications()
        await calm(pilot.app, pilot)

    board = SteepBoard(desk, lambda: MORNING)
    assert snap_compare(board, terminal_size=size, run_before=prepare)
