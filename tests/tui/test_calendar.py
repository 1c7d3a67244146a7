"""The calendar by keys: going about in it, what a day asks for, and moving a strain day."""

from __future__ import annotations

from datetime import date

from textual.widgets import OptionList

from steepboard.services import reminder_acts, views
from steepboard.tui.screens.jar import JarScreen
from steepboard.tui.screens.shelf import ShelfScreen
from steepboard.tui.widgets.form import Form
from steepboard.tui.widgets.month import Month
from tests.shelves import MORNING
from tests.tui.flows import on_board, shown, told
from tests.tui.shelf_data import LATE, STIRRED, TODAY, WANTS, charged, railway_bar, toasts


def in_month(desk, go, size=(80, 24)):
    """Open the board, go to the month, and go on from there."""

    async def opened(board, pilot):
        await pilot.press("c")
        await pilot.pause()
        await go(board, pilot)
        await board.workers.wait_for_complete()

    on_board(desk, opened, size)


def day(board):
    return board.screen.query_one(Month).chosen


def test_today_is_chosen_with_all_it_asks_for(tmp_path):
    async def go(board, pilot):
        assert day(board) == date(2026, 3, 2)
        text = told(board)
        assert "Mon 2 Mar · today" in text
        assert f"▼ {TODAY} Coriander seed strain" in text
        assert f"! {LATE} Caraway seed strain, 2 days late" in text
        assert "March 2026" in text
        await pilot.press("t")
        assert toasts(board) == ["Today is chosen already."]

    in_month(railway_bar(tmp_path), go)


def test_arrows_go_by_days_and_weeks_and_pages_by_months(tmp_path):
    async def go(board, pilot):
        seen = []
        for key in ("right", "down", "left", "up", "pagedown", "pageup", "pageup"):
            await pilot.press(key)
            seen.append(day(board))
        assert seen == [
            date(2026, 3, 3),
            date(2026, 3, 10),
            date(2026, 3, 9),
            date(2026, 3, 2),
            date(2026, 4, 2),
            date(2026, 3, 2),
            date(2026, 2, 2),
        ]
        assert "February 2026" in shown(board)
        await pilot.press("t")
        assert day(board) == date(2026, 3, 2)

    in_month(railway_bar(tmp_path), go)


def test_a_month_is_left_on_its_last_day_where_it_is_shorter(tmp_path):
    async def go(board, pilot):
        await pilot.press(*["right"] * 29)
        assert day(board) == date(2026, 3, 31)
        await pilot.press("pageup")
        assert day(board) == date(2026, 2, 28)

    in_month(railway_bar(tmp_path), go)


def test_a_strain_day_is_moved_from_the_month_with_a_reason(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("down", "right", "right", "right")
        assert f"▼ {WANTS} Platform two strain" in told(board)
        await pilot.press("m", *"fri", "enter", *"busy week", "enter")
        await board.workers.wait_for_complete()
        await pilot.pause()
        assert f"▼ {WANTS} Platform two strain" not in told(board)
        assert board.screen.query_one(OptionList).option_count == 1

    in_month(desk, go)
    assert views.jar(desk, WANTS).strain_on == date(2026, 3, 6)


def test_the_question_that_moves_a_day_leaves_the_month_in_sight(tmp_path):
    async def go(board, pilot):
        await pilot.press("down", "right", "right", "right", "m")
        await pilot.pause()
        assert board.screen.query_one(Form).size.height <= 6
        await pilot.press("escape")

    in_month(railway_bar(tmp_path), go)


def test_tab_goes_to_the_list_where_a_jar_is_chosen_and_opened(tmp_path):
    async def go(board, pilot):
        await pilot.press("tab", "down", "enter")
        await pilot.pause()
        assert isinstance(board.screen, JarScreen)
        assert board.screen.code == TODAY
        await pilot.press("escape", "escape")
        await pilot.pause()
        assert isinstance(board.screen, ShelfScreen)

    in_month(railway_bar(tmp_path), go)


def test_what_cannot_be_done_on_an_empty_day_is_not_offered(tmp_path):
    async def go(board, pilot):
        await pilot.press("pagedown", "pagedown")
        assert "nothing is asked for" in told(board)
        assert shown(board).splitlines()[-1].startswith("t Today w Week f 4 weeks a Away h Shelf")
        await pilot.press("m", "enter")
        assert day(board) == date(2026, 5, 2)

    in_month(railway_bar(tmp_path), go)


def test_how_to_quit_is_told_also_where_a_jar_can_be_moved(tmp_path):
    async def go(board, pilot):
        keys = shown(board).splitlines()[-1]
        assert keys.startswith("m Move ↵ Jar t Today w Week")
        assert "? Help q Quit" in keys

    in_month(railway_bar(tmp_path), go)


def test_one_key_shows_the_week_alone_with_names_and_the_month_again(tmp_path):
    async def go(board, pilot):
        assert "March 2026" in told(board)
        await pilot.press("w")
        await pilot.pause()
        text = shown(board)
        # The 2nd of March 2026 is a Monday; it begins the tenth week (ISO 8601).
        assert "Week 10 · 2 to 8 March 2026" in text
        assert text.splitlines()[-1].startswith("m Move ↵ Jar t Today w Month")
        await pilot.press("right", "w")
        await pilot.pause()
        assert day(board) == date(2026, 3, 3)
        assert "Week 10" not in told(board)

    in_month(railway_bar(tmp_path), go)


def test_a_week_names_the_jar_and_what_it_asks_for_below_its_code(tmp_path):
    async def go(board, pilot):
        await pilot.press("w", "down")
        await pilot.pause()
        lines = shown(board).splitlines()
        assert lines[2] == "Week 11 · 9 to 15 March 2026"
        code = next(n for n, line in enumerate(lines) if f"▼ {WANTS}" in line)
        assert "Platform two" in lines[code + 1]
        assert "strain" in lines[code + 2]

    in_month(railway_bar(tmp_path), go, (120, 40))


def test_a_full_day_of_the_week_keeps_all_its_codes(tmp_path):
    desk = railway_bar(tmp_path)
    for _ in range(8):
        charged(desk, 14)

    async def go(board, pilot):
        assert "+8" in told(board)  # eleven ask for something, and three are named
        await pilot.press("w")
        await pilot.pause()
        month = board.screen.query_one(Month)
        codes = [line for line in shown(board).splitlines()[: month.region.bottom] if "▼" in line]
        assert len(codes) >= 9

    in_month(desk, go, (120, 40))


def test_a_week_across_two_months_names_both_and_takes_a_click(tmp_path):
    async def go(board, pilot):
        await pilot.press("up", "w")
        await pilot.pause()
        assert "Week 9 · 23 February to 1 March 2026" in told(board)
        await pilot.click(Month, offset=(25, 9))
        assert day(board) == date(2026, 2, 25)

    in_month(railway_bar(tmp_path), go)


def test_a_click_chooses_a_day(tmp_path):
    async def go(board, pilot):
        await pilot.click(Month, offset=(25, 4))
        # 80 columns are 11 for each day; the second week's third day.
        assert day(board) == date(2026, 3, 4)

    in_month(railway_bar(tmp_path), go)


def test_a_large_terminal_names_every_jar_of_a_day(tmp_path):
    async def go(board, pilot):
        assert f"▼ {STIRRED}" in told(board)
        assert "+1" not in told(board)

    in_month(railway_bar(tmp_path), go, (200, 60))


def test_days_away_are_told_by_a_sign_and_in_words(tmp_path):
    desk = railway_bar(tmp_path)
    reminder_acts.set_away(desk, date(2026, 3, 2), date(2026, 3, 4), MORNING)

    async def go(board, pilot):
        text = shown(board)
        # On the 2nd three jars ask for something and one fits: no room for the word.
        assert "▐ 2 ╌ +2 3 ╌ away 4 ╌ away 5" in text
        assert "Mon 2 Mar · today · ╌ away" in text
        assert text.splitlines()[-2].endswith("╌ away")
        await pilot.press("right", "right", "right")
        assert "Thu 5 Mar · in 3 days: nothing is asked for" in told(board)

    in_month(desk, go)
