"""Text that hangs on its mark, and answers that are marked to be typed over."""

from __future__ import annotations

import asyncio

import pytest
from textual.app import App, ComposeResult
from textual.content import Content
from textual.widgets import Input

from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.hanging import hung


@pytest.mark.parametrize(
    ("text", "width", "lines"),
    [
        ("· one two three four five six", 24, ["· one two three four", "  five six"]),
        (" 9. one two three four five six", 26, [" 9. one two three four", "    five six"]),
        (" 9  one  two three four five", 26, [" 9  one  two three four", "    five"]),  # a row
        ("one two\n\n▲ three", 24, ["one two", "", "▲ three"]),
        ("· one two three four five six", 12, ["· one two three four five six"]),  # too narrow
    ],
)
def test_a_line_that_begins_with_a_mark_goes_on_under_its_words(text, width, lines):
    """Sentences with a sign or a number keep it to themselves; without room for it nothing is."""
    assert [line.rstrip() for line in hung(Content(text), width).plain.split("\n")] == lines


@pytest.mark.parametrize(
    ("text", "width", "lines"),
    [
        ("It ends at about 43.4 % of it", 22, ["It ends at about", "43.4 % of it"]),
        ("· Rinsed once with 315 mL/L of it", 26, ["· Rinsed once with", "  315 mL/L of it"]),
        ("✖ one two three  ▲ four five", 22, ["✖ one two three", "  ▲ four five"]),
        ("weigh what is there 5 grams", 22, ["weigh what is there 5", "grams"]),  # a word, no unit
    ],
)
def test_no_line_ends_between_a_number_and_its_unit_or_a_sign_and_its_title(text, width, lines):
    """And the text is left as it was but for where it folds: no sign of ours stays in it."""
    found = hung(Content(text), width).plain
    shown = [line.rstrip() for line in found.split("\n")]
    if len(shown) == 1:  # left to the screen, which folds it between words
        shown = [line.plain.rstrip() for line in Content(found).wrap(width)]
    assert shown == lines
    assert found.split() == text.split()


@pytest.mark.parametrize(
    ("by_hand", "keys", "told"),
    [
        (False, ("7",), "7"),  # filled in by the program: typed over
        (False, ("end", "7"), "147"),
        (True, ("7",), "147"),  # typed before: gone on with
        (False, ("7", "tab", "shift+tab", "2"), "72"),  # typed just now
    ],
)
def test_typing_replaces_what_was_filled_in_and_goes_on_with_what_was_typed(by_hand, keys, told):
    """A suggested value is marked on focus, a typed one is not."""

    class Board(App):
        def compose(self) -> ComposeResult:
            yield AmountInput("Days", str, str, typed="14", by_hand=by_hand, id="days")
            yield Input(id="other")

    async def run():
        board = Board()
        async with board.run_test() as pilot:
            board.query_one("#days", AmountInput).take_focus()
            await pilot.press(*keys)
            assert board.query_one("#days", AmountInput).typed == told

    asyncio.run(run())
