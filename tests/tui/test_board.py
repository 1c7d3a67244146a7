"""The shell: heading, reminders, help, palette, themes."""

from __future__ import annotations

import asyncio
from datetime import date, timedelta

import pytest

from steepboard.errors import RecordUnusable
from steepboard.services import acts, bottling, reminder_acts
from steepboard.services.typed_bottles import read_all_fills
from steepboard.tui.app import SteepBoard
from steepboard.tui.commands import CALENDAR, JAR, SHELF
from steepboard.tui.screens.jar import JarScreen
from tests.shelves import MORNING, order
from tests.tui.flows import bar_desk, calm, on_board, shown, strained_jar, told
from tests.tui.shelf_data import BOTTLED, DAY, TODAY, railway_bar, toasts


class Reminders:
    """Stands in for who sends the reminders; tells what it is given to tell, then waits."""

    state = "reminders: starting"

    def __init__(self, *tell, fault=None):
        self._tell, self._fault = tell, fault

    async def run(self, on_change, on_undelivered):
        on_change("reminders: this board")
        for title, body in self._tell:
            on_undelivered(title, body)
        if self._fault:
            raise self._fault
        await asyncio.Event().wait()


def with_reminders(desk, keeper, go):
    async def run():
        board = SteepBoard(desk, lambda: MORNING, keeper)
        async with board.run_test(size=(80, 24), notifications=True) as pilot:
            await pilot.pause()
            await pilot.pause()
            await go(board, pilot)

    asyncio.run(run())


def test_the_heading_says_who_reminds(tmp_path):
    async def go(board, pilot):
        assert "reminders: this board" in shown(board).splitlines()[0]

    with_reminders(railway_bar(tmp_path), Reminders(), go)


def test_the_heading_has_room_for_a_service_that_fails_and_for_days_away(tmp_path):
    desk = railway_bar(tmp_path)
    lost = Reminders()

    async def go(board, pilot):
        board._keeper_changed("no notification service")
        await pilot.press("c")
        await pilot.pause()
        heading = shown(board).splitlines()[0]
        assert heading == "steepboard Calendar 09:00 6 want a hand no notification service"
        reminder_acts.set_away(desk, date(2026, 3, 1), date(2026, 3, 12), MORNING)
        board.look_again()
        await pilot.pause()
        heading = shown(board).splitlines()[0]
        assert heading == "steepboard Calendar 09:00 6 want a hand away until 12 Mar"

    with_reminders(desk, lost, go)


def test_a_notice_that_was_not_shown_is_shown_here_as_plain_text(tmp_path):
    async def go(board, pilot):
        assert shown(board).startswith("Stir [b]PLAT-01: Platform [/oops] ]0;xtwo\n")
        assert "\x1b" not in shown(board)

    lost = ("Stir [b]PLAT-01", "Platform [/oops] \x1b]0;x\x07two")
    with_reminders(railway_bar(tmp_path), Reminders(lost), go)


def test_several_notices_that_were_not_shown_stand_side_by_side_above_the_board(tmp_path):
    async def go(board, pilot):
        lines = shown(board).splitlines()
        assert lines[0] == "Strain CARA-01: Caraway · Stir PLAT-01: Platform two"
        assert lines[1].startswith("! strain, late CARA-01")
        assert toasts(board) == []

    lost = Reminders(("Strain CARA-01", "Caraway"), ("Stir PLAT-01", "Platform two"))
    with_reminders(railway_bar(tmp_path), lost, go)


def test_what_was_not_shown_of_several_things_names_the_first_once(tmp_path):
    async def go(board, pilot):
        assert shown(board).startswith("3 things to do. Strain: ROSE-04. Stir: ROSE-01, ROSE-02.")

    lost = ("3 things to do, first: strain ROSE-04", "Strain: ROSE-04. Stir: ROSE-01, ROSE-02.")
    with_reminders(railway_bar(tmp_path), Reminders(lost), go)


def test_more_notices_than_a_line_holds_are_cut(tmp_path):
    async def go(board, pilot):
        assert shown(board).splitlines()[0].endswith("…")

    lost = Reminders(*(("Stir PLAT-01", "Platform two") for _ in range(9)))
    with_reminders(railway_bar(tmp_path), lost, go)


def test_the_greeting_covers_nothing_of_the_board_and_gives_way_to_the_heading(
    tmp_path, monkeypatch
):
    monkeypatch.setattr("steepboard.tui.app.LONG_S", 0.2)

    async def run():
        greeting = "Demo: all of it is invented."
        board = SteepBoard(railway_bar(tmp_path), lambda: MORNING, None, greeting)
        async with board.run_test(size=(80, 24), notifications=True) as pilot:
            seen = []
            for _ in range(100):
                seen.append(shown(board).splitlines()[:2])
                if seen[-1][0].startswith("steepboard Shelf") and [greeting] in [
                    lines[:1] for lines in seen
                ]:
                    break
                await pilot.pause(0.02)
            assert [greeting, "! strain, late CARA-01 Caraway seed 2 d"] in seen
            assert seen[-1][0].endswith("6 want a hand")
            assert toasts(board) == []

    asyncio.run(run())


def test_what_is_not_shown_waits_until_the_greeting_had_its_time(tmp_path, monkeypatch):
    monkeypatch.setattr("steepboard.tui.app.LONG_S", 0.2)
    told_first = "Demo: all of it is invented."

    async def run():
        keeper = Reminders(("Stir PLAT-01", "Platform two"))
        board = SteepBoard(railway_bar(tmp_path), lambda: MORNING, keeper, told_first)
        async with board.run_test(size=(80, 24)) as pilot:
            seen = []
            while not (seen and seen[-1].startswith("steepboard Shelf") and len(set(seen)) > 2):
                seen.append(shown(board).splitlines()[0])
                await pilot.pause(0.02)
        order = list(dict.fromkeys(seen))
        assert order.index(told_first) < order.index("Stir PLAT-01: Platform two")

    asyncio.run(asyncio.wait_for(run(), 20))


def test_reminders_that_stop_are_told_and_the_board_goes_on(tmp_path):
    async def go(board, pilot):
        assert "reminders: stopped" in shown(board).splitlines()[0]
        assert toasts(board) == ["The reminders stopped: the disk is full"]

    keeper = Reminders(fault=RecordUnusable("the disk is full"))
    with_reminders(railway_bar(tmp_path), keeper, go)


def test_help_explains_every_key_of_the_screen(tmp_path):
    async def go(board, pilot):
        for key, commands in (("enter", JAR), ("c", CALENDAR), ("h", SHELF)):
            await pilot.press(key)
            await pilot.pause()
            await pilot.press("question_mark")
            await pilot.pause()
            page = told(board)
            for command in commands:
                assert command.help in page
            await pilot.press("escape")
            if key == "enter":
                await pilot.press("escape")
                await pilot.pause()

    on_board(railway_bar(tmp_path), go, (100, 70))


def test_a_key_that_is_for_something_else_than_what_is_here_says_what_it_is_for(tmp_path):
    """An empty rack has nothing to draw from: 1 says so, once. Where text is typed it is text."""

    async def go(board, pilot):
        await pilot.press("b", "1")
        await pilot.pause()
        assert toasts(board) == ["Not now. 1: Write down what went into drinks."]
        await pilot.press("h", "n")
        await calm(board, pilot)
        board.clear_notifications()
        await pilot.press("1", "b")
        await pilot.pause()
        assert board.screen.focused.value == "1b"
        assert toasts(board) == []

    on_board(bar_desk(tmp_path), go)


@pytest.mark.parametrize("key", ["b", "e"])
def test_the_key_line_of_bottles_and_of_the_bench_has_the_way_to_help_and_back(tmp_path, key):
    """Both have more keys than fit in 80 columns; the way out is among those that do."""

    async def go(board, pilot):
        await pilot.press(key)
        await calm(board, pilot)
        last = shown(board).split("\n")[-1]
        assert "? Help" in last
        assert "Esc Back" in last

    desk = bar_desk(tmp_path)
    strained_jar(desk, 3)
    bottling.fill(desk, "CARA-01", read_all_fills("2x100ml"), MORNING - timedelta(days=3))
    on_board(desk, go)


def test_the_palette_finds_a_jar_with_brackets_in_its_name(tmp_path):
    desk = bar_desk(tmp_path)
    acts.charge(desk, order(name="[b]anise[/oops]"), MORNING)

    async def go(board, pilot):
        await pilot.press("ctrl+p", *"oops")
        for _ in range(50):
            if "[b]anise[/oops]" in shown(board):
                break
            await pilot.pause(0.1)
        await pilot.press("down", "enter")
        await pilot.pause()
        await pilot.pause()
        assert isinstance(board.screen, JarScreen)

    on_board(desk, go)


def test_the_palette_finds_past_jars_and_actions(tmp_path):
    async def go(board, pilot):
        for typed, expected in ((BOTTLED, f"{BOTTLED} Caraway seed"), ("undo", "asks first")):
            await pilot.press("ctrl+p", *typed)
            for _ in range(50):
                if expected in told(board):
                    break
                await pilot.pause(0.1)
            assert expected in told(board)
            await pilot.press("escape")

    on_board(railway_bar(tmp_path), go)


def test_an_action_chosen_in_the_palette_is_done(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press(*["down"] * 3)
        code = board.screen.chosen_jar().code
        await pilot.press("ctrl+p", *"stir")
        for _ in range(50):
            if "the chosen jar was stirred" in told(board):
                break
            await pilot.pause(0.1)
        await pilot.press("enter")
        await pilot.pause()
        await pilot.pause()
        assert f"{code} stirred; u takes it back." in told(board)

    on_board(desk, go)


def test_one_key_changes_between_dark_and_light(tmp_path):
    async def go(board, pilot):
        assert board.theme == "steepboard-dark"
        await pilot.press("ctrl+l")
        assert board.theme == "steepboard-light"
        await pilot.press("ctrl+l")
        assert board.theme == "steepboard-dark"

    on_board(railway_bar(tmp_path), go)


def test_q_closes_the_board(tmp_path):
    async def go(board, pilot):
        await pilot.press("q")
        await pilot.pause()
        assert board._exit

    on_board(railway_bar(tmp_path), go)


def test_a_new_day_moves_the_board_on_without_a_key(tmp_path):
    desk = railway_bar(tmp_path)
    time = [MORNING]

    async def run():
        board = SteepBoard(desk, lambda: time[0])
        async with board.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            time[0] = MORNING + DAY
            for _ in range(50):
                if "Tue 3 Mar" in shown(board):
                    break
                await pilot.pause(0.1)
            text = told(board).replace(" Caraway seed", "").replace(" Coriander seed", "")
            assert "! strain, late CARA-01 3 d CORI-01 1 d" in text

    asyncio.run(run())


def test_it_works_down_to_a_very_small_terminal(tmp_path):
    async def go(board, pilot):
        await pilot.press("down", "enter")
        await pilot.pause()
        await pilot.press("escape", "c")
        await pilot.pause()
        await pilot.press("question_mark", "escape", "escape")
        assert board.is_running

    on_board(railway_bar(tmp_path), go, (20, 6))


def test_signs_and_words_tell_all_without_colour(tmp_path, monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")

    async def go(board, pilot):
        text = told(board)
        for word in ("charged", "stirred", "missed", "ahead", "strain", "late"):
            assert word in text
        assert f"○ stir {TODAY}" in text

    on_board(railway_bar(tmp_path), go)
