"""One key answers where the figures of a screen come from."""

from __future__ import annotations

import re

import pytest
from textual.widgets import DataTable

from steepboard.domain.records import Measure
from steepboard.services import acts, straining
from steepboard.tui.screens.charge import ChargeScreen
from steepboard.tui.screens.strain import StrainScreen
from steepboard.tui.screens.strain_steps import STEPS
from steepboard.tui.screens.why import WhyScreen
from tests.shelves import MORNING, desk_at, order
from tests.tui.flows import HOSTILE, SEEN, bar_desk, calm, on_board, strained_jar, told, worked_jar


def answered(board):
    """Return the text on the screen without the edges of the page."""
    return " ".join(told(board).translate({ord(edge): None for edge in "▌▐"}).split())


def test_on_a_strained_jar_each_figure_is_answered_as_one_moves_down(tmp_path):
    desk = bar_desk(tmp_path)
    code = strained_jar(desk, 3, marc_g=80.0).code

    async def go(board, pilot):
        board.open_jar(code)
        await pilot.pause()
        await pilot.press("y")
        await pilot.pause()
        assert isinstance(board.screen, WhyScreen)
        assert "each gram of botanical as it was weighed" in answered(board)
        seen = set()
        for _ in range(30):
            seen.add(answered(board))
            await pilot.press("down")
            await pilot.pause()
        text = " ".join(seen)
        assert "published: OIML R 22" in text
        assert "The wet marc, less what cannot dissolve" in text
        assert "measured here, to 0.1 g" in text
        await pilot.press("escape")
        await pilot.pause()
        assert not isinstance(board.screen, WhyScreen)

    on_board(desk, go)


def test_on_the_shelf_the_figures_of_the_chosen_jar_are_answered(tmp_path):
    """Ratio, intensity and what to expect stand on the shelf, so the same key answers there."""
    desk = bar_desk(tmp_path)
    acts.charge(desk, order(), MORNING)

    async def go(board, pilot):
        await pilot.press("y")
        await pilot.pause()
        assert isinstance(board.screen, WhyScreen)
        assert "for each gram of botanical" in answered(board)

    on_board(desk, go)


def test_where_letters_are_typed_another_key_answers(tmp_path):
    async def go(board, pilot):
        await pilot.press("p")
        await pilot.pause()
        await pilot.press("f2")
        await pilot.pause()
        assert "There is no figure here yet." in told(board)
        await pilot.press(*"caraway", "enter", *"250 ml", "enter", *"45%")
        await calm(board, pilot)
        await pilot.press("f2")
        await pilot.pause()
        assert isinstance(board.screen, WhyScreen)
        assert "divided by what one gram brings" in told(board)

    on_board(bar_desk(tmp_path), go)


def test_each_figure_of_a_new_jar_has_an_answer_as_it_is_typed(tmp_path):
    """Every number of what follows is the value of an answer, or went into one."""

    async def go(board, pilot):
        await board.push_screen(ChargeScreen())
        await pilot.pause()
        await pilot.press("f2")
        await pilot.pause()
        assert "There is no figure here yet." in told(board)
        await pilot.press(*"caraway", "enter", *"40 g", "enter", *"300 ml", "enter", *"45%")
        await calm(board, pilot)
        text = str(board.screen.query_one("#outcome").visual)
        await pilot.press("f2")
        await pilot.pause()
        found = {one.figure: one for one in answers_on(board)}
        assert {one.source for one in found["ratio"].inputs} == {"given by you"}
        words = " ".join(
            f"{one.value} {' '.join(given.value for given in one.inputs)}" for one in found.values()
        )
        shown_numbers = numbers(text.partition("\n\n")[0])
        assert len(shown_numbers) == 9  # 1 to ratio and house rule, strength, three mL, end, fill
        assert shown_numbers <= numbers(words) | {str(round(float(n))) for n in numbers(words)}

    on_board(bar_desk(tmp_path), go)


def numbers(text):
    """Return the numbers of a text."""
    return set(re.findall(r"\d+(?:\.\d+)?", text))


def test_names_are_never_markup(tmp_path):
    desk = desk_at(tmp_path)
    code = acts.charge(desk, order(name=HOSTILE), MORNING).code

    async def go(board, pilot):
        board.open_jar(code)
        await pilot.pause()
        await pilot.press("y")
        await pilot.pause()
        assert SEEN in told(board)

    on_board(desk, go, (120, 40))


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_the_answers_look_as_they_did(tmp_path, snap_compare, size):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code
    from steepboard.tui.app import SteepBoard

    async def before(pilot):
        pilot.app.open_jar(code)
        await pilot.pause()
        await pilot.press("y", "down", "down", "down")
        await calm(pilot.app, pilot)

    assert snap_compare(SteepBoard(desk, lambda: MORNING), terminal_size=size, run_before=before)


def cells(board):
    """Return what stands in the chosen line of Losses, by the label of its column."""
    table = board.screen.query_one(DataTable)
    labels = [str(column.label).strip() for column in table.ordered_columns]
    row = [str(one).strip() for one in table.get_row_at(table.cursor_row)]
    return dict(zip(labels, row, strict=True))


def answers_on(board):
    assert isinstance(board.screen, WhyScreen)
    return board.screen._answers


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_each_figure_of_the_chosen_line_of_losses_has_an_answer(tmp_path, size):
    desk = bar_desk(tmp_path)
    strained_jar(desk, 30, "caraway", 250.0, 75.0)
    strained_jar(desk, 20, "lavender", 180.0)

    async def go(board, pilot):
        await pilot.press("l")
        await calm(board, pilot)
        await pilot.press("down")
        shown_cells = cells(board)
        name = shown_cells.pop("")
        assert "y Why" in told(board)
        await pilot.press("y")
        found = {answer.figure: answer.value.replace(" ", "") for answer in answers_on(board)}
        assert found["jars"] == f"{shown_cells['jars']}of{name.replace(' ', '')}"
        for label, figure in shown_cells.items():
            assert found[label].startswith(figure), label
        assert found["bottled in all"] == "0.43L"
        assert {"expected in all", "in range in all", "what to change"} <= found.keys()

    on_board(desk, go, size)


def test_each_figure_of_what_jars_taught_has_an_answer(tmp_path):
    desk = bar_desk(tmp_path)
    strained_jar(desk, 30, "caraway", 250.0, 75.0)

    async def go(board, pilot):
        await pilot.press("l")
        await calm(board, pilot)
        await pilot.press("k")
        await pilot.pause()
        page = told(board)
        assert "y Why" in page
        await pilot.press("y")
        await pilot.pause()
        found = [(answer.figure, answer.value) for answer in answers_on(board)]
        assert [figure for figure, _ in found] == [
            "beforehand", "Caraway seed", "next batch of Caraway seed", "as expected, Caraway seed",
            "CARA-01",
        ]  # fmt: skip
        for _, value in found:
            assert value.partition(" mL")[0] in page
        await pilot.press("escape")
        await pilot.press("question_mark")
        assert "next batch ± How far one more batch may lie from it" in answered(board)

    on_board(desk, go)


def test_each_figure_of_what_was_dried_has_an_answer(tmp_path):
    """Water and soluble part: before, now, the next batch, and by the jar."""
    desk = bar_desk(tmp_path)
    code = strained_jar(desk, 30, "caraway", 250.0, 86.0).code
    read = {Measure.DRY_MARC: 31.0, Measure.RESIDUE_VOLUME: 10.0, Measure.RESIDUE: 0.28}
    kept = tuple(straining.reading(desk, m, v, f"{v}", 0.01, MORNING) for m, v in read.items())
    acts.strain(desk, code, kept, MORNING)

    async def go(board, pilot):
        await pilot.press("l")
        await calm(board, pilot)
        await pilot.press("k")
        await pilot.pause()
        of_water = told(board).partition("water in Caraway seed")[2]
        assert len(numbers(of_water)) > 10
        await pilot.press("y")
        await pilot.pause()
        found = [one for one in answers_on(board) if "Caraway seed" in one.figure]
        dried = [one for one in found if one.figure.startswith(("water in", "soluble part"))]
        assert len(dried) == 8
        for answer in dried:
            assert answer.value.partition(",")[0] in of_water, answer.figure
        words = " ".join(f"{one.figure} {one.value} {one.source}" for one in dried)
        assert numbers(of_water) <= numbers(words)

    on_board(desk, go, (120, 40))


def test_an_answer_longer_than_its_place_is_read_on_by_a_key(tmp_path):
    desk = bar_desk(tmp_path)
    for days in range(20, 30):
        strained_jar(desk, days, "caraway", 250.0, 75.0)

    async def go(board, pilot):
        await pilot.press("l")
        await calm(board, pilot)
        await pilot.press("y", "down", "down", "down", "down", "down")
        await pilot.pause()
        assert "2 more" not in told(board)
        await pilot.press("pagedown")
        await pilot.wait_for_scheduled_animations()
        assert "2 more" in told(board)
        await pilot.press("pageup")
        await pilot.wait_for_scheduled_animations()
        assert "2 more" not in told(board)

    on_board(desk, go)


def test_each_expectation_of_a_straining_is_among_the_answers(tmp_path):
    """What stands beside a field, and what a page says to expect, on every page."""
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await board.push_screen(StrainScreen(code))
        await pilot.pause()
        seen = set()
        for _ in STEPS:
            said = re.findall(r"[Ee]xpect (\S+ to \S+ \S+?)[\s,]", told(board))
            await pilot.press("f2")
            await pilot.pause()
            found = {one.value for one in answers_on(board) if one.figure.startswith("expected ")}
            assert set(said) == found
            seen |= found
            await pilot.press("escape", "pagedown")
            await pilot.pause()
        assert len(seen) >= 5  # drained, pressed, marc, dried marc, recovered: by hand, unread

    on_board(desk, go, (120, 40))
