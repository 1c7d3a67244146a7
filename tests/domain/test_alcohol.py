from __future__ import annotations

from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain import alcohol
from steepboard.errors import NothingWeighed, OutOfRange, SteepboardError, TooStrong

strengths = st.floats(0.0, 1.0)
temperatures = st.floats(-20.0, 40.0)
volumes = st.floats(1.0, 10_000.0)

Parts = list[tuple[float, float]]
parts_shuffled = st.lists(st.tuples(volumes, strengths), min_size=2, max_size=5).flatmap(
    lambda parts: st.tuples(st.just(parts), st.permutations(parts))
)


@pytest.mark.parametrize("mass_fraction", [0.2, 0.3, 0.4, 0.5, 0.6])
@pytest.mark.parametrize("temperature_c", [-10.0, 0.0, 10.0, 20.0, 30.0, 40.0])
def test_density_agrees_with_coolprop_on_the_mixture(
    mass_fraction: float, temperature_c: float
) -> None:
    from CoolProp.CoolProp import PropsSI

    fluid = f"INCOMP::MEA[{mass_fraction}]"
    theirs = PropsSI("D", "T", temperature_c + 273.15, "P", 101325, fluid)
    # Melinder's own fit is good to about 1 kg/m³ here, and worse towards −20 °C.
    assert alcohol.density_kg_m3(mass_fraction, temperature_c) == pytest.approx(theirs, abs=1.0)


@pytest.mark.parametrize("temperature_c", [1.0, 5.0, 10.0, 20.0, 30.0, 40.0])
@pytest.mark.parametrize(("fluid", "mass_fraction"), [("Ethanol", 1.0), ("Water", 0.0)])
def test_density_agrees_with_coolprop_on_the_pure_liquids(
    fluid: str, mass_fraction: float, temperature_c: float
) -> None:
    from CoolProp.CoolProp import PropsSI

    theirs = PropsSI("D", "T", temperature_c + 273.15, "P", 101325, fluid)
    # 0.3: the equation of state of ethanol departs from OIML R 22 by up to 0.22 kg/m³.
    assert alcohol.density_kg_m3(mass_fraction, temperature_c) == pytest.approx(theirs, abs=0.3)


@pytest.mark.parametrize(
    # Percent by volume at 20 °C against percent by mass. Published: OIML R 22 tables.
    ("by_volume", "by_mass"),
    [(40, 33.30), (50, 42.43), (60, 52.09), (70, 62.39), (80, 73.48), (96, 93.84)],
)
def test_percent_by_volume_is_the_published_percent_by_mass(
    by_volume: float, by_mass: float
) -> None:
    assert alcohol.mass_fraction_of(by_volume / 100) * 100 == pytest.approx(by_mass, abs=0.006)


@pytest.mark.parametrize(
    # US proof against percent by volume at 20 °C, worked from the 60 °F scale in another program.
    ("proof", "percent"),
    [(0, 0.0), (80, 40.07), (100, 50.06), (151, 75.54), (190, 95.01), (200, 100.0)],
)
def test_proof_is_converted_from_60_fahrenheit(proof: float, percent: float) -> None:
    assert alcohol.strength_from_proof(proof) * 100 == pytest.approx(percent, abs=0.006)


def test_the_ends_of_the_scale_are_exact() -> None:
    assert alcohol.mass_fraction_of(0.0) == 0.0
    assert alcohol.mass_fraction_of(1.0) == 1.0


@given(strengths, st.sampled_from([15.0, alcohol.PROOF_SCALE_C, 20.0]))
def test_strength_survives_the_way_through_mass_fraction(strength: float, scale_c: float) -> None:
    back = alcohol.strength_of(alcohol.mass_fraction_of(strength, scale_c), scale_c)
    assert back == pytest.approx(strength, abs=1e-12)


@given(st.floats(0.0, 1.0), temperatures)
def test_mass_fraction_survives_the_way_through_density(
    mass_fraction: float, temperature_c: float
) -> None:
    density = alcohol.density_kg_m3(mass_fraction, temperature_c)
    back = alcohol.mass_fraction_at_density(density, temperature_c)
    # Densities agree; below 4 °C a trace of ethanol hardly moves them, so the fraction is vaguer.
    assert alcohol.density_kg_m3(back, temperature_c) == pytest.approx(density, abs=1e-9)


@given(volumes, strengths, temperatures)
def test_volume_survives_the_way_through_mass(
    volume_ml: float, strength: float, temperature_c: float
) -> None:
    mass_g = alcohol.mass_g(volume_ml, strength, temperature_c)
    assert alcohol.volume_ml(mass_g, strength, temperature_c) == pytest.approx(volume_ml)


def test_pure_water_fills_what_its_mass_says() -> None:
    # Density of water at 20 °C 998.2 kg/m³, published in any table.
    assert alcohol.mass_g(1000.0, 0.0) == pytest.approx(998.2, abs=0.01)


@given(volumes, st.floats(0.05, 1.0), st.floats(0.05, 1.0), temperatures)
def test_diluting_keeps_the_ethanol_and_adds_the_masses(
    volume_ml: float, one: float, other: float, temperature_c: float
) -> None:
    strength, target = max(one, other), min(one, other)
    made = alcohol.dilute(volume_ml, strength, target, temperature_c)
    before_g = alcohol.mass_g(volume_ml, strength, temperature_c)
    after_g = alcohol.mass_g(made.total_ml, target, temperature_c)
    assert after_g == pytest.approx(before_g + made.water_g)
    pure_ml_before = alcohol.volume_at_20_ml(volume_ml, strength, temperature_c) * strength
    pure_ml_after = alcohol.volume_at_20_ml(made.total_ml, target, temperature_c) * target
    assert pure_ml_after == pytest.approx(pure_ml_before)


@given(volumes, st.floats(0.05, 1.0), st.floats(0.05, 1.0), temperatures)
def test_taking_the_water_out_again_gives_the_spirit_back(
    volume_ml: float, one: float, other: float, temperature_c: float
) -> None:
    strength, target = max(one, other), min(one, other)
    made = alcohol.dilute(volume_ml, strength, target, temperature_c)
    spirit_g = alcohol.mass_g(made.total_ml, target, temperature_c) - made.water_g
    ethanol_g = (spirit_g + made.water_g) * alcohol.mass_fraction_of(target)
    assert alcohol.strength_of(min(1.0, ethanol_g / spirit_g)) == pytest.approx(strength)
    assert alcohol.volume_ml(spirit_g, strength, temperature_c) == pytest.approx(volume_ml)


@given(parts_shuffled)
def test_a_blend_does_not_depend_on_the_order(orders: tuple[Parts, Parts]) -> None:
    one, other = (alcohol.blend(parts) for parts in orders)
    assert other.total_ml == pytest.approx(one.total_ml)
    assert other.strength == pytest.approx(one.strength)


@given(st.lists(st.tuples(volumes, strengths), min_size=3, max_size=3))
def test_blending_in_two_steps_is_blending_at_once(parts: list[tuple[float, float]]) -> None:
    first = alcohol.blend(parts[:2])
    twice = alcohol.blend([(first.total_ml, first.strength), parts[2]])
    assert twice.total_ml == pytest.approx(alcohol.blend(parts).total_ml)


@given(volumes, st.floats(0.05, 1.0), st.floats(0.05, 1.0), temperatures)
def test_a_blend_with_the_water_of_a_dilution_is_the_dilution(
    volume_ml: float, one: float, other: float, temperature_c: float
) -> None:
    strength, target = max(one, other), min(one, other)
    made = alcohol.dilute(volume_ml, strength, target, temperature_c)
    blended = alcohol.blend([(volume_ml, strength), (made.water_ml, 0.0)], temperature_c)
    assert blended.total_ml == pytest.approx(made.total_ml)
    assert blended.strength == pytest.approx(target)


# Weaker than 30 % there is no such law: by OIML R 22 blends swell whose weaker part is up to 18 %
# at 20 °C, or 22 % at −10 °C (measured here, by whole percents by volume).
@given(volumes, st.floats(0.30, 1.0), st.floats(0.30, 1.0), st.floats(15.0, 40.0))
def test_water_makes_spirit_above_30_percent_shrink_at_room_temperature(
    volume_ml: float, one: float, other: float, temperature_c: float
) -> None:
    made = alcohol.dilute(volume_ml, max(one, other), min(one, other), temperature_c)
    assert made.contraction_ml >= -1e-9 * volume_ml


@given(
    st.lists(st.tuples(volumes, st.floats(0.30, 1.0)), min_size=1, max_size=4),
    st.floats(-10.0, 40.0),
)
def test_spirits_above_30_percent_never_swell_on_blending(
    parts: list[tuple[float, float]], temperature_c: float
) -> None:
    made = alcohol.blend(parts, temperature_c)
    assert made.contraction_ml >= -1e-9 * made.total_ml


def test_weak_spirit_swells_with_water() -> None:
    # 50 mL at 25 % vol and 50 mL of water fill 100.14 mL: worked from OIML R 22 elsewhere.
    assert alcohol.blend([(50, 0.25), (50, 0.0)]).total_ml == pytest.approx(100.14, abs=0.005)


def test_a_cold_spirit_fills_less() -> None:
    # 40 % vol at 10 °C fills 0.68 % less than at 20 °C: worked from OIML R 22 elsewhere.
    assert alcohol.volume_at_20_ml(1000 * (1 - 0.0068), 0.40, 10.0) == pytest.approx(1000, abs=0.1)


@pytest.mark.parametrize("volume_ml", [250.0, 300.0, 333.3])
def test_a_volume_at_20_degrees_stays_to_the_last_digit(volume_ml):
    """A list would else tell 249.99999999999997 of what was typed as 250 mL."""
    told = {alcohol.volume_at_20_ml(volume_ml, s / 100, 20.0) for s in range(101)}
    assert told == {volume_ml}


@pytest.mark.parametrize("bad", [-0.01, 1.01, nan, inf, -inf])
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("strength", alcohol.mass_fraction_of),
        ("mass fraction", alcohol.density_kg_m3),
        ("strength", lambda bad: alcohol.mass_g(100, bad)),
        ("strength", lambda bad: alcohol.dilute(100, bad, 0.4)),
        ("target strength", lambda bad: alcohol.dilute(100, 0.96, bad)),
        ("strength", lambda bad: alcohol.blend([(100, 0.4), (100, bad)])),
        ("strength", alcohol.flash_point_c),
        ("hydrometer reading", lambda bad: alcohol.hydrometer_strength(bad, 20.0)),
    ],
)
def test_a_share_beyond_the_whole_is_refused_by_name(quantity: str, call, bad: float) -> None:
    with pytest.raises(OutOfRange) as caught:
        call(bad)
    assert caught.value.quantity == quantity
    assert "0 % to 100 %" in str(caught.value)


@pytest.mark.parametrize("bad", [-20.01, 40.01, nan, inf])
@pytest.mark.parametrize(
    "call",
    [
        lambda t: alcohol.density_kg_m3(0.5, t),
        lambda t: alcohol.dilute(100, 0.96, 0.4, t),
        lambda t: alcohol.blend([(100, 0.4)], t),
        lambda t: alcohol.mass_fraction_at_density(950, t),
        lambda t: alcohol.hydrometer_strength(0.5, t),
        lambda t: alcohol.volume_at_20_ml(100, 0.5, t),
    ],
)
def test_a_temperature_the_formula_does_not_cover_is_refused(call, bad: float) -> None:
    with pytest.raises(OutOfRange, match="−20 °C to 40 °C"):
        call(bad)


@pytest.mark.parametrize("bad", [-1.0, nan, inf])
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("volume", lambda bad: alcohol.dilute(bad, 0.96, 0.4)),
        ("volume", lambda bad: alcohol.blend([(bad, 0.4)])),
        ("mass", lambda bad: alcohol.volume_ml(bad, 0.4)),
        ("volume", lambda bad: alcohol.volume_at_20_ml(bad, 0.4, 10)),
    ],
)
def test_an_amount_that_is_none_is_refused_by_name(quantity: str, call, bad: float) -> None:
    with pytest.raises(OutOfRange) as caught:
        call(bad)
    assert caught.value.quantity == quantity


def test_a_target_above_the_spirit_is_refused_with_both_strengths() -> None:
    with pytest.raises(TooStrong, match=r"50 %.*40 %"):
        alcohol.dilute(100, 0.40, 0.50)


def test_no_water_makes_spirit_into_water() -> None:
    with pytest.raises(OutOfRange, match="target strength"):
        alcohol.dilute(100, 0.40, 0.0)


@pytest.mark.parametrize("parts", [[], [(0.0, 0.4)]])
def test_a_blend_of_nothing_is_refused(parts: list[tuple[float, float]]) -> None:
    with pytest.raises(NothingWeighed):
        alcohol.blend(parts)


@pytest.mark.parametrize("density", [700.0, 1001.0, nan])
def test_a_density_no_spirit_has_is_refused_with_the_range(density: float) -> None:
    with pytest.raises(OutOfRange, match=r"789\.24 to 998\.20"):
        alcohol.mass_fraction_at_density(density)


@pytest.mark.parametrize(("reading", "temperature_c"), [(0.0, 30.0), (1.0, 10.0)])
def test_a_hydrometer_reading_no_spirit_gives_is_refused_by_name(
    reading: float, temperature_c: float
) -> None:
    with pytest.raises(OutOfRange, match="hydrometer reading"):
        alcohol.hydrometer_strength(reading, temperature_c)


@pytest.mark.parametrize("proof", [-1.0, 201.0, nan])
def test_a_proof_beyond_200_is_refused(proof: float) -> None:
    with pytest.raises(SteepboardError, match="from 0 to 200"):
        alcohol.strength_from_proof(proof)


@pytest.mark.parametrize("target", [5e-324, 1e-14, 1e-7])
def test_water_in_all_but_name_is_no_target(target: float) -> None:
    with pytest.raises(OutOfRange, match="target strength"):
        alcohol.dilute(100, 0.4, target)


def test_a_vanishing_strength_is_water_and_a_monstrous_volume_is_refused() -> None:
    assert alcohol.mass_fraction_of(5e-324) == 0.0
    with pytest.raises(OutOfRange, match="volume"):
        alcohol.mass_g(1e308, 0.4)


def test_strengths_that_nearly_agree_are_told_apart() -> None:
    with pytest.raises(TooStrong, match=r"40\.04 % is above the spirit's 40 %"):
        alcohol.dilute(100, 0.40, 0.4004)
    with pytest.raises(OutOfRange, match=r"1\.0000001"):
        alcohol.mass_fraction_of(1.0000001)
