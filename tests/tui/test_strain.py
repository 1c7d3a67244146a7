"""Walking through a straining by keys, on the jar worked in the design."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.records import Kind, Measure, Separation, Source, State
from steepboard.services import acts, straining, views
from steepboard.tui.app import SteepBoard
from steepboard.tui.screens.shelf import ShelfScreen
from steepboard.tui.widgets.amount_input import AmountInput
from tests.shelves import MORNING, order
from tests.tui.flows import (
    ALL_READ,
    HOSTILE,
    SEEN,
    bar_desk,
    calm,
    on_board,
    shown,
    strained_jar,
    told,
    worked_jar,
)
from tests.tui.straining import ALL, READY, kept, opened


def test_the_whole_walk_ends_in_a_balance_that_closes_and_a_label(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, *ALL)
        text = told(board)
        # Design 3.4 and 3.5: 250 of 326.66 mL, true strength 43.40 %, k = 1.6 mL/g.
        assert "250.0 mL to bottle" in text
        assert "43.4 % vol" in text
        assert "held in the marc 82.6" in text
        assert "The balance closes" in text
        assert "held in the filter 6.0" in text
        await pilot.press("enter", "enter")
        assert "Bottled 2 March 2026" in told(board)
        assert "Keep away from flame" in told(board)
        assert "local rules" in told(board)
        await pilot.press("enter")
        assert isinstance(board.screen, ShelfScreen)

    on_board(desk, go)
    jar = views.jar(desk, code)
    assert jar.state is State.BOTTLED
    assert kept(desk, code) == {
        Measure.DRAINED: "240 ml",
        Measure.PRESSED: "16 ml",
        Measure.MARC: "121.1 g",
        Measure.FILTER_BEFORE: "2.1 g",
        Measure.FILTER_AFTER: "7.8 g",
        Measure.RECOVERED: "250 ml",
    }
    kinds = [entry.kind for entry in views.diary(desk, jar)]
    assert kinds == [Kind.CHARGE, Kind.STRAIN, *[Kind.READING] * 4, Kind.BOTTLE]
    assert {entry.source for entry in views.diary(desk, jar)} == {Source.BOARD}


def test_what_to_mind_stands_on_the_first_page_and_on_the_label(tmp_path):
    desk = bar_desk(tmp_path)
    jar = acts.charge(desk, order("quassia", acknowledged=ALL_READ), MORNING)

    async def go(board, pilot):
        await opened(board, pilot, jar.code)
        assert "Spirit burns" in told(board)
        assert "Quassin" in told(board)
        await pilot.press("ctrl+r", *"240 ml", *["enter"] * 3)
        await calm(board, pilot)
        assert "Keep away from flame" in told(board)
        assert "Not in pregnancy" in told(board)

    on_board(desk, go, size=(120, 40))


def test_draining_is_written_down_with_the_chosen_way_of_straining(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, "up", "right", *("enter",) * 4)
        assert views.jar(desk, code).state is State.STEEPING
        await pilot.press("enter")

    on_board(desk, go)
    jar = views.jar(desk, code)
    assert (jar.state, jar.charge.separation) == (State.SETTLING, Separation.PRESS)


def test_a_reading_that_was_typed_and_skipped_is_read_in_the_path_as_in_the_balance(tmp_path):
    """Page Down leaves the drained volume unkept: balance and path count it alike."""
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, "pagedown", *"240 ml", "pagedown", "pagedown")
        await calm(board, pilot)
        assert "○ready ●drain ○press ◆rinse ·marc" in told(board)
        assert "recovered 240.0" in told(board)
        assert kept(desk, code) == {}

    on_board(desk, go)


def test_one_reading_is_enough(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, "ctrl+r", *"250 ml", "enter")
        assert "Marc and filter were not weighed" in told(board)
        assert "≈" in shown(board)
        await pilot.press("enter", "enter", "enter")

    on_board(desk, go)
    assert views.jar(desk, code).state is State.BOTTLED
    assert kept(desk, code) == {Measure.RECOVERED: "250 ml"}


def test_without_the_measured_reading_nothing_is_bottled(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, *("pagedown",) * 9, "enter")
        assert "one reading is enough" in told(board)
        assert "◆measure" in shown(board)
        await pilot.press("enter")
        assert "◆measure" in shown(board)

    on_board(desk, go)
    assert views.jar(desk, code).state is State.STEEPING


def test_what_is_bottled_may_be_weighed(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        # 250 mL of 0.95249 g/mL, design 3.4.
        await opened(board, pilot, code, "ctrl+r", "down", *"238.1 g", "enter")
        assert "recovered 250.0" in told(board)

    on_board(desk, go)
    assert kept(desk, code) == {Measure.RECOVERED_MASS: "238.1 g"}


def test_one_leaves_at_any_step_and_comes_back_to_what_was_typed(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def leave(board, pilot):
        await opened(board, pilot, code, *READY, *"240 ml", *("enter",) * 3, *"11x g", "escape")
        assert isinstance(board.screen, ShelfScreen)

    async def come_back(board, pilot):
        await opened(board, pilot, code)
        assert "◆marc" in shown(board)
        assert board.screen.query_one(AmountInput).typed == "11x g"
        assert "Write it like" in told(board)
        await pilot.press("pageup", "pageup", "pageup")
        assert board.screen.query_one(AmountInput).typed == "240 ml"

    on_board(desk, leave)
    on_board(bar_desk(tmp_path), come_back, now=MORNING + timedelta(days=1))


def test_a_reading_far_off_is_asked_about_and_kept_as_typed(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, *READY, *("enter",) * 3, *"1211 g", "enter")
        assert "Is it read right? Enter keeps it as it stands." in told(board)
        assert "◆marc" in shown(board)
        assert kept(desk, code) == {}
        await pilot.press("enter")
        assert "◆filter" in shown(board)

    on_board(desk, go)
    assert kept(desk, code) == {Measure.MARC: "1211 g"}


def test_the_question_about_a_reading_comes_into_view_on_a_long_page(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, "ctrl+r")
        await pilot.press(*"111 ml", "down", "down", *"37 %", "enter")
        await pilot.pause()
        assert "Is it read right?" in shown(board)

    on_board(desk, go)


def test_an_unreadable_reading_is_refused_in_place_but_may_be_skipped(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, *READY, *("enter",) * 3, *"121 ml", "enter")
        assert "“121 ml” is a volume; a mass is wanted here." in told(board)
        assert "◆marc" in shown(board)
        await pilot.press("pagedown")
        assert "◆filter" in shown(board)

    on_board(desk, go)
    assert kept(desk, code) == {}


def test_each_page_says_what_to_expect_and_balances_what_was_read(tmp_path):
    desk = bar_desk(tmp_path)
    jar = worked_jar(desk)

    async def go(board, pilot):
        await opened(board, pilot, jar.code)
        assert "Today is its strain day." in told(board)
        await pilot.press(*READY)
        assert "Expect" in told(board)
        assert "recovered" not in told(board)
        await pilot.press(*"240 ml")
        assert "recovered 240.0" in told(board)
        await pilot.press("enter", "enter", "enter")
        low, high = straining.expect(desk, views.jar(desk, jar.code), Measure.MARC)
        assert low < 121.1 < high
        assert f"Expect {low:.0f} to {high:.0f} g" in told(board)

    on_board(desk, go)


def test_what_was_poured_beside_is_read_from_the_jar_weighed_twice(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        keys = (*"5 ml", "enter", *"812 g", "enter", *"803 g", "enter")
        await opened(board, pilot, code, *keys, "ctrl+r", *"240 ml", "enter")
        # 9 g lighter, of which 5 mL of 0.95249 g/mL were tasted: 4.2 g or 4.4 mL.
        assert "evaporated 4.4" in told(board)
        assert "taken for tasting 5.0" in told(board)

    on_board(desk, go)


def test_a_late_reading_makes_the_balance_of_a_bottled_jar_surer(tmp_path):
    desk = bar_desk(tmp_path)
    code = strained_jar(desk, 3).code

    async def go(board, pilot):
        await opened(board, pilot, code)
        assert "◆review" in shown(board)
        assert "Marc and filter were not weighed" in told(board)
        await pilot.press(*("pageup",) * 4, *"75 g", "enter")
        await pilot.press(*("pagedown",) * 3)
        assert "The filter was not weighed" in told(board)

    on_board(desk, go)
    jar = views.jar(desk, code)
    assert (jar.state, kept(desk, code)[Measure.MARC]) == (State.BOTTLED, "75 g")
    assert straining.draft(desk, jar) is None


def test_a_jar_that_is_only_planned_is_not_strained(tmp_path):
    desk = bar_desk(tmp_path)
    code = acts.plan(desk, order(), MORNING).code

    async def go(board, pilot):
        await opened(board, pilot, code)
        assert isinstance(board.screen, ShelfScreen)
        (notice,) = board._notifications
        assert notice.message == f"{code} is planned: it cannot be strained now."

    on_board(desk, go)


def test_a_hostile_name_goes_through_every_step(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk, name=HOSTILE).code

    async def go(board, pilot):
        await opened(board, pilot, code)
        for _ in range(11):
            assert SEEN in told(board)
            assert "\x1b" not in shown(board)
            assert "\x07" not in shown(board)
            await pilot.press("pagedown")

    on_board(desk, go)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
@pytest.mark.parametrize(
    "keys", [(*READY, *"240 ml", *("enter",) * 3, *"300 g"), ALL], ids=["marc", "review"]
)
def test_strain_looks_as_it_did(tmp_path, snap_compare, size, keys):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def prepare(pilot):
        await opened(pilot.app, pilot, code, *keys)
        await calm(pilot.app, pilot)

    board = SteepBoard(desk, lambda: MORNING)
    assert snap_compare(board, terminal_size=size, run_before=prepare)
