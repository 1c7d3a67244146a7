"""The four weeks ahead: what to start, what to buy, which jars and room."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.services import acts, ahead, bottling
from tests.bottled import NEXT, full, strained
from tests.services.test_stock import used
from tests.shelves import desk_at, order

DAY = timedelta(days=1)


@pytest.fixture
def desk(tmp_path):
    """Give a shelf of which 10 mL of 150 mL went on each of 8 days, and its day."""
    desk = desk_at(tmp_path)
    strained(desk, 152)
    bottling.fill(desk, "CARA-01", [full(150)], NEXT)
    return desk, used(desk, 8, 10.0)


def test_a_kind_that_goes_fast_is_started_more_than_once(desk):
    desk, now = desk
    plan = ahead.ahead(desk, now)
    # 70 mL stand and go in 7 days, steep and settling take 16: late now; a jar brings 152 mL,
    # 15 days, so that others are due within the four weeks.
    assert plan.begins[0].late_days > 0
    assert plan.begins[0].day == desk.day(now)
    assert len(plan.begins) >= 2
    assert [one.like.code for one in plan.begins] == ["CARA-01"] * len(plan.begins)
    assert plan.begins[0].ready_on == desk.day(now) + 16 * DAY


def test_what_to_buy_is_the_sum_of_all_that_is_started(desk):
    desk, now = desk
    plan = ahead.ahead(desk, now)
    times = len(plan.begins)
    botanical, spirit = plan.buys
    assert (botanical.name, botanical.amount, botanical.strength) == (
        "Caraway seed",
        40 * times,
        None,
    )
    assert (spirit.name, spirit.amount, spirit.strength) == ("neutral spirit", 300 * times, 0.45)
    assert botanical.by == plan.begins[0].day


def test_jars_and_room_are_those_that_steep_at_one_time(desk):
    desk, now = desk
    acts.charge(desk, order("hops"), now)
    plan = ahead.ahead(desk, now)
    together = sum(one.day <= plan.begins[0].strain_on for one in plan.begins) + 1
    assert plan.jars_now == 1
    assert 2 <= plan.jars_most <= together
    # 300 mL of spirit and 40 g of seed of some 1.5 g/mL fill 315 to 340 mL
    assert 315 < plan.begins[0].fill_ml < 340
    assert plan.room_most_ml == pytest.approx(plan.jars_most * 327, rel=0.05)


def test_a_shelf_that_wants_nothing_has_an_empty_plan(tmp_path):
    plan = ahead.ahead(desk_at(tmp_path), NEXT)
    assert (plan.begins, plan.buys, plan.jars_most, plan.room_most_ml) == ((), (), 0, 0)
