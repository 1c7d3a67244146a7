"""One key answers where the figures of a screen come from."""

from __future__ import annotations

import pytest

from steepboard.services import acts
from steepboard.tui.screens.why import WhyScreen
from tests.shelves import MORNING, desk_at, order
from tests.tui.flows import HOSTILE, SEEN, bar_desk, calm, on_board, strained_jar, told, worked_jar


def answered(board):
    """Return the text on the screen without the edges of the page."""
    return " ".join(told(board).translate({ord(edge): None for edge in "▌▐"}).split())


def test_on_a_strained_jar_each_figure_is_answered_as_one_moves_down(tmp_path):
    desk = bar_desk(tmp_path)
    code = strained_jar(desk, 3, marc_g=80.0).code

    async def go(board, pilot):
        board.open_jar(code)
        await pilot.pause()
        await pilot.press("y")
        await pilot.pause()
        assert isinstance(board.screen, WhyScreen)
        assert "each gram of botanical as it was weighed" in answered(board)
        seen = set()
        for _ in range(30):
            seen.add(answered(board))
            await pilot.press("down")
            await pilot.pause()
        text = " ".join(seen)
        assert "published: OIML R 22" in text
        assert "The wet marc, less what cannot dissolve" in text
        assert "measured here, to 0.1 g" in text
        await pilot.press("escape")
        await pilot.pause()
        assert not isinstance(board.screen, WhyScreen)

    on_board(desk, go)


def test_where_letters_are_typed_another_key_answers(tmp_path):
    async def go(board, pilot):
        await pilot.press("p")
        await pilot.pause()
        await pilot.press("f2")
        await pilot.pause()
        assert "There is no figure here yet." in told(board)
        await pilot.press(*"caraway", "enter", *"250 ml", "enter", *"45%")
        await calm(board, pilot)
        await pilot.press("f2")
        await pilot.pause()
        assert isinstance(board.screen, WhyScreen)
        assert "divided by what one gram brings" in told(board)

    on_board(bar_desk(tmp_path), go)


def test_names_are_never_markup(tmp_path):
    desk = desk_at(tmp_path)
    code = acts.charge(desk, order(name=HOSTILE), MORNING).code

    async def go(board, pilot):
        board.open_jar(code)
        await pilot.pause()
        await pilot.press("y")
        await pilot.pause()
        assert SEEN in told(board)

    on_board(desk, go, (120, 40))


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_the_answers_look_as_they_did(tmp_path, snap_compare, size):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code
    from steepboard.tui.app import SteepBoard

    async def before(pilot):
        pilot.app.open_jar(code)
        await pilot.pause()
        await pilot.press("y", "down", "down", "down")
        await calm(pilot.app, pilot)

    assert snap_compare(SteepBoard(desk, lambda: MORNING), terminal_size=size, run_before=before)
