"""Money in decimals: worked by hand, exact, and never through a float."""

from __future__ import annotations

import ast
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain import costs
from steepboard.domain.costs import Bought, Price, Ware

DAY = date(2026, 3, 2)
MONEY = ("domain/costs.py", "services/costs.py", "services/money.py", "store/prices.py")
PRICES = st.decimals("0.01", "99999", places=2)
AMOUNTS = st.floats(0.1, 5000)


def price(ware, name, amount, day=DAY):
    return Price(ware, name, day, Decimal(amount), "EUR")


def entry(_ware, name):
    """Return what a ware goes by: here its name, whatever its letter case."""
    return name.casefold()


def test_a_jar_costs_what_its_spirit_and_botanical_do():
    """300 mL at 18.40 a litre: 5.52; 40 g at 12.50 a kilogram: 0.50; 6.02 in 215 mL: 0.028 a mL."""
    known = [price(Ware.SPIRIT, "neutral spirit", "18.40"), price(Ware.BOTANICAL, "Fennel", "12.5")]
    bought = [Bought(Ware.SPIRIT, "Neutral spirit", 300.0), Bought(Ware.BOTANICAL, "fennel", 40.0)]
    found = costs.cost(bought, known, DAY, entry)
    assert (found.spirit, found.botanical) == (Decimal("5.52"), Decimal("0.5"))
    assert (found.total, found.unpriced) == (Decimal("6.02"), ())
    assert costs.per_ml(found.total, 215.0) == Decimal("6.02") / Decimal(215)


def test_a_tenth_is_a_tenth():
    assert costs.exact(0.1) == Decimal("0.1")
    assert costs.part(Decimal("0.30"), 0.1) == Decimal("0.03")
    assert costs.exact(1e22) == Decimal(10) ** 22


def test_what_has_no_price_is_named_and_missing_in_the_sum():
    bought = [Bought(Ware.SPIRIT, "rye", 300.0), Bought(Ware.SPIRIT, "grape", 100.0)]
    found = costs.cost(bought, [price(Ware.SPIRIT, "grape", "20")], DAY, entry)
    assert (found.total, found.unpriced) == (Decimal(2), ("rye",))


def test_a_botanical_and_a_spirit_of_one_name_are_apart():
    known = [price(Ware.SPIRIT, "anise", "20")]
    assert costs.cost([Bought(Ware.BOTANICAL, "anise", 10.0)], known, DAY, entry).unpriced == (
        "anise",
    )


@pytest.mark.parametrize(
    ("day", "amount"),
    [("2025-12-31", "10"), ("2026-01-01", "10"), ("2026-02-28", "10"), ("2026-03-01", "11")],
)
def test_the_price_of_a_day_is_the_last_from_before_or_else_the_first(day, amount):
    known = [
        price(Ware.SPIRIT, "rye", "11", date(2026, 3, 1)),
        price(Ware.SPIRIT, "rye", "10", date(2026, 1, 1)),
    ]
    found = costs.price_on(known, Ware.SPIRIT, "Rye", date.fromisoformat(day), entry)
    assert found.amount == Decimal(amount)


@given(st.lists(st.tuples(PRICES, AMOUNTS), min_size=1, max_size=12))
def test_sums_are_those_of_fractions(rows):
    """Fractions of the decimals that people read: any float on the way would miss by more."""
    known = [price(Ware.SPIRIT, f"s{n}", amount) for n, (amount, _) in enumerate(rows)]
    bought = [Bought(Ware.SPIRIT, f"s{n}", ml) for n, (_, ml) in enumerate(rows)]
    found = costs.cost(bought, known, DAY, entry).total
    exact = sum(Fraction(str(amount)) * Fraction(repr(ml)) / 1000 for amount, ml in rows)
    assert isinstance(found, Decimal)
    assert abs(Fraction(found) - exact) <= exact / 10**26


@pytest.mark.parametrize("file", MONEY)
def test_no_module_of_money_makes_a_float(file):
    import steepboard

    tree = ast.parse((Path(steepboard.__file__).parent / file).read_text(encoding="utf-8"))
    calls = [n for n in ast.walk(tree) if isinstance(n, ast.Call)]
    made = [
        n.lineno for n in calls if isinstance(n.func, ast.Name) and n.func.id in ("float", "round")
    ]
    assert made == []
    arithmetic = [n for n in ast.walk(tree) if isinstance(n, ast.BinOp)]
    floats = [
        n.lineno for n in arithmetic for side in (n.left, n.right)
        if isinstance(side, ast.Constant) and isinstance(side.value, float)
    ]  # fmt: skip
    assert floats == []
