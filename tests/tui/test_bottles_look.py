"""How the shelf of bottles looks."""

from __future__ import annotations

import pytest

from steepboard.domain.bottles import Purpose
from steepboard.services import bottles, bottling, doses
from steepboard.services.typed_bottles import read_all_fills, read_drawn
from tests.shelves import MORNING
from tests.tui.flows import calm, strained_jar
from tests.tui.test_bottles import FIRST, press, stocked
from tests.tui.test_pictures import board_on


@pytest.mark.parametrize(
    ("size", "theme"),
    [((80, 24), "dark"), ((120, 40), "dark"), ((200, 60), "dark"), ((120, 40), "light")],
    ids=["80x24", "120x40", "200x60", "120x40-light"],
)
def test_bottles_look_as_they_did(tmp_path, snap_compare, size, theme):
    desk = stocked(tmp_path)
    doses.keep(desk, "Mule edge", 1.5, FIRST, "a dry, warm edge", MORNING)
    bottles.draw(desk, FIRST, read_drawn("60 ml"), Purpose.DOSE, MORNING)
    strained_jar(desk, 2, "bitter orange peel", days=20)
    bottling.fill(desk, "BITT-01", read_all_fills("100ml 50ml:41ml"), MORNING)

    async def prepare(pilot):
        await press(pilot.app, pilot, "b")
        await calm(pilot.app, pilot)

    board = board_on(desk, theme)
    assert snap_compare(board, terminal_size=size, run_before=prepare)
