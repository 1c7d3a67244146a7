"""Filling bottles at the end of a straining."""

from __future__ import annotations

from steepboard.domain.bottles import BottleKind
from steepboard.domain.records import Kind, State
from steepboard.services import acts, bottle_shelf, views
from tests.tui.flows import bar_desk, calm, on_board, told, worked_jar
from tests.tui.shelf_data import asked, toasts
from tests.tui.straining import ALL, opened
from tests.tui.test_bottles import press


def walked(desk, code, go, *keys):
    """Walk through a straining to its bottles."""

    async def run(board, pilot):
        await opened(board, pilot, code, *ALL)
        await press(board, pilot, *keys)
        await go(board, pilot)

    on_board(desk, run, (120, 40))


def filled(desk):
    return [(one.code, one.size_ml, one.left_ml) for one in bottle_shelf.bottles(desk)]


def test_bottles_are_filled_in_the_walk_and_the_rest_is_told_as_one_types(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        assert "Left over: 8.0 mL." in told(board)
        await press(board, pilot, "enter")
        assert "Filled: CARA-01-A, CARA-01-B, CARA-01-C." in toasts(board)[0]
        await press(board, pilot, "ctrl+t")
        assert "all of" not in told(board)
        assert "Print labels" in told(board)
        await press(board, pilot, "escape", "pageup")
        assert "Filled: CARA-01-A" in told(board)
        assert "CARA-01 is bottled." in told(board)
        await press(board, pilot, "escape", "u")
        assert "CARA-01-A and 2 more filled and bottled" in asked(board)
        await press(board, pilot, "n")

    # 250 mL were measured; 2 x 100 and 42 mL go into bottles.
    walked(desk, code, go, "enter", "=2x100ml 1x50ml:42ml")
    assert filled(desk) == [
        ("CARA-01-A", 100.0, 100.0), ("CARA-01-B", 100.0, 100.0), ("CARA-01-C", 50.0, 42.0),
    ]  # fmt: skip
    jar = views.jar(desk, code)
    assert jar.state is State.BOTTLED
    last = acts.last_act(desk, code)
    assert set(last.kinds) == {BottleKind.FILL, Kind.BOTTLE}  # one undo takes both back
    acts.undo(desk, code, jar.bottled_at)
    assert filled(desk) == []
    assert views.jar(desk, code).state is State.SETTLING


def test_left_empty_the_jar_is_bottled_as_before(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await press(board, pilot, "ctrl+t")
        assert "Nothing of this jar stands in bottles here." in toasts(board)[0]

    walked(desk, code, go, "enter", "enter")
    assert views.jar(desk, code).state is State.BOTTLED
    assert filled(desk) == []


def test_more_than_was_measured_is_asked_about_once(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        assert "300 mL are more. Is it read right?" in asked(board)
        assert filled(desk) == []
        await press(board, pilot, "enter")
        assert len(filled(desk)) == 3

    walked(desk, code, go, "enter", "=3x100ml", "enter")


def test_what_is_no_bottle_is_refused_in_place(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        assert "Write it like" in told(board)
        assert "some bottles" in told(board)
        await calm(board, pilot)

    walked(desk, code, go, "enter", "=some bottles", "enter")
    assert views.jar(desk, code).state is State.SETTLING
