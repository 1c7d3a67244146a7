"""One key answers at the bench, on a blend and for the doses of a bottle."""

from __future__ import annotations

from datetime import timedelta

import pytest
from textual.widgets import Digits

from steepboard.domain.bench import Verdict
from steepboard.services import bench, doses
from steepboard.tui.screens import bench_text
from steepboard.tui.screens.blend import BlendScreen
from steepboard.tui.screens.bottles import BottlesScreen
from steepboard.tui.screens.why import WhyScreen
from tests.shelves import MORNING
from tests.tui.flows import on_board, told
from tests.tui.test_bench import CODE, at_bench, on_trial
from tests.tui.test_bottles import FIRST, press


async def answered(board, pilot):
    """Press the key, and return the answers by figure."""
    await press(board, pilot, "y")
    assert isinstance(board.screen, WhyScreen)
    return {answer.figure: answer.value for answer in board.screen._answers}


def stepped(folder):
    """Build a trial with 4, 8 and 12 mL/L tasted: too little, right, too much."""
    desk = on_trial(folder)
    for n, verdict in enumerate((Verdict.LITTLE, Verdict.RIGHT, Verdict.MUCH)):
        bench.add(desk, CODE, "0.4 ml", verdict, MORNING - timedelta(minutes=9 - 3 * n))
    return desk


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_each_big_figure_of_the_bench_has_an_answer_and_so_has_what_is_below(tmp_path, size):
    desk = stepped(tmp_path)

    async def go(board, pilot):
        assert "y Why" in told(board)
        await press(board, pilot, "space", "space")
        figures = {
            label: board.screen.query_one(f"#{name}", Digits).value
            for name, label in bench_text.FIGURES.items()
        }
        page = told(board)
        found = await answered(board, pilot)
        assert found.pop("added, not tasted").startswith("2 drops")
        assert figures.pop("added, not tasted") == "+2"
        for label, figure in figures.items():
            assert found[label].split()[0] == figure, label
        # 0.4 mL in 100 mL at each step
        assert [found[f"step {n}"].split(",")[0] for n in (1, 2, 3)] == [
            "4 mL/L", "8 mL/L", "12 mL/L",
        ]  # fmt: skip
        right = f"{found['right at'].removesuffix(' mL/L')} {found['± of right']}"
        for shown in (right.removesuffix("/L"), "over 4", "under 12", "100 mL of platform bitter"):
            assert shown in page
        assert (found["over"], found["under"]) == ("4 mL/L", "12 mL/L")
        assert found["a drop"].split()[0] in page

    at_bench(desk, go, size)


def test_an_empty_bench_has_no_figure_to_answer_for(tmp_path):
    desk = on_trial(tmp_path)
    bench.end(desk, CODE, MORNING)

    async def go(board, pilot):
        await press(board, pilot, "y")
        assert not isinstance(board.screen, WhyScreen)

    at_bench(desk, go)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_each_figure_of_a_blend_has_an_answer(tmp_path, size):
    desk = stepped(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "s", "=4.5 L", "enter")
        assert isinstance(board.screen, BlendScreen)
        page = told(board)
        assert "y Why" in page
        found = await answered(board, pilot)
        # 8 mL to each of 4.5 litres are 36 mL; 80 % of them 28.8, 10 % 3.6, 5 % 1.8.
        assert found["Caraway seed"].startswith("36 ± ")
        assert found["80 %"] == "28.8 mL CARA-01-A"
        assert found["10 %, up to 90 %"] == "3.6 mL CARA-01-A"
        assert found["5 %, up to 95 %"] == "1.8 mL CARA-01-A"
        for figure in ("Caraway seed", "mL/L of Caraway seed", "80 %", "5 %, up to 100 %"):
            assert found[figure].partition(" of CARA")[0] in page, figure
        for when in ("after the first", "in the end"):
            volume = round(float(found[f"volume {when}"].split()[0]))
            made = (f"{volume} mL", *(found[f"{n} {when}"] for n in ("strength", "sugar")))
            assert f"{made[0]}, {made[1]}, sugar {made[2]}" in page
            assert f"all dissolved {found[f'all dissolved {when}']}" in page

    at_bench(desk, go, size)


def test_the_doses_of_a_bottle_have_their_answers_too(tmp_path):
    desk = on_trial(tmp_path)
    doses.keep(desk, "platform edge", 2.0, FIRST, "a bitter edge", MORNING)

    async def go(board, pilot):
        await press(board, pilot, "b")
        assert isinstance(board.screen, BottlesScreen)
        found = await answered(board, pilot)
        assert found["platform edge"] == "2 mL"
        assert {"drops of platform edge", "dashes of platform edge", "mL left"} <= found.keys()

    on_board(desk, go, (120, 40))
