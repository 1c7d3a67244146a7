"""What a house dose comes to, as the shelf of bottles tells it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from steepboard.domain.base import Base
from steepboard.domain.costs import Ware
from steepboard.domain.dosing import Tool
from steepboard.domain.readings import Measured
from steepboard.services import bottling, costs, doses, droppers, why_doses
from steepboard.services.typed_bottles import read_all_fills
from steepboard.settings import Money
from tests.shelves import MORNING
from tests.tui.flows import bar_desk, strained_jar, told
from tests.tui.test_bottles import on_rack


def test_a_dose_tells_how_far_off_a_dash_is_and_what_comes_with_it(tmp_path):
    """By hand: a dash of 8 mL in 11 is 82 % over 0.4 mL, which is 16 drops of 2 mL in 80."""
    desk = bar_desk(tmp_path)
    strained_jar(desk, 3, "quassia")
    bottling.fill(desk, "QUAS-01", read_all_fills("100ml"), MORNING - timedelta(days=3))
    droppers.count(desk, "blue bulb", Tool.DROP, 80, Measured(2.0, 0.1), 0.45, MORNING)
    droppers.count(desk, "shaker", Tool.DASH, 11, Measured(8.0, 0.1), 0.45, MORNING)
    drink = Base("highball", 180.0, 0.09)
    doses.keep(desk, "Line edge", 0.4, "QUAS-01-A", "", MORNING, drink=drink)
    (poured,) = doses.for_bottle(desk, "QUAS-01-A")
    answers = {one.figure: one.value for one in why_doses.of_dose(poured)}
    assert answers["dashes of Line edge"] == "1, +82 % of the dose"

    async def go(board, pilot):
        assert "Line edge 0.4 mL · 16 drops · 1 dash, 82 % over" in told(board)
        assert "mL alcohol" in told(board)
        assert "drink 9 % to 9.1 %" in told(board)
        assert "Whole dashes are too coarse here" in told(board)
        # 0.4 mL in 180.4 mL are 2.22 in a litre
        assert "Quassin: 2.22 mL in a litre of drink" in told(board)

    on_rack(desk, go, (120, 60))


def test_a_bottle_and_its_doses_tell_what_they_cost(tmp_path, monkeypatch):
    """By hand: 300 mL at 18.40 a litre are 5.52, over 240 mL 0.023 a mL; 2 mL of it are 0.046."""
    desk = bar_desk(tmp_path)
    monkeypatch.setenv("LC_MONETARY", "en_US.UTF-8")
    desk = replace(desk, settings=replace(desk.settings, money=Money("EUR")))
    strained_jar(desk, 3)
    bottling.fill(desk, "CARA-01", read_all_fills("100ml"), MORNING - timedelta(days=3))
    doses.keep(desk, "Line edge", 2.0, "CARA-01-A", "", MORNING)

    async def without(board, pilot):
        assert "a mL," not in told(board)

    on_rack(desk, without, (120, 60))
    earlier = MORNING - timedelta(days=30)
    costs.keep_price(desk, Ware.SPIRIT, "neutral spirit", Decimal("18.40"), earlier)

    async def go(board, pilot):
        assert "0.0230 a mL, €2.30 in it; no price is kept of" in told(board)
        assert "€0.0460" in told(board)

    on_rack(desk, go, (120, 60))
