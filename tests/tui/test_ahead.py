"""The four weeks on and the reasons of a start-by date, by keys from the month."""

from __future__ import annotations

import re

import pytest

from steepboard.services import bottling
from steepboard.tui.screens.ahead import AheadScreen
from steepboard.tui.screens.calendar import CalendarScreen
from steepboard.tui.screens.why import WhyScreen
from tests.bottled import NEXT, full, strained
from tests.services.test_stock import used
from tests.tui.flows import HOSTILE, SEEN, bar_desk, calm, on_board, told


@pytest.fixture
def bar(tmp_path):
    """Give a shelf of which 10 mL of 150 mL of caraway went on each of 8 days, and its day."""
    desk = bar_desk(tmp_path)
    strained(desk, 152)
    bottling.fill(desk, "CARA-01", [full(150)], NEXT)
    return desk, used(desk, 8, 10.0)


def ahead_on(bar, go, size=(80, 24)):
    """Open the board, go to the month and from there to the four weeks."""
    desk, now = bar

    async def opened(board, pilot):
        await pilot.press("c")
        await calm(board, pilot)
        await pilot.press("f")
        await calm(board, pilot)
        assert isinstance(board.screen, AheadScreen)
        await go(board, pilot)

    on_board(desk, opened, size, now)


def test_it_tells_what_to_charge_what_it_takes_and_the_room(bar):
    """70 mL go in 7 days, and a jar takes 16: the next of 40 g in 300 mL is late today."""

    async def go(board, pilot):
        text = told(board)
        assert re.search(r"now, it was due \d+ days? ago Caraway seed, like CARA-01", text)
        assert "40 g Caraway seed in 300 mL neutral spirit 45 %" in text
        assert "It takes" in text
        assert "mL neutral spirit 45 % by " in text
        assert "at one time, today 0." in text
        await pilot.press("f")
        assert isinstance(board.screen, CalendarScreen)

    ahead_on(bar, go, (80, 40))


def test_a_shelf_that_wants_nothing_says_so(tmp_path):
    async def go(board, pilot):
        assert "Nothing has to be started within 4 weeks." in told(board)

    ahead_on((bar_desk(tmp_path), NEXT), go)


def test_hostile_text_stays_text(bar):
    desk, _ = bar
    with desk.store.writing() as db:
        db.execute("update jar set name = ?", [HOSTILE])
        db.execute("update bottle set name = ?", [HOSTILE])
        db.execute("update botanical set name = ?, typed = ?", [HOSTILE, HOSTILE])
        db.execute("update spirit set name = ?, typed_volume = ?", [HOSTILE, HOSTILE])

    async def go(board, pilot):
        text = told(board)
        assert text.count(SEEN[:20]) >= 4
        assert all(ord(letter) >= 32 for letter in text)

    ahead_on(bar, go, (120, 40))


def test_the_month_tells_the_reasons_of_a_start_by_date(bar):
    """The steep of the last jar was 14 days; they are counted back from the day it may be gone."""
    desk, now = bar

    async def go(board, pilot):
        await pilot.press("c", "y")
        await calm(board, pilot)
        assert isinstance(board.screen, WhyScreen)
        text = told(board)
        assert "start next, Caraway seed" in text
        assert "-14 days" in text

    on_board(desk, go, (120, 40), now)
