"""How one jar wants to be reminded of, by keys: asked for, refused in place, kept, taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from steepboard.domain.records import Habit, Kind
from steepboard.services import acts, reminder_acts, views
from steepboard.services.reminder_acts import Later
from steepboard.tui.screens.habit import AskHabit
from steepboard.tui.screens.jar import JarScreen
from steepboard.tui.widgets.amount_input import AmountInput
from tests.shelves import MORNING, order
from tests.tui.flows import HOSTILE, bar_desk, shown, told
from tests.tui.shelf_data import BOTTLED, PLANNED, SETTLED, WANTS, asked, railway_bar, toasts
from tests.tui.test_jar import entries, on_jar

TALL = (100, 90)
TEN = MORNING + timedelta(hours=1)  # 10:00 in Vienna: the stir of the day is due


async def calm(board, pilot):
    await board.workers.wait_for_complete()
    await pilot.pause()


def test_each_way_of_a_jar_is_asked_for_with_what_holds_without_it(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("r")
        await pilot.pause()
        text = asked(board)
        # The house settings: a stir a day at 9:00, a tasting every 3 days at 17:00, from day 5.
        assert "Stir every day, as it was charged" in text
        assert "Stir at 09:00, as the house does" in text
        assert "Taste every 3 days, as the house does" in text
        assert "Taste at 17:00, as the house does" in text
        assert "Strain at 10:00, as the house does" in text
        assert "Quiet until not quiet" in text
        await pilot.press("escape")

    on_jar(desk, WANTS, go)
    assert entries(desk, WANTS)[-1].kind is Kind.STIR


def test_the_ways_are_kept_as_one_act_and_an_undo_brings_the_former_back(tmp_path):
    desk = railway_bar(tmp_path)
    wanted = Habit(2, time(8, 30), 7, 4, time(18), time(11), date(2026, 3, 6))

    async def go(board, pilot):
        await pilot.press("r")
        for typed in ("2", "8:30", "7d", "4d", "18", "1100", "fri"):
            await pilot.press(*typed, "enter")
        await calm(board, pilot)
        assert views.jar(desk, WANTS).habit == wanted
        assert len(entries(desk, WANTS)) == before + 1
        text = told(board)
        assert "every 2 days (its own), at 08:30 (its own)" in text
        assert "from day 7 (its own), every 4 days (its own), at 18:00 (its own)" in text
        assert "quiet until Fri 6 Mar" in text
        assert "reminders changed: stir every 2 d, stir at 08:30" in text
        await pilot.press("u")
        await pilot.pause()
        assert "reminders changed" in asked(board)
        await pilot.press("y")
        await calm(board, pilot)

    before = len(entries(desk, WANTS))
    on_jar(desk, WANTS, go, TALL)
    assert views.jar(desk, WANTS).habit == Habit()


def test_what_stands_is_changed_and_emptied_and_nothing_new_is_no_act(tmp_path):
    desk = railway_bar(tmp_path)
    reminder_acts.remind(desk, WANTS, Habit(stir_every_days=3, stir_at=time(21, 5)), MORNING)

    async def go(board, pilot):
        await pilot.press("r", "ctrl+s")
        await calm(board, pilot)
        assert toasts(board) == ["Nothing was changed."]
        await pilot.press("r", "ctrl+u", "ctrl+s")
        await calm(board, pilot)

    before = len(entries(desk, WANTS))
    on_jar(desk, WANTS, go)
    assert views.jar(desk, WANTS).habit == Habit(stir_at=time(21, 5))
    assert len(entries(desk, WANTS)) == before + 1


def test_an_undo_brings_back_the_ways_it_had_before(tmp_path):
    desk = railway_bar(tmp_path)
    former = Habit(stir_every_days=3, muted_until=date(2026, 3, 9))
    reminder_acts.remind(desk, WANTS, former, MORNING)

    async def go(board, pilot):
        await pilot.press("r", "down", *"8:30", "ctrl+s")
        await calm(board, pilot)
        assert views.jar(desk, WANTS).habit == replace(former, stir_at=time(8, 30))
        await pilot.press("u")
        await pilot.pause()
        await pilot.press("y")
        await calm(board, pilot)

    on_jar(desk, WANTS, go)
    assert views.jar(desk, WANTS).habit == former


def test_what_another_changed_while_the_form_was_open_is_not_lost(tmp_path):
    desk = railway_bar(tmp_path)
    of_another = Habit(stir_at=time(7), muted_until=date(2026, 3, 9))

    async def go(board, pilot):
        await pilot.press("r", *"5")
        reminder_acts.remind(desk, WANTS, of_another, MORNING)
        await pilot.press("ctrl+s")
        await calm(board, pilot)
        assert toasts(board) == ["Something else was written meanwhile. Ask again."]

    on_jar(desk, WANTS, go)
    assert views.jar(desk, WANTS).habit == of_another


@pytest.mark.parametrize(
    ("downs", "typed", "refusal"),
    [
        (0, "61", "“61” is not a number of days from 1 to 60. Write it like 14 days."),
        (0, "0", "“0” is not a number of days from 1 to 60."),
        (1, "24:00", "“24:00” is not a time of day. Write it like 08:30."),
        (4, "8:60", "“8:60” is not a time of day."),
        (2, "401", "is not a number of days from 1 to 400."),
        (6, "today", "today is not within 400 days from tomorrow on. Write it like fri,"),
        (6, "2026-03-01", "2026-03-01 is not within 400 days from tomorrow on."),
        (6, "soon", "“soon” is not a day. Write it like 18, 18 Mar, fri or +3."),
    ],
)
def test_what_cannot_be_is_refused_in_place_and_stays_typed(tmp_path, downs, typed, refusal):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("r", *["down"] * downs, *typed, "ctrl+s")
        await pilot.pause()
        assert isinstance(board.screen, AskHabit)
        assert refusal in asked(board)
        assert typed in [line.typed for line in board.screen.query(AmountInput)]
        await pilot.press("escape")

    on_jar(desk, WANTS, go)
    assert views.jar(desk, WANTS).habit == Habit()


def test_the_page_tells_what_comes_next_and_until_when_it_is_put_off(tmp_path):
    desk = railway_bar(tmp_path)
    reminder_acts.later(desk, WANTS, Later.TOMORROW, TEN)

    async def go(board, pilot):
        text = told(board)
        assert "put off stir until Tue 3 Mar 09:00" in text
        assert "next taste Mon 2 Mar 17:00 stir Tue 3 Mar 09:00" in text
        # Charged on 26 Feb for 14 days: strained on 12 Mar at 10:00, made ready for the evening
        # before at 18:00.
        assert "strain Thu 12 Mar 10:00" in text
        assert "get ready Wed 11 Mar 18:00" in text

    on_jar(desk, WANTS, go, TALL)


def test_a_settling_jar_tells_of_bottling_and_a_finished_one_of_nothing(tmp_path):
    desk = railway_bar(tmp_path)

    async def settling(board, pilot):
        assert "bottle at 10:00" in told(board)
        assert "every day" in told(board)  # as it was charged
        await pilot.press("r")
        await pilot.pause()
        assert "Bottle at 10:00, as the house does" in asked(board)
        await pilot.press("escape")

    async def bottled(board, pilot):
        assert "How it reminds" not in told(board)
        await pilot.press("r")
        assert isinstance(board.screen, JarScreen)

    on_jar(desk, SETTLED, settling, TALL)
    on_jar(desk, BOTTLED, bottled, TALL)


def test_a_planned_jar_may_have_ways_too(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("r", *"5", "ctrl+s")
        await calm(board, pilot)

    on_jar(desk, PLANNED, go)
    assert views.jar(desk, PLANNED).habit == Habit(stir_every_days=5)


def test_hostile_text_stays_text_in_the_form(tmp_path):
    desk = bar_desk(tmp_path)
    code = acts.charge(desk, order(name=HOSTILE), MORNING).code

    async def go(board, pilot):
        await pilot.press("r", *"[/x]", "ctrl+s")
        await pilot.pause()
        assert "“[/x]” is not a number of days" in asked(board)
        assert "\x1b" not in shown(board)
        await pilot.press("escape")

    on_jar(desk, code, go)
