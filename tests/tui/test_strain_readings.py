"""The further readings of a straining by keys: rinses, the scale, what checks what was measured."""

from __future__ import annotations

from steepboard.domain.records import Measure
from steepboard.services import straining, views
from steepboard.tui.widgets.amount_input import AmountInput
from tests.tui.flows import bar_desk, on_board, shown, told, worked_jar
from tests.tui.straining import READY, kept, opened


def test_a_rinse_is_offered_and_counts_only_where_it_was_made(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        await opened(board, pilot, code, *READY, *"240 ml", "enter", *"16 ml", "enter")
        assert "Rinse, if you want more" in told(board)
        assert "rinse poured on" not in told(board)
        await pilot.press(*"80 ml", "enter", "enter", *"79 ml", "enter")
        assert "◆marc" in shown(board)
        assert "rinse poured on 80.0" in told(board)

    on_board(desk, go)
    assert kept(desk, code)[Measure.WASH] == "80 ml"
    assert kept(desk, code)[Measure.WASHED_OUT] == "79 ml"


def test_a_stage_may_be_weighed_in_the_same_field(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        # 228.6 g of 0.95249 g/mL are 240.0 mL.
        await opened(board, pilot, code, *READY, *"228.6 g")
        assert "recovered 240.0" in told(board)
        await pilot.press("enter", "pageup")
        assert board.screen.query_one(AmountInput).typed == "228.6 g"

    on_board(desk, go)
    assert kept(desk, code) == {Measure.DRAINED_MASS: "228.6 g"}


def test_hydrometer_and_dry_residue_check_what_was_measured(tmp_path):
    desk = bar_desk(tmp_path)
    code = worked_jar(desk).code

    async def go(board, pilot):
        keys = (*"250 ml", "down", "down", *"37 % at 20 c", "down", *"10 ml", "down", *"0.28 g")
        await opened(board, pilot, code, "ctrl+r", *keys, "enter")
        # Design 3.2: a hydrometer shows 37.13 % where 43.40 % is true.
        assert "by the hydrometer" in told(board)
        assert "They agree" in told(board)

    on_board(desk, go, size=(120, 40))
    read = {r.measure: r for r in views.jar(desk, code).readings}
    assert read[Measure.HYDROMETER].temperature_c == 20
    assert read[Measure.RESIDUE].value == 0.28


def test_what_is_expected_stands_beside_the_fields_and_narrows(tmp_path):
    desk = bar_desk(tmp_path)
    jar = worked_jar(desk)

    async def go(board, pilot):
        await opened(board, pilot, jar.code, "ctrl+r")
        low, high = straining.expect(desk, jar, Measure.RECOVERED)
        assert f"expect {low:.0f} to {high:.0f} mL" in told(board)
        await pilot.press(*("pageup",) * 3, *"121.1 g", "enter", "ctrl+r")
        narrow = straining.expect(desk, views.jar(desk, jar.code), Measure.RECOVERED)
        assert narrow[1] - narrow[0] < 0.7 * (high - low)
        assert f"expect {narrow[0]:.0f} to {narrow[1]:.0f} mL" in told(board)

    on_board(desk, go, size=(120, 40))
