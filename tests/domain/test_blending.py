"""Whole blends: balances worked by hand from published densities, and formulas."""

from __future__ import annotations

from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain.base import Base
from steepboard.domain.blending import APPROACH, FIRST, Ingredient, Share, index, level, scaled
from steepboard.domain.mixing import Liquid
from steepboard.errors import OutOfRange

PURE = 0.78924  # g/mL of ethanol at 20 °C, OIML R 22


def share(liquid, ml_per_l, of="Caraway"):
    return Share(f"{of[:4].upper()}-01-A", of, liquid, ml_per_l)


def test_seven_drops_become_eight_millilitres():
    # 0.175 mL in 100 mL; 4.5 L take 0.175 * 45 = 7.875 mL, 7.9 as the bench has it
    made = scaled(Base("sour", 4500.0, 0.28, 90.0), [share(Liquid(0.6), 1.75)])
    (pour,) = made.pours
    assert round(pour.total_ml, 1) == 7.9
    assert pour.first_ml == pytest.approx(6.3)
    assert pour.then_ml == pytest.approx((0.7875, 0.39375, 0.39375))


def test_two_tinctures_in_a_base_make_what_their_grams_make():
    # Densities at 20 °C by mass percent: 2.5 % 0.99363, 12 % 0.97910 (Perry), 45 % 0.92472, 55 %
    # 0.90258 (US Bureau of Standards). 80 g of 2.5 % are 80.5129 mL, 10 g of 45 % 10.8141 mL, 10 g
    # of 55 % 11.0793 mL. Together 2 + 4.5 + 5.5 = 12 g in 100 g: 102.1346 mL,
    # 12/0.78924/102.1346 = 14.8868 % vol.
    base = Base("cordial", 80.5129, 0.025 * 0.99363 / PURE)
    shares = [
        share(Liquid(0.45 * 0.92472 / PURE), 1e3 * 10.8141 / 80.5129),
        share(Liquid(0.55 * 0.90258 / PURE), 1e3 * 11.0793 / 80.5129, "Rosehip"),
    ]
    made = scaled(base, shares)
    assert [pour.total_ml for pour in made.pours] == pytest.approx([10.8141, 11.0793])
    assert made.whole.volume_ml == pytest.approx(102.1346, abs=0.02)
    assert made.whole.strength == pytest.approx(0.148868, abs=5e-5)


def test_sugar_is_spread_over_what_is_made():
    # 100 mL with 50 g of sugar, 0.62 mL/g: 31 mL sugar and 69 mL of water, 68.878 g at 0.99823.
    # 21.7509 g of 50 % by mass, 0.91384: 23.8017 mL. Without the sugar 10.8755 g in
    # 90.6289 g, 12 %: 92.5635 mL at 0.97910; with it 123.5635 mL, 13.7797 mL of ethanol,
    # 11.1519 % vol, 404.65 g/L.
    base = Base("syrup", 100.0, 0.0, 500.0)
    made = scaled(base, [share(Liquid(0.5 * 0.91384 / PURE), 238.017)])
    assert made.whole.volume_ml == pytest.approx(123.5635, abs=0.02)
    assert made.whole.strength == pytest.approx(0.111519, abs=5e-5)
    assert made.whole.sugar_g_l == pytest.approx(404.65, abs=0.1)
    assert made.whole.dissolved_g_l == pytest.approx(404.65, abs=0.1)


def test_what_a_tincture_dissolved_counts_beside_the_sugar():
    # 1000 mL with 50 g/L, and 100 mL with 0.04 g/mL: 50 and 54 g in about 1.1 L
    made = scaled(Base("cordial", 1000.0, 0.4, 50.0), [share(Liquid(0.4, 0.04), 100.0)]).whole
    assert made.dissolved_g_l / made.sugar_g_l == pytest.approx(54 / 50)


def test_what_goes_in_bit_by_bit_comes_to_all_of_it():
    assert FIRST + sum(APPROACH) == pytest.approx(1.0)
    made = scaled(Base("sour", 1000.0, 0.2), [share(Liquid(0.6), 10.0)])
    assert 0.2 < made.first.strength < made.whole.strength
    assert made.first.volume_ml < made.whole.volume_ml


@given(st.floats(10.0, 10_000.0), st.floats(0.01, 100.0), st.floats(0.1, 50.0))
def test_scaling_is_linear(volume_ml, ml_per_l, times):
    liquid, base = Liquid(0.6, 0.02), Base("sour", volume_ml, 0.25, 80.0)
    once, more = scaled(base, [share(liquid, ml_per_l)]), scaled(
        base.of(volume_ml * times), [share(liquid, ml_per_l)]
    )  # fmt: skip
    assert more.pours[0].total_ml == pytest.approx(times * once.pours[0].total_ml)
    assert more.whole.volume_ml == pytest.approx(times * once.whole.volume_ml)
    assert more.whole.strength == pytest.approx(once.whole.strength)
    assert more.whole.sugar_g_l == pytest.approx(once.whole.sugar_g_l)


def test_a_formula_takes_more_of_a_weaker_batch():
    # 1.75 mL/L at 0.24; at 0.20 it is 1.75 * 0.24 / 0.20 = 2.1 mL/L
    kept = Ingredient("Caraway", index(1.75, 0.24))
    assert level(kept, 0.20) == pytest.approx(2.1)
    assert level(kept, 0.24) == pytest.approx(1.75)


@pytest.mark.parametrize("wrong", [0.0, -2.0, nan])
def test_what_is_no_level_and_no_intensity_is_refused(wrong):
    with pytest.raises(OutOfRange):
        index(wrong, 0.2)
    with pytest.raises(OutOfRange):
        index(1.0, wrong)
    with pytest.raises(OutOfRange):
        level(Ingredient("Caraway", 0.3), wrong)
    with pytest.raises(OutOfRange):
        scaled(Base("sour", 100.0), [share(Liquid(0.6), wrong)])
