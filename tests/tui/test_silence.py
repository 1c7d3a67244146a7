"""Putting off and being away, by keys."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from steepboard.domain.quiet import Away
from steepboard.domain.schedule import ReminderKind
from steepboard.services import reminder_acts
from steepboard.services.views import jar as jar_of
from steepboard.store import deliveries
from steepboard.tui.screens.ask import AskLater, AskSpan
from tests.shelves import MORNING, VIENNA
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


def test_a_zone_changed_in_the_settings_shows_on_an_open_board(tmp_path):
    from dataclasses import replace

    from steepboard.tui.app import SteepBoard

    desk = railway_bar(tmp_path)
    moved = replace(desk, zone=UTC)
    given = [desk]
    board = SteepBoard(desk, lambda: TEN, renew=lambda _: given[0])

    async def go():
        async with board.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            assert "10:00" in shown(board).splitlines()[0]
            given[0] = moved
            while "09:00" not in shown(board).splitlines()[0]:
                await pilot.pause(0.1)

    import asyncio

    asyncio.run(asyncio.wait_for(go(), 20))


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
    reminder_acts.mute(desk, WANTS, date(2026, 3, 9), TEN)

    async def go(board, pilot):
        await choose(pilot, WANTS)
        assert f"{WANTS} quiet until Mon 9 Mar · steeping, day 4 of 14" in told(board)

    on_board(desk, go, now=TEN)
