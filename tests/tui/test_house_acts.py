"""Droppers, prices, pars and lists of drinks by keys, over the shelf of bottles."""

from __future__ import annotations

from dataclasses import replace

import pytest

from steepboard.services import costs, doses, droppers, stock
from steepboard.settings import Money
from steepboard.tui.screens.ask_form import AskForm
from tests.shelves import MORNING
from tests.tui.flows import shown
from tests.tui.shelf_data import asked, toasts
from tests.tui.test_bottles import FIRST, left, on_rack, press, stocked

HEAD = "date,drink,count\n"


@pytest.fixture
def desk(tmp_path, monkeypatch):
    """Give a shelf in euros with bottles of 100, 100 and 28 mL of caraway, and a dose of 2 mL."""
    monkeypatch.setenv("LC_ALL", "en_US.UTF-8")
    desk = stocked(tmp_path)
    desk = replace(desk, settings=replace(desk.settings, money=Money("EUR")))
    doses.keep(desk, "edge", 2.0, FIRST, "a bitter edge", MORNING)
    return desk


@pytest.fixture
def list_(tmp_path):
    """Give a list of five drinks, which take 10 mL."""
    path = tmp_path / "friday.csv"
    path.write_text(f"{HEAD}2026-03-01,edge,5\n")
    return path


async def says(board, pilot, words):
    """See that the box on top says something, as soon as it is there."""
    for _ in range(50):
        if words in asked(board):
            break
        await pilot.pause(0.1)
    assert words in asked(board)


async def taken_back(board, pilot, words):
    """Take back what was done last of all, and see that the question and the toast name it."""
    await press(board, pilot, "U")
    await says(board, pilot, words[1:])  # with a capital there
    await press(board, pilot, "y")
    assert words in toasts(board)[0]


async def list_named(board, pilot, path):
    await press(board, pilot, "s")
    await says(board, pilot, "A CSV list")
    await press(board, pilot, f"={path}", "enter", "enter")


def test_a_dropper_is_calibrated_by_counting_its_drops(desk):
    async def go(board, pilot):
        await press(board, pilot, "i", "enter", "=blue bulb", "enter", "=40", "enter")
        await press(board, pilot, "=1.0 ml", "enter")
        assert "blue bulb: 0.025 mL a drop, 40 to the mL; U takes it back." in toasts(board)
        (kept,) = droppers.droppers(desk)
        assert (kept.each_ml, kept.how) == (pytest.approx(0.025), "40 drops to 1 mL")
        await taken_back(board, pilot, "blue bulb, 0.025 mL a drop: 40 drops to 1 mL")

    on_rack(desk, go)
    assert droppers.droppers(desk) == ()


def test_a_dropper_is_calibrated_by_weighing_what_is_no_amount_is_refused(desk):
    async def go(board, pilot):
        await press(board, pilot, "i", "enter", "=nib", "enter", "=50", "enter", "=2 cm", "enter")
        await says(board, pilot, "neither a volume nor a mass")
        await press(board, pilot, *["backspace"] * 4, "=1.0 g", "enter")

    on_rack(desk, go)
    (kept,) = droppers.droppers(desk)
    assert kept.how.startswith("50 drops weighed 1 g at 0.9")
    assert 1.0 / 50 < kept.each_ml < 1.0 / 45  # spirit is lighter than water


def test_a_price_is_said_and_taken_back(desk):
    """The spirit of the chosen bottle's jar has no price yet and is asked for first."""

    async def go(board, pilot):
        await press(board, pilot, "m", "enter")
        await says(board, pilot, "no price yet")
        await press(board, pilot, "enter", "=18.40", "enter", "=2026-01-01", "enter")
        words = "€18.40 a litre from 1 Jan 2026"
        assert f"neutral spirit: {words}; U takes it back." in toasts(board)
        await taken_back(board, pilot, "price of neutral spirit, €18.40 a litre from 1 Jan 2026")

    on_rack(desk, go)
    assert costs.prices(desk) == ()


def test_without_a_currency_no_price_is_asked_for(tmp_path):
    async def go(board, pilot):
        await press(board, pilot, "m")
        assert "No currency is set" in toasts(board)[0]
        assert not isinstance(board.screen, AskForm)

    on_rack(stocked(tmp_path), go)


def test_a_par_is_taken_back(desk):
    async def go(board, pilot):
        await press(board, pilot, "a", "=60 ml", "enter")
        assert stock.one(desk, "caraway", MORNING).par_ml == 60
        await taken_back(board, pilot, "least of Caraway seed, 60 mL")

    on_rack(desk, go)
    assert stock.one(desk, "caraway", MORNING).par_ml is None


def test_a_kind_that_is_not_made_again_is_said_to_be_so(desk):
    async def go(board, pilot):
        await press(board, pilot, "a", "=0 ml", "enter")
        assert toasts(board) == ["Caraway seed is not made again; U takes it back."]

    on_rack(desk, go)
    assert stock.one(desk, "caraway", MORNING).par_ml == 0


def test_a_list_is_shown_before_it_is_drawn_and_goes_back_as_one(desk, list_):
    async def go(board, pilot):
        await list_named(board, pilot, list_)
        await says(board, pilot, "5 drinks take what stands here. Draw it all?")
        await says(board, pilot, f"10.0 mL {FIRST}")
        assert left(desk) == 100.0
        await press(board, pilot, "y")
        assert f"5 drinks took 10.0 mL from {FIRST}; U takes all of it back." in toasts(board)
        assert left(desk) == pytest.approx(90.0)
        await taken_back(board, pilot, f"by friday.csv: 10 mL from {FIRST}")

    on_rack(desk, go)
    assert left(desk) == 100.0


def test_what_is_wrong_with_a_list_is_told_by_its_lines_until_it_is_mended(desk, list_):
    list_.write_text(f"{HEAD}2026-03-01,edge,five\n2026-03-01,Brown ale,2\n")

    async def go(board, pilot):
        await list_named(board, pilot, list_)
        await says(board, pilot, "line 2: “five” is not a whole number")
        await says(board, pilot, "line 3: “Brown ale” has no house dose")
        list_.write_text(f"{HEAD}2026-03-01,edge,5\n2026-03-01,Brown ale,2\n")
        await press(board, pilot, "y")
        await says(board, pilot, "1 fault.")
        assert "line 2" not in asked(board)
        await press(board, pilot, "n")
        await says(board, pilot, "A CSV list")
        assert board.screen.query_one("#path").typed == str(list_)
        await press(board, pilot, "enter", "right", "enter")
        await says(board, pilot, "Left out, for want of a dose: Brown ale")
        await press(board, pilot, "n")

    on_rack(desk, go)
    assert left(desk) == 100.0


def test_a_list_that_was_counted_before_can_be_taken_back(desk, list_):
    async def go(board, pilot):
        await list_named(board, pilot, list_)
        await says(board, pilot, "Draw it all?")
        await press(board, pilot, "y", "1", *["backspace"] * 9, "=1 ml", "enter", "enter")
        await list_named(board, pilot, list_)
        await says(board, pilot, "friday.csv was counted on 2026-03-02.")
        await press(board, pilot, "y")
        assert f"drawn by friday.csv: 10 mL from {FIRST}." in toasts(board)[0]

    on_rack(desk, go)
    assert left(desk) == pytest.approx(99.0)  # what was drawn later stays drawn


@pytest.mark.parametrize(
    ("typed", "why"),
    [("none.csv", "No file is at"), (".", "No file is at"), ("~nobody-here/x", "No home is known")],
)
def test_what_is_no_file_is_refused_and_stays_typed(desk, tmp_path, monkeypatch, typed, why):
    monkeypatch.chdir(tmp_path)

    async def go(board, pilot):
        await list_named(board, pilot, typed)
        await says(board, pilot, why)
        assert board.screen.query_one("#path").typed == typed

    on_rack(desk, go)


def test_a_list_is_not_drawn_otherwise_than_it_was_shown(desk, list_):
    async def go(board, pilot):
        await list_named(board, pilot, list_)
        await says(board, pilot, "Draw it all?")
        with desk.opened_again() as other:
            doses.keep(other, "edge", 3.0, FIRST, "a bitter edge", MORNING)
        await press(board, pilot, "y")
        assert "Something else was written meanwhile." in toasts(board)[0]

    on_rack(desk, go)
    assert left(desk) == 100.0


@pytest.mark.parametrize(
    ("typed", "label"),
    [("dropper", "Dropper"), ("calib", "Dropper"), ("price", "Price"), ("sold", "Sold"),
     ("par:", "At least")],
)  # fmt: skip
def test_the_palette_finds_each(desk, typed, label):
    async def go(board, pilot):
        await pilot.press("ctrl+p", *typed)
        for _ in range(50):
            if label in shown(board):
                break
            await pilot.pause(0.1)
        assert label in shown(board)

    on_rack(desk, go)
