"""One jar by keys: notes, moving, discarding, taking back, and what its page says."""

from __future__ import annotations

from datetime import date

import pytest

from steepboard.domain.records import Kind, State
from steepboard.services import acts, bottling, views
from steepboard.services.typed_bottles import read_all_fills
from steepboard.tui.screens.charge import ChargeScreen
from steepboard.tui.screens.jar import JarScreen
from steepboard.tui.screens.strain import StrainScreen
from steepboard.tui.widgets.amount_input import AmountInput
from tests.shelves import MORNING
from tests.tui.flows import bar_desk, on_board, shown, told, worked_jar
from tests.tui.shelf_data import (
    BOTTLED,
    DISCARDED,
    LATE,
    PLANNED,
    SETTLED,
    WANTS,
    asked,
    railway_bar,
    toasts,
)


def entries(desk, code):
    return views.diary(desk, views.jar(desk, code))


def on_jar(desk, code, go, size=(80, 24)):
    """Open the board, open a jar on it, and go on from there."""

    async def opened(board, pilot):
        board.open_jar(code)
        await pilot.pause()
        await go(board, pilot)
        await board.workers.wait_for_complete()

    on_board(desk, opened, size)


def test_a_tasting_note_is_asked_for_and_kept(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("t", "enter")
        assert "A few words are needed" in asked(board)
        await pilot.press(*"still green", "enter")

    on_jar(desk, WANTS, go)
    assert (entries(desk, WANTS)[-1].kind, entries(desk, WANTS)[-1].note) == (
        Kind.TASTE,
        "still green",
    )


def test_the_strain_day_is_moved_with_a_reason_and_not_without(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("m")
        assert "Strain day now: Thu 12 Mar, in 10 days." in asked(board)
        await pilot.press(*"+3", "enter")
        assert "Thu 5 Mar, in 3 days" in asked(board)
        await pilot.press("enter")
        assert "they stand in the diary" in asked(board)
        await pilot.press(*"strong already", "enter")

    on_jar(desk, WANTS, go)
    jar = views.jar(desk, WANTS)
    assert jar.strain_on == date(2026, 3, 5)
    assert entries(desk, WANTS)[-1].note == "strong already"


def test_a_day_that_is_none_is_refused_in_place_and_what_was_typed_is_kept(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("m", *"soonish", "enter", *"why not", "enter")
        assert "“soonish” is not a day. Write it like 18, 18 Mar, fri or +3." in asked(board)
        assert board.screen.query_one("#day", AmountInput).typed == "soonish"
        await pilot.press("escape")

    on_jar(desk, WANTS, go)
    assert entries(desk, WANTS)[-1].kind is Kind.STIR


def test_a_day_gone_by_is_refused_by_the_record_and_told(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("m", *"2026-02-20", "enter", *"why not", "enter")
        await board.workers.wait_for_complete()
        (refusal,) = toasts(board)
        assert refusal.startswith("days until the strain: -10 is not allowed")

    on_jar(desk, WANTS, go)
    assert views.jar(desk, WANTS).strain_on == date(2026, 3, 12)


def test_discarding_asks_why_and_an_undo_brings_the_jar_back(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("d", *"fruit flies", "enter")
        await board.workers.wait_for_complete()
        assert views.jar(desk, WANTS).state is State.DISCARDED
        await pilot.pause()
        assert "discarded: fruit flies" in told(board)
        await pilot.press("u", "y")

    on_jar(desk, WANTS, go, (120, 40))
    assert views.jar(desk, WANTS).state is State.STEEPING


def test_undo_on_a_jar_takes_back_its_own_last_act_only(tmp_path):
    desk = railway_bar(tmp_path)
    acts.stir(desk, (LATE,), MORNING)

    async def go(board, pilot):
        await pilot.press("u")
        assert f"{WANTS} stirred, Sun 1 Mar 09:00" in told(board)
        await pilot.press("y")
        await board.workers.wait_for_complete()
        await pilot.pause()
        assert "took back: stirred KL, board" in told(board)
        assert "stirred KL, board taken back" in told(board)

    on_jar(desk, WANTS, go, (120, 40))
    assert entries(desk, LATE)[-1].kind is Kind.STIR


def test_stir_and_strain_from_the_jar(tmp_path):
    desk = railway_bar(tmp_path)

    async def go(board, pilot):
        await pilot.press("s")
        assert entries(desk, WANTS)[-1].kind is Kind.STIR
        await pilot.press("f")
        await pilot.pause()
        assert isinstance(board.screen, StrainScreen)

    on_jar(desk, WANTS, go)


def test_a_planned_jar_has_no_strain_day_before_it_is_charged(tmp_path):
    """The days count from its charging, whenever that is."""

    async def go(board, _pilot):
        assert "days once charged, pressed" in told(board)

    on_jar(railway_bar(tmp_path), PLANNED, go)


def test_a_planned_jar_is_charged_from_its_page(tmp_path):
    async def go(board, pilot):
        await pilot.press("n")
        await pilot.pause()
        assert isinstance(board.screen, ChargeScreen)

    on_jar(railway_bar(tmp_path), PLANNED, go)


@pytest.mark.parametrize(
    ("code", "keys"),
    [
        (WANTS, "s Stir t Taste f Strain w Later r Remind m Move u Undo y Why ? Help Esc Back"),
        (
            SETTLED,
            "t Taste f Strain w Later r Remind b Bottle u Undo y Why ? Help Esc Back a Again",
        ),
        (PLANNED, "n Charge r Remind u Undo y Why ? Help Esc Back T Tape d Discard"),
        (BOTTLED, "t Taste f Strain b Bottle u Undo y Why ? Help Esc Back a Again L Labels"),
        (DISCARDED, "u Undo y Why ? Help Esc Back a Again R Record"),
    ],
)
def test_only_what_fits_the_state_is_offered(tmp_path, code, keys):
    async def go(board, pilot):
        assert shown(board).splitlines()[-1] == keys
        await pilot.press("escape")
        assert not isinstance(board.screen, JarScreen)

    on_jar(railway_bar(tmp_path), code, go)


def test_the_worked_jar_shows_the_figures_of_its_plan(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk, MORNING).code

    async def go(board, pilot):
        text = told(board)
        # Worked by hand in the design, section 3.4: 58.07 g in 326.66 mL of 45 %.
        assert "liquor 338.7 mL at 0.9525 g/mL" in text
        assert "43.4 % by volume" in text
        assert "44.1 % without what is dissolved in it" in text or "44.2 % without" in text
        assert "37.1 % is what a hydrometer would read" in text
        assert "250 mL bottled" in text
        assert "soluble part of the dry mass 18.0 % · given by you" in text

    on_jar(desk, code, go, (120, 60))


def test_a_bottled_jar_shows_where_the_liquor_went_each_with_its_doubt(tmp_path):
    async def go(board, pilot):
        text = told(board)
        assert "Where the liquor went" in text
        assert "recovered 241.0 ±" in text
        assert "held in the filter * 6.0 ± 3.0 mL" in text
        assert "* not weighed, only estimated." in text
        assert "unaccounted" in text
        assert "In 2 of 3 cases" in text
        assert "warm, a little woody" in text
        # 241 mL of the 300 mL poured.
        assert "yield 80.3 %" in text

    on_jar(railway_bar(tmp_path), BOTTLED, go, (200, 60))


def test_cautions_stand_in_full_with_whose_word_comes_first(tmp_path):
    async def go(board, pilot):
        text = told(board)
        assert "no filter makes them safe" in text
        assert (
            "Follow local law and licensed practice: both come before anything said here." in text
        )

    on_jar(railway_bar(tmp_path), WANTS, go, (200, 60))


def test_the_page_scrolls_by_keys_at_80_columns(tmp_path):
    async def go(board, pilot):
        assert "Where these figures come from" not in told(board)
        await pilot.press("end")
        await pilot.wait_for_scheduled_animations()
        assert "Where these figures come from" in told(board)

    on_jar(railway_bar(tmp_path), WANTS, go)


def test_tape_labels_and_record_are_printed_from_the_page_of_the_jar(tmp_path):
    desk = railway_bar(tmp_path)
    bottling.fill(desk, BOTTLED, read_all_fills("2x50ml"), MORNING)
    tape, labels, record = (tmp_path / f"{name}.pdf" for name in ("tape", "labels", "record"))

    async def on_steeping(board, pilot):
        await pilot.press("L")  # nothing is bottled of it yet
        await pilot.press("T", "enter", "enter", "ctrl+u", *str(tape), "enter")
        await pilot.pause()
        assert toasts(board)[0] == f"1 strip of tape written to {tape}. Print at 100 %, not fitted."

    async def on_bottled(board, pilot):
        await pilot.press("L", "enter", "enter", "enter", "ctrl+u", *str(labels), "enter")
        await pilot.pause()
        assert toasts(board)[0] == f"2 labels written to {labels}. Print at 100 %, not fitted."
        await pilot.press("R", "enter", "ctrl+u", *str(record), "enter")
        await pilot.pause()

    on_jar(desk, WANTS, on_steeping)
    on_jar(desk, BOTTLED, on_bottled)
    assert all(path.read_bytes().startswith(b"%PDF") for path in (tape, labels, record))
