"""Solvents made on the spot, against published dilution tables."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain.alcohol import mass_fraction_of, mass_g, volume_at_20_ml
from steepboard.domain.solvent import made_from
from steepboard.errors import OutOfRange, TooStrong
from tests.domain.published import at_20, rows

BY_VOLUME = [
    row
    for row in rows("dilution_checks")
    if row["target_abv_percent"] == "55" and row["unit"] in ("volume", "mL")
]


@pytest.mark.parametrize(
    "row", BY_VOLUME, ids=lambda r: f"{r['initial_abv_percent']} at {r['temperature_c']}"
)
def test_water_for_55_percent_is_that_of_the_published_tables(row: dict[str, str]) -> None:
    # Published: Gay-Lussac's table at 15 °C and table 4 of the USSR pharmacopoeia at 20 °C, each
    # with its own tolerance; strengths are at the temperature of the row.
    at_c, spirit_ml = float(row["temperature_c"]), float(row["initial_amount"])
    spirit, target = (
        at_20(float(row[name]), at_c) for name in ("initial_abv_percent", "target_abv_percent")
    )
    made = made_from(spirit, target, 500.0, at_c)
    published = float(row["water_to_add"]) / spirit_ml
    tolerance = float(row["tolerance_on_water"]) / spirit_ml
    assert made.water_ml / made.spirit_ml == pytest.approx(published, abs=tolerance)


def test_96_percent_and_water_to_55_percent_as_worked_by_hand() -> None:
    # Published, OIML R 22 tables at 20 °C: 96 % is 93.84 % by mass at 0.80742 g/mL, 55 % is 47.19 %
    # by mass at 0.91984 g/mL; water 0.99820 g/mL. For 500 mL: 459.92 g, of them 217.03 g ethanol,
    # so 217.03/0.9384 = 231.28 g or 286.4 mL of spirit, and 228.64 g or 229.1 mL of water.
    made = made_from(0.96, 0.55, 500.0)
    assert made.spirit_g == pytest.approx(231.28, abs=0.15)
    assert made.spirit_ml == pytest.approx(286.4, abs=0.2)
    assert made.water_g == pytest.approx(228.64, abs=0.15)
    assert made.water_ml == pytest.approx(229.1, abs=0.2)
    assert made.total_ml == pytest.approx(500.0)
    assert made.contraction_ml == pytest.approx(286.4 + 229.1 - 500, abs=0.3)


@given(st.floats(0.5, 1.0), st.floats(0.05, 0.5), st.floats(1, 5000), st.floats(-10, 40))
def test_ethanol_and_mass_are_those_of_the_solvent_whatever_the_room(
    spirit: float, strength: float, volume_ml: float, room_c: float
) -> None:
    made = made_from(spirit, strength, volume_ml, room_c)
    total_g = mass_g(volume_ml, strength)
    assert made.spirit_g + made.water_g == pytest.approx(total_g)
    ethanol_g = made.spirit_g * mass_fraction_of(spirit)
    assert ethanol_g == pytest.approx(total_g * mass_fraction_of(strength))
    assert volume_at_20_ml(made.total_ml, strength, room_c) == pytest.approx(volume_ml)


def test_a_warm_room_takes_more_millilitres_and_the_same_grams() -> None:
    cool, warm = made_from(0.96, 0.55, 300.0, 10.0), made_from(0.96, 0.55, 300.0, 30.0)
    assert warm.spirit_ml > cool.spirit_ml
    assert warm.spirit_g == pytest.approx(cool.spirit_g)


def test_a_weaker_spirit_makes_no_stronger_solvent() -> None:
    with pytest.raises(TooStrong):
        made_from(0.40, 0.55, 300.0)


def test_a_room_beyond_the_formula_is_refused() -> None:
    with pytest.raises(OutOfRange, match="temperature"):
        made_from(0.96, 0.55, 300.0, 55.0)
