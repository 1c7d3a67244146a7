"""What to mind with a jar on the board: dose sums, what was read, whose word comes first."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from steepboard.catalogue.cautions import LAST_WORD
from steepboard.services import acts, bottling, plans
from steepboard.services.details import details
from steepboard.services.plans import Wish
from steepboard.services.typed_bottles import read_all_fills
from steepboard.tui.screens.plan_text import plan_text, sheet_text
from steepboard.tui.telling import caution_lines, dose_lines
from tests.shelves import MORNING, order
from tests.tui.flows import HOSTILE, SEEN, bar_desk, calm, on_board, strained_jar, told

SUM = "Quassin: 20 mL in a litre of drink brings up to"


def quassia(desk, **changes):
    return acts.charge(desk, order("quassia", acknowledged=("QUASSIN",), **changes), MORNING)


def test_a_jar_tells_its_dose_and_who_read_what_before(tmp_path):
    desk = replace(bar_desk(tmp_path), initials="MB")
    jar = quassia(desk)

    async def go(board, pilot):
        board.open_jar(jar.code)
        await pilot.pause()
        text = told(board)
        assert "charged, having read: Quassin MB, board" in text
        assert SUM in text
        assert "Spirit burns: 45 % from about 25 °C" in text
        assert text.count(LAST_WORD) == 1

    on_board(desk, go, (200, 80))


def test_a_straining_opens_with_what_to_mind_and_whose_word_comes_first(tmp_path):
    desk = bar_desk(tmp_path)
    jar = quassia(desk)

    async def go(board, pilot):
        board.open_jar(jar.code)
        await pilot.pause()
        await pilot.press("f")
        await pilot.pause()
        assert "Do not warm open spirit" in told(board)
        assert LAST_WORD in told(board)

    on_board(desk, go, (120, 40))


def test_the_shelf_says_below_what_to_mind_whose_word_comes_first(tmp_path):
    """Once, where there is room for the cautions in full."""
    desk = bar_desk(tmp_path)
    quassia(desk)

    async def go(board, pilot):
        await calm(board, pilot)
        assert "As always: Only spirit sold for drinking" in told(board)
        assert told(board).count(LAST_WORD) == 1

    on_board(desk, go, (120, 40))


def test_the_cautions_of_a_bottle_end_with_whose_word_comes_first(tmp_path):
    """Nothing of it is said of a bottle that has nothing to mind."""
    desk = bar_desk(tmp_path)
    for name, code in (("caraway", "CARA-01"), ("quassia", "QUAS-01")):
        strained_jar(desk, 3, name)
        bottling.fill(desk, code, read_all_fills("100ml"), MORNING)

    async def go(board, pilot):
        await pilot.press("b")
        await calm(board, pilot)
        assert LAST_WORD not in told(board)
        await pilot.press("down")
        await calm(board, pilot)
        assert "Quassin" in told(board)
        assert told(board).count(LAST_WORD) == 1

    on_board(desk, go, (120, 40))


@pytest.mark.parametrize("page", ["plan", "sheet"])
def test_a_plan_and_its_prep_sheet_tell_the_dose(tmp_path, page):
    made = plans.make(bar_desk(tmp_path).settings, Wish(0.45, "quassia", have_g=8))
    text = (plan_text(made) if page == "plan" else sheet_text(made, date(2026, 3, 2))).plain
    assert SUM in text
    assert text.count(LAST_WORD) == 1


def test_a_jar_with_nothing_to_sum_for_says_nothing_of_it(tmp_path):
    made = plans.make(bar_desk(tmp_path).settings, Wish(0.45, "caraway", have_g=40))
    assert dose_lines(made.doses).plain == ""
    assert caution_lines(()).plain == ""


def test_a_hostile_name_stays_on_its_line_in_a_dose_sum(tmp_path):
    desk = bar_desk(tmp_path)
    asked = order("yarrow", acknowledged=("THUJONE",))
    line = replace(asked.botanicals[0], name=HOSTILE)
    jar = acts.charge(desk, replace(asked, botanicals=(line,), name="jar"), MORNING)

    text = dose_lines(details(desk, jar).doses).plain
    assert f"No figure for thujone in {SEEN} is known here" in text

    async def go(board, pilot):
        board.open_jar(jar.code)
        await pilot.pause()
        assert "No figure for thujone in" in told(board)

    on_board(desk, go, (200, 80))
