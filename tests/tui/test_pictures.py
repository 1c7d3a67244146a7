"""Pictures of the shelf, a jar, the month and the help, to see what a change does to them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from steepboard.domain.records import Habit
from steepboard.services import reminder_acts
from steepboard.settings import Look
from steepboard.tui.app import SteepBoard
from tests.shelves import MORNING
from tests.tui.flows import bar_desk
from tests.tui.shelf_data import BOTTLED, WANTS, railway_bar

SIZES = [(80, 24), (120, 40), (200, 60)]


def named(size):
    return f"{size[0]}x{size[1]}"


def board_on(desk, theme="dark"):
    settings = replace(desk.settings, look=Look(theme))
    return SteepBoard(replace(desk, settings=settings), lambda: MORNING)


async def settled(pilot):
    """Wait for what is shown after the first frame."""
    await pilot.pause()
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()


@pytest.mark.parametrize("size", SIZES, ids=named)
def test_the_shelf_looks_as_it_did(tmp_path, snap_compare, size):
    board = board_on(railway_bar(tmp_path))
    assert snap_compare(board, terminal_size=size, run_before=settled)


def test_the_shelf_looks_as_it_did_by_daylight(tmp_path, snap_compare):
    board = board_on(railway_bar(tmp_path), "light")
    assert snap_compare(board, terminal_size=(120, 40), run_before=settled)


def test_the_empty_shelf_looks_as_it_did(tmp_path, snap_compare):
    board = board_on(bar_desk(tmp_path))
    assert snap_compare(board, terminal_size=(80, 24), run_before=settled)


@pytest.mark.parametrize(
    ("code", "size"), [(WANTS, SIZES[0]), (BOTTLED, SIZES[1])], ids=["80x24", "120x40"]
)
def test_a_jar_looks_as_it_did(tmp_path, snap_compare, code, size):
    async def opened(pilot):
        pilot.app.open_jar(code)
        await settled(pilot)

    assert snap_compare(board_on(railway_bar(tmp_path)), terminal_size=size, run_before=opened)


@pytest.mark.parametrize("size", SIZES, ids=named)
def test_the_month_looks_as_it_did(tmp_path, snap_compare, size):
    board = board_on(railway_bar(tmp_path))
    assert snap_compare(board, press=["c"], terminal_size=size, run_before=settled)


@pytest.mark.parametrize("size", SIZES, ids=named)
def test_the_week_looks_as_it_did(tmp_path, snap_compare, size):
    board = board_on(railway_bar(tmp_path))
    assert snap_compare(board, press=["c", "w"], terminal_size=size, run_before=settled)


def test_the_help_looks_as_it_did(tmp_path, snap_compare):
    board = board_on(railway_bar(tmp_path))
    assert snap_compare(board, press=["question_mark"], terminal_size=SIZES[0], run_before=settled)


def test_the_ways_of_a_jar_look_as_they_did(tmp_path, snap_compare):
    desk = railway_bar(tmp_path)
    own = Habit(stir_every_days=2, taste_at=time(18, 30), muted_until=date(2026, 3, 9))
    reminder_acts.remind(desk, WANTS, own, MORNING)

    async def asked(pilot):
        pilot.app.open_jar(WANTS)
        await pilot.pause()
        await pilot.press("r")
        await pilot.pause()
        for field in pilot.app.screen.query("Input"):
            field.cursor_blink = False

    assert snap_compare(board_on(desk), terminal_size=SIZES[1], run_before=asked)


def test_days_away_look_as_they_did(tmp_path, snap_compare):
    desk = railway_bar(tmp_path)
    reminder_acts.set_away(desk, date(2026, 3, 2), date(2026, 3, 5), MORNING)
    board = board_on(desk)
    assert snap_compare(board, press=["c"], terminal_size=SIZES[0], run_before=settled)


def test_the_question_until_when_looks_as_it_did(tmp_path, snap_compare):
    board = board_on(railway_bar(tmp_path))
    assert snap_compare(board, press=["w"], terminal_size=SIZES[0])
