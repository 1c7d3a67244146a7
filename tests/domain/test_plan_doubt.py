"""The ± of plans and liquors against 100,000 draws and against the uncertainties package.

Both work a jar by `independent`, which shares no line with ours. The figures are invented for these
tests; the first jar is the design's worked one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import pytest
from uncertainties import ufloat

from steepboard.domain.planning import Material, Terms, Tools, plan_from
from steepboard.domain.ratio import house_ratio, intensity
from tests.domain.independent import Botanical, Jar, jar
from tests.domain.worked_jar import FULL, POUR, SOLID, balance

DRAWS = 100_000
TOOLS = Tools(mass_u_g=0.3, volume_u_ml=1.5, strength_u=0.0017)
KEPT, V = (6.0, 3.0), (0.62, 0.03)

Spread = tuple[float, float]
Draw = Callable[[Spread], Any]  # makes a number of a value and its ±


@dataclass(frozen=True)
class Case:
    """A planned jar."""

    strength: float
    materials: tuple[Material, ...]
    botanical_g: float
    ratio: float
    made_from: float | None = None


BARK = Material(0.11, 0.18, 1.6, 0.35, moisture_u=0.012, soluble_u=0.05)
PEEL = Material(0.10, 0.36, 1.9, 0.5, moisture_u=0.015, soluble_u=0.05, parts=2)
FRUIT = Material(0.85, 0.25, 0.5, 0.18, fresh=True, moisture_u=0.02, soluble_u=0.08)
CASES = {
    "dry bark": Case(0.45, (BARK,), 58.07, 5.625),
    "bark and peel": Case(0.60, (BARK, PEEL), 90.0, 7.5),
    "fresh fruit": Case(0.50, (FRUIT,), 120.0, 5.0),
    "spirit let down": Case(0.55, (BARK,), 60.0, 6.875, made_from=0.96),
}
named = pytest.mark.parametrize("name", CASES)


@cache
def planned(name: str) -> tuple[Terms, Any]:
    case = CASES[name]
    terms = Terms(
        case.strength, case.materials, *KEPT, case.ratio, made_from=case.made_from, tools=TOOLS
    )
    return terms, plan_from(terms, botanical_g=case.botanical_g)


def again(name: str, number: Draw) -> Jar:
    """Work the jar anew from numbers that `number` makes; all k err the same way at once."""
    case, (_, plan) = CASES[name], planned(name)
    firm = number((0.0, 1.0))
    botanicals = [
        Botanical(
            number((mass_g, TOOLS.mass_u_g)),
            number((m.moisture, m.moisture_u)),
            number((m.soluble, m.soluble_u)),
            m.held_ml_per_g + m.held_u * firm,
            m.fresh,
        )
        for m, mass_g in zip(case.materials, plan.masses_g, strict=True)
    ]
    pours = [
        (
            number((pour.volume_ml, TOOLS.volume_u_ml)),
            number((pour.strength, TOOLS.strength_u)) if pour.strength else 0.0,
        )
        for pour in plan.pours
    ]
    return jar(botanicals, pours, number(KEPT), number(V))


@cache
def drawn(name: str) -> Jar:
    random = np.random.default_rng(4)
    return again(name, lambda spread: random.normal(*spread, DRAWS))


@named
def test_the_interval_of_a_plan_is_where_four_of_five_draws_fall(name: str) -> None:
    plan = planned(name)[1]
    low_ml, high_ml = np.quantile(drawn(name).bottled_ml, [0.1, 0.9])
    # 100,000 draws know such an end to 0.4 % of the half-width; the ± is of first order.
    slack = 0.02 * (high_ml - low_ml) / 2
    assert (plan.low_ml, plan.high_ml) == pytest.approx((low_ml, high_ml), abs=slack)


@named
def test_the_interval_of_a_plan_is_that_of_the_uncertainties_package(name: str) -> None:
    plan, found = planned(name)[1], again(name, lambda spread: ufloat(*spread)).bottled_ml
    assert plan.expected_ml == pytest.approx(found.nominal_value, abs=1e-6)
    assert plan.high_ml - plan.expected_ml == pytest.approx(1.2816 * found.std_dev, rel=1e-3)


@named
def test_the_intensity_at_the_ends_of_the_interval_holds_four_of_five_draws(name: str) -> None:
    # The index is grams over mL times n(a)/5: the more is bottled, the weaker. The doubt of the
    # mass is the scale's, a small part of the whole.
    plan, case = planned(name)[1], CASES[name]
    ends = [intensity(plan.botanical_g, ml, case.strength) for ml in (plan.high_ml, plan.low_ml)]
    index = plan.botanical_g / drawn(name).bottled_ml * house_ratio(case.strength) / 5
    inside = np.mean((ends[0] <= index) & (index <= ends[1]))
    assert inside == pytest.approx(0.8, abs=0.01)


def test_the_doubt_of_a_liquor_is_that_of_draws_and_of_the_uncertainties_package() -> None:
    ours = balance(FULL)
    spreads = (
        (SOLID.mass_g, SOLID.mass_u_g),
        (SOLID.moisture, SOLID.moisture_u),
        (SOLID.soluble, SOLID.soluble_u),
        (POUR.volume_ml, POUR.volume_u_ml),
        (POUR.strength, POUR.strength_u),
        V,
    )

    def worked(number: Draw) -> Jar:
        mass_g, moisture, soluble, volume_ml, strength, v = (number(s) for s in spreads)
        return jar([Botanical(mass_g, moisture, soluble, 0.0)], [(volume_ml, strength)], 0.0, v)

    random = np.random.default_rng(5)
    draws = worked(lambda spread: random.normal(*spread, DRAWS))
    exact = worked(lambda spread: ufloat(*spread))
    assert ours.strength == pytest.approx(exact.strength.nominal_value, abs=1e-9)
    assert ours.strength_u == pytest.approx(exact.strength.std_dev, rel=1e-3)
    assert ours.liquor.ml_u == pytest.approx(exact.liquor_ml.std_dev, rel=1e-3)
    assert ours.strength_u == pytest.approx(np.std(draws.strength), rel=0.02)
    assert ours.liquor.ml_u == pytest.approx(np.std(draws.liquor_ml), rel=0.02)
