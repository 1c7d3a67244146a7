"""Prices kept, and what jars, bottles, doses and marc cost by them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from steepboard.domain.costs import Ware
from steepboard.errors import BadAmount, BadSettings, NoCurrency, NoPrice, OutOfRange
from steepboard.services import bottling, costs, doses, losses, money, views
from steepboard.services.bottling import Part
from steepboard.settings import Money
from tests.bottled import NEXT, full, mls, strained
from tests.shelves import MORNING, desk_at


@pytest.fixture
def desk(tmp_path):
    """Give a shelf in euros with 215 mL of a jar of 300 mL and 40 g, and prices of both."""
    desk = desk_at(tmp_path)
    desk = replace(desk, settings=replace(desk.settings, money=Money("EUR")))
    strained(desk, 215)
    costs.keep_price(desk, Ware.SPIRIT, "neutral spirit", Decimal("18.40"), MORNING)
    costs.keep_price(desk, Ware.BOTANICAL, "caraway seed", Decimal("12.50"), MORNING)
    return desk


def test_a_jar_costs_by_its_prices_and_a_ml_of_what_came_out(desk):
    found = costs.cost_of(desk, views.jar(desk, "CARA-01"))
    assert found.cost.total == Decimal("6.02")  # 5.52 and 0.50
    assert found.per_ml == Decimal("6.02") / 215


def test_a_bottle_holds_its_part_and_a_dose_costs_its_ml(desk):
    bottling.fill(desk, "CARA-01", [full(100)], NEXT)
    doses.keep(desk, "edge", 2.0, "CARA-01-A", "a bitter edge", NEXT)
    found = costs.costs_of_shelf(desk, NEXT)
    (one,) = found.bottles
    assert one.held.quantize(Decimal("0.0001")) == Decimal("2.8000")  # 6.02 / 215 * 100
    assert one.doses[0].amount.quantize(Decimal("0.0001")) == Decimal("0.0560")
    assert (found.currency, one.unpriced) == ("EUR", ())


def test_what_was_let_down_with_water_costs_less_by_the_ml(desk):
    bottling.fill(desk, "CARA-01", [full(50)], NEXT)
    half = [Part(mls(50), "CARA-01-A"), Part(mls(50), "water", 0.0)]
    bottling.combine(desk, half, 110, NEXT)
    found = {one.bottle.code: one for one in costs.costs_of_shelf(desk, NEXT).bottles}
    assert found["CARA-01-B"].per_ml.quantize(Decimal("0.001")) == Decimal("0.014")


def test_marc_holds_the_spirit_of_its_share_within_a_year(desk):
    (one,) = losses.strained(desk)
    found = costs.costs_of_shelf(desk, NEXT)
    assert found.in_marc == Decimal("5.52") * Decimal(repr(one.shares.marc))
    # 36 dry g hold 1 to 2 mL each: 36 to 72 of some 315 mL
    assert Decimal("0.63") < found.in_marc < Decimal("1.26")
    assert costs.costs_of_shelf(desk, NEXT + timedelta(days=366)).in_marc == 0


def test_a_price_of_the_same_day_takes_the_place_of_the_other_and_can_be_forgotten(desk):
    costs.keep_price(desk, Ware.SPIRIT, "Neutral Spirit", Decimal("20"), MORNING)
    assert [str(one.amount) for one in costs.prices(desk)] == ["20", "12.50"]
    costs.forget_price(desk, Ware.SPIRIT, "neutral spirit", MORNING)
    with pytest.raises(NoPrice):
        costs.forget_price(desk, Ware.SPIRIT, "neutral spirit", MORNING)
    found = costs.cost_of(desk, views.jar(desk, "CARA-01"))
    assert (found.cost.total, found.cost.unpriced) == (Decimal("0.5"), ("neutral spirit",))


def test_prices_of_another_currency_do_not_count(desk):
    other = replace(desk, settings=replace(desk.settings, money=Money("CHF")))
    assert costs.prices(other) == ()
    assert costs.cost_of(other, views.jar(desk, "CARA-01")) is None


def test_without_a_currency_no_price_is_kept(desk):
    none = replace(desk, settings=replace(desk.settings, money=Money("")))
    with pytest.raises(NoCurrency):
        costs.keep_price(none, Ware.SPIRIT, "rye", Decimal(1), MORNING)
    assert costs.cost_of(none, views.jar(none, "CARA-01")) is None
    with pytest.raises(BadSettings, match="QQQ"):
        money.currency(replace(desk.settings, money=Money("QQQ")))


def test_a_price_still_to_come_is_refused(desk):
    with pytest.raises(OutOfRange):
        costs.keep_price(desk, Ware.SPIRIT, "rye", Decimal(1), MORNING, date(2026, 3, 3))


@pytest.mark.parametrize(
    "text", ["", "x", "1e3", "-4", "1,2,3", "NaN", "12345678901", "1.23456", "٣"]
)
def test_what_is_no_price_is_refused(text):
    with pytest.raises(BadAmount):
        money.read(text)


def test_a_price_with_a_comma_that_may_part_thousands_is_asked_about():
    with pytest.raises(BadAmount, match=r"1,500 can be read as 1500 or as 1\.500"):
        money.read("1,500")
    assert str(money.read("0,500")) == "0.500"


@pytest.mark.parametrize(("text", "amount"), [("18.40", "18.40"), ("18,4", "18.4"), (" 7 ", "7")])
def test_a_price_is_read_as_it_is_written(text, amount):
    assert str(money.read(text)) == amount


def test_money_is_written_as_its_currency_wants(monkeypatch):
    """ISO 4217: the euro has two minor digits, the yen none, the Kuwaiti dinar three."""
    monkeypatch.setenv("LC_ALL", "en_US.UTF-8")
    assert money.shown(Decimal("1234.5"), "EUR") == "€1,234.50"
    assert money.shown(Decimal("1234.5"), "JPY") == "¥1,234"
    assert money.shown(Decimal("1.2345"), "KWD").removeprefix("KWD").strip() == "1.234"
    assert money.shown_finely(Decimal("0.027954"), "EUR") == "€0.0280"


def test_a_machine_without_a_language_writes_english(monkeypatch):
    for name in ("LC_ALL", "LC_MONETARY", "LANG", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    assert money.shown(Decimal("2.5"), "EUR") == "€2.50"
    monkeypatch.setenv("LC_ALL", "C")
    assert money.shown(Decimal("2.5"), "EUR") == "€2.50"
