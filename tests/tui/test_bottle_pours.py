"""Bottles by keys: topped up, poured together and filled from a jar."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.bottles import Purpose
from steepboard.services import bottle_shelf, bottles, bottling
from steepboard.services.typed_bottles import read_all_fills, read_drawn
from tests.shelves import MORNING
from tests.tui.flows import bar_desk, calm, strained_jar, told
from tests.tui.shelf_data import asked, toasts
from tests.tui.test_bottles import FIRST, left, on_rack, press, stocked


def test_it_is_topped_up_from_another_and_from_spirit(tmp_path):
    desk = stocked(tmp_path)
    bottles.draw(desk, FIRST, read_drawn("60 ml"), Purpose.DOSE, MORNING)

    async def go(board, pilot):
        await press(board, pilot, "t", "=CARA-01-B", "enter", "=20 ml", "enter", "enter")
        await press(board, pilot, "t", "=45 %", "enter", "=10 ml", "enter", "enter")

    on_rack(desk, go)
    assert left(desk, "CARA-01-B") == pytest.approx(80.0)
    assert left(desk) == pytest.approx(70.0, abs=0.1)


def test_two_batches_are_poured_together_under_a_name(tmp_path):
    desk = stocked(tmp_path)
    strained_jar(desk, 2, "fennel")
    bottling.fill(desk, "FENN-01", read_all_fills("2x100ml"), MORNING - timedelta(days=2))

    async def go(board, pilot):
        await press(board, pilot, "g", "=60 ml", "enter", "=FENN-01-A", "enter", "=40 ml", "enter")
        await press(board, pilot, "enter", "enter", "=100 ml", "enter", "=Night train", "enter")
        assert "Night train" in told(board)

    on_rack(desk, go)
    made = bottle_shelf.bottle(desk, "NIGH-01-A")
    assert len(made.liquid.shares) == 2
    assert left(desk) == pytest.approx(40.0)


def test_a_further_liquid_told_by_halves_is_asked_for(tmp_path):
    """Left out without a word, the bottle would hold less water than its maker poured."""
    desk = stocked(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "g", "=60 ml", "enter", "=CARA-01-B", "enter", "=20 ml", "enter")
        await press(board, pilot, "=water", "enter", "enter", "=100 ml", "enter", "enter")
        assert "How much of water is poured? Write it like 40 mL." in asked(board)
        await press(board, pilot, *("up",) * 3, "ctrl+u", "enter", "=10 ml", *("enter",) * 3)
        assert "Of what are the 10 mL poured? Write it like a code, water or 45 %." in asked(board)

    on_rack(desk, go)
    assert left(desk) == pytest.approx(100.0)


def test_a_jar_is_filled_into_several_sizes_and_the_rest_is_told(tmp_path):
    desk = bar_desk(tmp_path)
    strained_jar(desk, 3)

    async def go(board, pilot):
        await press(board, pilot, "n", "=cara-01", "enter", "=2 x 100ml 1x50ml:30ml", "enter")
        assert "3 bottles, 230 mL" in told(board)
        await press(board, pilot, "enter")
        assert "Filled: CARA-01-A, CARA-01-B, CARA-01-C. Of CARA-01 10.0" in toasts(board)[0]

    on_rack(desk, go)
    assert [one.size_ml for one in bottle_shelf.bottles(desk)] == [100.0, 100.0, 50.0]


def test_what_was_just_filled_or_poured_together_is_chosen(tmp_path):
    """Its label is what comes next."""
    desk = stocked(tmp_path)
    strained_jar(desk, 3, name="rosemary")

    async def go(board, pilot):
        await press(board, pilot, "n", "=rose-01", "enter", "=2x50ml", "enter", "enter")
        assert board.screen.chosen().code == "ROSE-01-A"
        await press(board, pilot, "g", "=10ml", "enter", "=cara-01-a", "enter", "=10ml", "enter")
        await press(board, pilot, "enter", "enter", "=30ml", "enter", "=Night train", "enter")
        assert board.screen.chosen().tag.name == "Night train"

    on_rack(desk, go)


def test_more_than_was_recovered_is_asked_about_once(tmp_path):
    desk = bar_desk(tmp_path)
    strained_jar(desk, 3)

    async def go(board, pilot):
        board.open_jar("CARA-01")
        await calm(board, pilot)
        await press(board, pilot, "b", "down", "=4x100ml", "enter", "enter")
        assert "400 mL are more. Is it read right?" in asked(board)
        await press(board, pilot, "up", "ctrl+u", "=2x100ml", "enter", "enter")
        assert "In bottles" in told(board)
        assert "Of CARA-01 40.0" in told(board)

    on_rack(desk, go, (120, 60))
    assert len(bottle_shelf.bottles(desk)) == 2
