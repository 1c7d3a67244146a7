"""What is typed in a straining before the next page stands is given to that page."""

from __future__ import annotations

from textual import events
from textual.keys import _character_to_key

from steepboard.tui.screens.strain_page import StepPage
from steepboard.tui.screens.strain_steps import KEYS
from tests.tui.flows import bar_desk, calm, on_board, worked_jar
from tests.tui.straining import READY, kept, opened


def type_at_once(board, *keys):
    """Hand over keys as a terminal does that had them waiting: none waits for the one before."""
    for key in keys:
        named, character = (key, None) if len(key) > 1 else (_character_to_key(key), key)
        board.post_message(events.Key(named, character))


def fields(board):
    page = board.screen.query_one(StepPage)
    return [field.typed for field in page.fields.values()]


async def settled(board, pilot):
    """Wait until no key waits for a page any more."""
    await calm(board, pilot)
    while board.screen._early is not None:
        await pilot.pause()
    await calm(board, pilot)


def test_what_is_typed_at_once_goes_into_one_page_after_the_other(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, *READY)
        await settled(board, pilot)
        type_at_once(board, *"240 ml", "enter", *"16 ml", "enter", "enter", *"121.1 g")
        for _ in range(3):
            await settled(board, pilot)
        assert board.screen._draft.at == KEYS.index("marc")
        assert fields(board)[0] == "121.1 g"
        assert list(kept(desk, code).values()) == ["240 ml", "16 ml"]

    on_board(desk, go)


def test_keys_that_turn_pages_wait_as_well(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, *READY)
        await settled(board, pilot)
        type_at_once(board, "pagedown", "pagedown", "pageup", *"16 ml")
        for _ in range(3):
            await settled(board, pilot)
        assert board.screen._draft.at == KEYS.index("press")
        assert fields(board) == ["16 ml"]

    on_board(desk, go)


def test_where_a_page_refuses_what_came_after_is_not_typed_into_it(tmp_path):
    """A reading without its unit is refused; the next one does not spoil it."""
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, *READY)
        await settled(board, pilot)
        type_at_once(board, *"240", "enter", *"16 ml", "enter")
        await settled(board, pilot)
        assert board.screen._draft.at == KEYS.index("drain")
        assert fields(board) == ["240"]
        await pilot.press(*" ml", "enter")
        await settled(board, pilot)
        assert board.screen._draft.at == KEYS.index("press")
        assert fields(board) == [""]

    on_board(desk, go)
