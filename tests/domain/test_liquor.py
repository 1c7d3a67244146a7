from __future__ import annotations

from math import inf, nan

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from steepboard.domain import alcohol
from steepboard.domain.liquor import (
    Pour,
    Solid,
    apparent_from_true,
    fill_ml,
    liquor,
    true_from_apparent,
)
from steepboard.errors import NothingWeighed, OutOfRange

shares = st.floats(0.0, 1.0)
solids = st.lists(st.builds(Solid, st.floats(0.1, 500.0), shares, shares), max_size=3)
pours = st.lists(
    st.builds(Pour, st.floats(1.0, 2000.0), shares, st.floats(-20.0, 40.0)), min_size=1, max_size=3
)


def test_the_worked_jar_has_the_worked_strengths() -> None:
    # The design's worked figures: 58.07 g, 11 % moist, 18 % soluble, in 326.66 mL of 45 %.
    made = liquor([Solid(58.07, 0.11, 0.18)], [Pour(326.66, 0.45)])
    assert made.volume_ml == pytest.approx(338.70, abs=0.02)
    assert made.density_g_ml == pytest.approx(0.95249, abs=0.000006)
    assert made.true_strength * 100 == pytest.approx(43.40, abs=0.006)
    assert made.solids_free_strength * 100 == pytest.approx(44.15, abs=0.006)
    assert made.apparent_strength is not None
    assert made.apparent_strength * 100 == pytest.approx(37.13, abs=0.006)


def test_fresh_fruit_waters_the_spirit_down() -> None:
    # The design's worked figure: 120 g at 85 % water in 600 mL of 50 % ends at 42.87 %.
    made = liquor([Solid(120, 0.85, 0.25, fresh=True)], [Pour(600, 0.50)])
    assert made.solids_free_strength * 100 == pytest.approx(42.87, abs=0.006)


@pytest.mark.parametrize("spirit", [0.949, 0.96])
def test_lemon_tincture_ends_inside_the_published_window(spirit: float) -> None:
    # Published: USP 35 Lemon Tincture, 500 g of peel in 900 mL of alcohol, found to be 62 to 72 %.
    # Peel has 81.6 % water (USDA SR26); the product is diluted by nothing else.
    made = liquor([Solid(500, 0.816, 0.0, fresh=True)], [Pour(900, spirit)])
    assert 0.62 <= made.solids_free_strength <= 0.72


@pytest.mark.parametrize("true", [0.40, 0.45, 0.50])
@pytest.mark.parametrize("solids_g_per_l", [4.0, 5.0, 6.0])
def test_solids_hide_about_what_the_gauging_rule_says(true: float, solids_g_per_l: float) -> None:
    # Published: 27 CFR 30.32, 80 to 100 proof, 4 to 6 g/L: each g/L hides 0.4 proof, 0.2 % vol.
    # The rule is one slope for all three strengths; it is met at 45 %, and to 0.22 at the ends.
    plain = apparent_from_true(true, 20.0, 0.0)
    apparent = apparent_from_true(true, 20.0, solids_g_per_l / 1000)
    assert plain is not None
    assert apparent is not None
    assert (plain - apparent) * 100 == pytest.approx(0.2 * solids_g_per_l, abs=0.22)


@given(solids, pours)
def test_mass_in_is_mass_in_the_jar(charged: list[Solid], poured: list[Pour]) -> None:
    made = liquor(charged, poured)
    poured_g = sum(alcohol.mass_g(p.volume_ml, p.strength, p.temperature_c) for p in poured)
    undissolved_g = sum(s.mass_g * (1 - s.moisture) * (1 - s.soluble) for s in charged)
    charged_g = sum(s.mass_g for s in charged)
    assert made.mass_g + undissolved_g == pytest.approx(poured_g + charged_g)


@given(pours)
def test_without_solids_a_jar_is_a_blend(poured: list[Pour]) -> None:
    at_20 = [
        (alcohol.volume_at_20_ml(p.volume_ml, p.strength, p.temperature_c), p.strength)
        for p in poured
    ]
    made, plain = liquor([], poured), alcohol.blend(at_20)
    assert made.volume_ml == pytest.approx(plain.total_ml)
    assert made.true_strength == pytest.approx(plain.strength, abs=1e-9)
    assert made.solids_free_strength == pytest.approx(plain.strength, abs=1e-9)


def test_solids_never_raise_what_a_hydrometer_reads() -> None:
    made = liquor([Solid(60, 0.1, 0.3)], [Pour(300, 0.5)])
    assert made.apparent_strength is not None
    assert made.apparent_strength < made.true_strength < made.solids_free_strength


def test_a_syrup_has_no_hydrometer_reading() -> None:
    made = liquor([Solid(100, 0.0, 1.0)], [Pour(100, 0.2)])
    assert made.density_g_ml > 1.0
    assert made.apparent_strength is None


def test_the_liquors_own_reading_leads_back_to_its_true_strength() -> None:
    made = liquor([Solid(58.07, 0.11, 0.18)], [Pour(326.66, 0.45)])
    assert made.apparent_strength is not None
    true = true_from_apparent(made.apparent_strength, 20.0, made.dissolved_g / made.volume_ml)
    assert true == pytest.approx(made.true_strength, abs=1e-9)


@given(st.floats(0.25, 0.8), st.floats(0.0, 40.0), st.floats(0.0, 0.05))
def test_true_and_apparent_convert_both_ways(
    true: float, temperature_c: float, dissolved_g_per_ml: float
) -> None:
    apparent = apparent_from_true(true, temperature_c, dissolved_g_per_ml)
    assume(apparent is not None)  # the densest of them show nothing
    back = true_from_apparent(apparent, temperature_c, dissolved_g_per_ml)
    assert back == pytest.approx(true, abs=1e-9)


def test_without_solids_a_warm_reading_is_corrected_as_for_plain_spirit() -> None:
    # 50 read at 10 °C is 53.7 % vol: published table, quoted second-hand.
    assert true_from_apparent(0.50, 10.0, 0.0) * 100 == pytest.approx(53.7, abs=0.1)


def test_a_reading_no_such_liquor_shows_is_refused() -> None:
    with pytest.raises(OutOfRange, match="hydrometer reading"):
        true_from_apparent(0.99, 20.0, 0.2)


def test_solids_that_fill_the_whole_millilitre_are_refused() -> None:
    with pytest.raises(OutOfRange, match="dissolved solids"):
        true_from_apparent(0.3, 20.0, 2.0)


def test_undissolved_solids_take_room_in_the_jar() -> None:
    made = liquor([Solid(15, 0.0, 0.0)], [Pour(100, 0.5)])
    assert fill_ml([Solid(15, 0.0, 0.0)], made) == pytest.approx(110.0)  # 15 g at 1.5 g/mL


@pytest.mark.parametrize("bad", [-0.1, 1.1, nan, inf])
@pytest.mark.parametrize(
    ("quantity", "make"),
    [
        ("moisture", lambda bad: Solid(10, bad, 0.2)),
        ("soluble part", lambda bad: Solid(10, 0.1, bad)),
        ("strength", lambda bad: Pour(100, bad)),
    ],
)
def test_a_share_beyond_the_whole_is_refused_by_name(quantity: str, make, bad: float) -> None:
    with pytest.raises(OutOfRange) as caught:
        make(bad)
    assert caught.value.quantity == quantity


@pytest.mark.parametrize("bad", [-1.0, nan, inf])
@pytest.mark.parametrize(
    ("quantity", "make"),
    [("mass", lambda bad: Solid(bad, 0.1, 0.2)), ("volume", lambda bad: Pour(bad, 0.4))],
)
def test_an_amount_that_is_none_is_refused_by_name(quantity: str, make, bad: float) -> None:
    with pytest.raises(OutOfRange) as caught:
        make(bad)
    assert caught.value.quantity == quantity


def test_a_jar_without_spirit_or_water_is_refused() -> None:
    with pytest.raises(NothingWeighed):
        liquor([Solid(10, 0.9, 0.1, fresh=True)], [])
