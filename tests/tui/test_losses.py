"""Reading the losses by keys."""

from __future__ import annotations

import pytest
from textual.widgets import DataTable

from steepboard.services.details import details
from steepboard.services.losses import By
from steepboard.tui.app import SteepBoard
from steepboard.tui.screens.losses import LossesScreen
from steepboard.tui.screens.plan import PlanScreen
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.loss_chart import spread
from tests.shelves import MORNING
from tests.tui.flows import HOSTILE, SEEN, bar_desk, calm, on_board, shown, strained_jar, told


async def opened(board, pilot, *keys):
    await pilot.press("l")
    await calm(board, pilot)
    await pilot.press(*keys)


def rows(board):
    table = board.screen.query_one(DataTable)
    return [[str(cell).strip() for cell in table.get_row_at(i)] for i in range(table.row_count)]


def stocked(desk):
    for days, name, recovered_ml, marc_g in (
        (300, "caraway", 250.0, 75.0),
        (200, "caraway", 240.0, None),
        (100, "lavender", 180.0, 120.5),
        (30, "fennel", 252.0, 72.0),
    ):
        strained_jar(desk, days, name, recovered_ml, marc_g)


def test_an_empty_shelf_is_told_what_to_do(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot)
        assert "Nothing was bottled here yet. Strain a jar" in told(board)
        assert "?" not in shown(board).split("\n")[5]

    on_board(bar_desk(tmp_path), go)


def test_strainings_are_put_together_by_botanical_the_largest_loss_first(tmp_path):
    desk = bar_desk(tmp_path)
    stocked(desk)

    async def go(board, pilot):
        await opened(board, pilot)
        assert [row[:4] for row in rows(board)] == [
            ["Lavender", "1", "300", "180"],
            ["Caraway seed", "2", "600", "490"],
            ["Fennel seed", "1", "300", "252"],
        ]
        # 180 of 300 mL, and (250 + 240) of 600.
        assert [row[4] for row in rows(board)][:2] == ["60.0%", "81.7%"]
        assert "Most is lost in the marc (Lavender" in told(board)
        assert "of 4 fell within the range" in told(board)
        assert "▆ bottled ▃ marc ≡ filter ? unaccounted" in told(board)

    on_board(desk, go)


def test_a_wide_screen_sets_what_was_expected_beside_what_was_bottled(tmp_path):
    desk = bar_desk(tmp_path)
    jar = strained_jar(desk, 20)
    expected_ml = details(desk, jar).expected.expected_ml

    async def go(board, pilot):
        await opened(board, pilot)
        assert rows(board)[0][3:5] == ["240", f"{expected_ml:.0f}"]

    on_board(desk, go, size=(120, 40))


def test_one_key_goes_through_all_ways_of_putting_together(tmp_path):
    desk = bar_desk(tmp_path)
    stocked(desk)

    async def go(board, pilot):
        await opened(board, pilot)
        seen = {}
        for by in By:
            assert board.screen.query_one(Choice).value == by.value
            seen[by] = [row[0] for row in rows(board)]
            await pilot.press("b")
        assert seen[By.MONTH] == ["2025-05", "2025-08", "2025-11", "2026-01"]
        assert seen[By.SPIRIT] == ["neutral spirit 45 %"]
        assert seen[By.STRAINING] == ["pressed by hand"]
        assert board.screen.query_one(Choice).value == By.BOTANICAL.value

    on_board(desk, go, size=(120, 40))


def test_the_bars_follow_the_chosen_line(tmp_path):
    desk = bar_desk(tmp_path)
    for number in range(12):
        strained_jar(desk, 20 + number, f"weed {number:02}", 240.0 - number)

    async def go(board, pilot):
        await opened(board, pilot)
        assert "weed 00" not in shown(board)
        await pilot.press(*("down",) * 11)
        assert shown(board).count("weed 00") == 2

    on_board(desk, go)


def test_what_was_not_weighed_is_a_dash_not_a_figure(tmp_path):
    desk = bar_desk(tmp_path)
    strained_jar(desk, 20)

    async def go(board, pilot):
        await opened(board, pilot)
        assert rows(board)[0][-1] == "–"
        assert "weigh it once, wet" in told(board)

    on_board(desk, go)


def test_a_straining_done_elsewhere_comes_in(tmp_path):
    desk = bar_desk(tmp_path)
    stocked(desk)
    elsewhere = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot)
        strained_jar(elsewhere, 2, "bay", 200.0)
        board.look_again()
        await calm(board, pilot)
        assert "Bay leaf" in [row[0] for row in rows(board)]

    on_board(desk, go)


def test_the_keys_of_the_line_work(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, "question_mark")
        assert "What a dry gram of marc holds" in told(board)
        await pilot.press("escape", "p")
        assert isinstance(board.screen, PlanScreen)
        await pilot.press("escape", "l")
        assert isinstance(board.screen, LossesScreen)

    on_board(bar_desk(tmp_path), go, size=(80, 40))


def test_one_key_shows_what_the_jars_taught(tmp_path):
    desk = bar_desk(tmp_path)
    stocked(desk)

    async def go(board, pilot):
        await opened(board, pilot, "k")
        assert "What your jars taught" in told(board)
        text = told(board)
        assert "beforehand 1.30 ± 0.40" in text
        assert "Caraway seed" in text
        assert "CARA-01" in text
        assert "marc weighed" in text
        await pilot.press("k")
        assert isinstance(board.screen, LossesScreen)

    on_board(desk, go, size=(120, 60))


def test_without_jars_the_page_says_what_plans_go_by(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, "k")
        assert "plans go by what is usual" in told(board)

    on_board(bar_desk(tmp_path), go)


def test_a_hostile_name_is_only_letters(tmp_path):
    desk = bar_desk(tmp_path)
    strained_jar(desk, 20, HOSTILE)

    async def go(board, pilot):
        await opened(board, pilot)
        assert rows(board)[0][0] == f"{SEEN[:31]}…"
        for key in ("k", "escape"):
            assert "\x1b" not in shown(board)
            assert "\x07" not in shown(board)
            await pilot.press(key)

    on_board(desk, go, size=(120, 40))


@pytest.mark.parametrize(
    ("shares", "cells", "drawn"),
    [
        ((0.75, 0.25, 0.0, 0.0), 40, [30, 10, 0, 0]),
        ((0.97, 0.01, 0.02, 0.0), 40, [38, 1, 1, 0]),
        ((1.05, 0.15, 0.02, -0.22), 122, [105, 15, 2, 0]),
        ((0.0, 0.0, 0.0, 0.0), 40, [0, 0, 0, 0]),
    ],
)
def test_a_bar_adds_up_and_shows_what_is_small(shares, cells, drawn):
    found = spread(shares, cells)
    assert found == drawn
    assert sum(found) in (0, cells)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
def test_losses_look_as_they_did(tmp_path, snap_compare, size):
    desk = bar_desk(tmp_path)
    stocked(desk)

    async def prepare(pilot):
        await opened(pilot.app, pilot)
        await calm(pilot.app, pilot)

    board = SteepBoard(desk, lambda: MORNING)
    assert snap_compare(board, terminal_size=size, run_before=prepare)
