"""Putting off and being away, by keys."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from steepboard.domain.quiet import Away
from steepboard.domain.schedule import ReminderKind
from steepboard.errors import BadSettings
from steepboard.services import acts, reminder_acts
from steepboard.services.views import jar as jar_of
from steepboard.settings import Look
from steepboard.store import deliveries
from steepboard.tui.app import SteepBoard
from steepboard.tui.screens.ask import AskLater, AskSpan
from tests.shelves import MORNING, VIENNA, mute
from tests.tui.flows import on_board, shown, told
from tests.tui.shelf_data import WANTS, asked, railway_bar, toasts
from tests.tui.test_shelf import choose

TEN = MORNING + timedelta(hours=1)  # 10:00 in Vienna: the stir of the day is due


@pytest.mark.parametrize(
    ("key", "until", "said", "shown_as"),
    [
        ("1", TEN + timedelta(hours=1), "Mon 2 Mar 11:00", "at 11:00"),
        ("2", datetime(2026, 3, 2, 18, tzinfo=VIENNA), "Mon 2 Mar 18:00", "at 18:00"),
        ("3", datetime(2026, 3, 3, 9, tzinfo=VIENNA), "Tue 3 Mar 09:00", "Tue 3 Mar 09:00"),
    ],
)
def test_later_puts_off_what_is_due_of_the_chosen_jar(tmp_path, key, until, said, shown_as):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await choose(pilot, WANTS)
        await pilot.press("w")
        await pilot.pause()
        assert isinstance(board.screen, AskLater)
        await pilot.press(key)
        await board.workers.wait_for_complete()
        await pilot.pause()
        assert f"{WANTS} is spoken of again {said}." in toasts(board)
        assert f"again {shown_as}" in told(board)

    on_board(desk, go, now=TEN)
    jar_id = jar_of(desk, WANTS).id
    assert deliveries.snoozes(desk.store)[jar_id, ReminderKind.STIR] == until.astimezone(UTC)


def test_later_left_by_escape_puts_nothing_off(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await choose(pilot, WANTS)
        await pilot.press("w", "escape")
        await board.workers.wait_for_complete()

    on_board(desk, go, now=TEN)
    assert deliveries.snoozes(desk.store) == {}


def test_later_says_when_nothing_is_due_or_the_evening_is_over(tmp_path):
    async def early(board, pilot):
        await choose(pilot, "ANIS-01")  # stirred today already
        await pilot.press("w", "1")
        await board.workers.wait_for_complete()
        await pilot.pause()
        assert "Nothing of ANIS-01 is due now" in told(board)

    async def late(board, pilot):
        await choose(pilot, WANTS)
        await pilot.press("w", "2")
        await board.workers.wait_for_complete()
        await pilot.pause()
        assert "It is evening already" in told(board)

    desk = railway_bar(tmp_path)
    on_board(desk, early, now=MORNING)
    on_board(desk, late, now=MORNING + timedelta(hours=11))


def test_away_is_asked_for_shown_and_ended(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("a")
        await pilot.pause()
        assert isinstance(board.screen, AskSpan)
        await pilot.press(*"today", "enter", *"thu", "enter")
        await board.workers.wait_for_complete()
        await pilot.pause()
        assert reminder_acts.away_now(desk, TEN) == Away(date(2026, 3, 2), date(2026, 3, 5))
        assert "away until 5 Mar" in shown(board).splitlines()[0]
        await pilot.press("c")
        await pilot.pause()
        assert told(board).count("away") >= 4
        await pilot.press("a")
        await pilot.pause()
        assert "Away from Mon 2 Mar to Thu 5 Mar" in asked(board)
        await pilot.press("y")
        await board.workers.wait_for_complete()
        await pilot.pause()
        assert reminder_acts.away_now(desk, TEN) is None
        assert "away until" not in told(board)

    on_board(desk, go, now=TEN)


def test_days_away_in_the_wrong_order_are_refused_in_place(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("a", *"thu", "enter", *"2026-03-04", "enter")
        await pilot.pause()
        assert "It comes before the first day." in told(board)
        assert isinstance(board.screen, AskSpan)

    on_board(desk, go, now=TEN)
    assert reminder_acts.away_now(desk, TEN) is None


def renewed_until(desk, renew, seen):
    """Open the board with `renew` and wait until `seen(board)`."""

    async def run():
        board = SteepBoard(desk, lambda: TEN, renew=renew)
        async with board.run_test(size=(80, 24), notifications=True) as pilot:
            await pilot.pause()
            while not seen(board):
                await pilot.pause(0.1)

    asyncio.run(asyncio.wait_for(run(), 20))


def test_a_zone_changed_meanwhile_shows_on_an_open_board(tmp_path):
    desk = railway_bar(tmp_path)
    moved = replace(desk, zone=UTC)
    renewed_until(desk, lambda _: moved, lambda board: "09:00" in shown(board).splitlines()[0])


def test_a_theme_changed_in_the_settings_shows_on_an_open_board(tmp_path):
    desk = railway_bar(tmp_path)
    light = replace(desk, settings=replace(desk.settings, look=Look("light")))
    renewed_until(desk, lambda _: light, lambda board: board.theme == "steepboard-light")


def test_settings_that_cannot_be_read_are_told_once_and_the_board_goes_on(tmp_path):
    desk = railway_bar(tmp_path)
    moved = replace(desk, zone=UTC)
    faults = [BadSettings("settings.toml: clock.zone is no time zone.")]

    def renew(_):
        if faults:
            raise faults.pop()
        return moved

    def seen(board):
        return toasts(board) == ["settings.toml: clock.zone is no time zone."] and (
            "09:00" in shown(board).splitlines()[0]
        )

    renewed_until(desk, renew, seen)


def test_a_last_day_without_its_month_comes_after_the_first(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("a", *"20", "enter", *"3", "enter")
        await board.workers.wait_for_complete()

    on_board(desk, go, now=TEN)
    assert reminder_acts.away_now(desk, TEN) == Away(date(2026, 3, 20), date(2026, 4, 3))


def test_a_jar_that_is_stirred_after_all_is_not_told_as_put_off(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await choose(pilot, WANTS)
        await pilot.press("w", "1")
        await board.workers.wait_for_complete()
        await pilot.pause()
        assert "again at 11:00" in told(board)
        await pilot.press("s")
        await pilot.pause()
        assert "again at" not in told(board)

    on_board(desk, go, now=TEN)


def test_a_muted_jar_says_until_when_it_is_quiet(tmp_path):
    desk = railway_bar(tmp_path)
    mute(desk, WANTS, date(2026, 3, 9), TEN)

    async def go(board, pilot):
        await choose(pilot, WANTS)
        assert f"{WANTS} quiet until Mon 9 Mar · steeping, day 4 of 14" in told(board)

    on_board(desk, go, now=TEN)


def test_later_is_asked_for_on_the_page_of_a_jar_too(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        board.open_jar(WANTS)
        await pilot.pause()
        await pilot.press("w", "1")
        await board.workers.wait_for_complete()

    on_board(desk, go, now=TEN)
    assert deliveries.snoozes(desk.store)[jar_of(desk, WANTS).id, ReminderKind.STIR] == (
        TEN + timedelta(hours=1)
    )


def to_taste(board):
    """Return what stands beside the sign of tasting on the Shelf."""
    return told(board).split("◇ taste")[1].split("○ stir")[0]


def test_a_tasting_that_is_due_wants_a_hand_until_it_is_tasted(tmp_path):
    desk = railway_bar(tmp_path)
    # Its botanical is tasted from day 1 every 3 days at 17:00: on day 4, which is today.
    acts.stir(desk, (WANTS,), TEN)

    async def go(board, pilot):
        await choose(pilot, WANTS)
        assert WANTS in to_taste(board)
        await pilot.press("enter", "t", *"round", "enter")
        await board.workers.wait_for_complete()
        await pilot.press("escape")
        await pilot.pause()
        assert WANTS not in to_taste(board)

    on_board(desk, go, now=TEN + timedelta(hours=8))


def test_the_help_of_shelf_and_month_explains_the_signs_of_tasting_and_being_away(tmp_path):
    async def go(board, pilot):
        await pilot.press("question_mark")
        await pilot.pause()
        assert "◇ to be tasted" in told(board)
        await pilot.press("escape", "c", "question_mark")
        await pilot.pause()
        assert "╌ away: nothing is said on these days" in told(board)

    on_board(railway_bar(tmp_path), go, (100, 70))
