"""Sums on the command line, against published rows of tests/reference."""

from __future__ import annotations

import pytest

from tests.cli.running import done, value


def test_dilute_names_what_it_says(tmp_path):
    words = ("dilute", "--volume", "1L", "--from", "96%", "--to", "40%")
    assert list(value(tmp_path, *words)) == [
        "spirit_ml", "spirit_g", "water_ml", "water_g", "total_ml", "contraction_ml"
    ]  # fmt: skip


def test_dilute_takes_the_published_amount_of_water(tmp_path):
    # Published: Gay-Lussac's table at 15 °C, 100 of 96 % to 40 % takes 147.22; its strengths are at
    # 15 °C too, which moves them by less than 0.1 %.
    words = ("dilute", "--volume", "100ml", "--from", "96%", "--to", "40%", "--temperature", "15C")
    assert value(tmp_path, *words)["water_ml"] == pytest.approx(147.22, rel=0.005)


def test_dilute_says_what_makes_a_wanted_volume(tmp_path):
    # Published: USSR pharmacopoeia XI, table 4: 1000 mL of 55 % at 20 °C take 578.9 mL of 95 % and
    # 451 mL of water; dilution_checks.csv allows 0.8 mL.
    words = ("dilute", "--want", "1L", "--from", "95%", "--to", "55%")
    found = value(tmp_path, *words)
    assert found["spirit_ml"] == pytest.approx(578.95, abs=0.1)
    assert found["water_ml"] == pytest.approx(451, abs=0.8)


def test_blend_names_what_it_says(tmp_path):
    words = ("blend", "300ml", "40%", "200ml", "96%")
    assert list(value(tmp_path, *words)) == ["total_ml", "strength"]


def test_blend_shrinks_as_published(tmp_path):
    # Published: USP 29, Diluted Alcohol: 500 mL of 95 % and 500 mL of water fill about 970 mL at
    # 25 °C.
    words = ("blend", "500ml", "95%", "500ml", "0%", "--temperature", "25C")
    assert value(tmp_path, *words)["total_ml"] == pytest.approx(970, abs=2)


def test_density_is_that_of_a_separate_evaluation(tmp_path):
    # tests/reference/density_checks.csv: OIML R 22 evaluated apart, 40 % by volume at 30 °C.
    found = value(tmp_path, "density", "--strength", "40%", "--temperature", "30C")
    assert list(found) == ["density_kg_m3", "mass_fraction"]
    assert found["density_kg_m3"] == pytest.approx(941.1901, abs=0.005)


def test_density_takes_a_mass_fraction_in_place_of_a_strength(tmp_path):
    # tests/reference/density_checks.csv: printed validation value, 50 % by mass at 20 °C.
    found = value(tmp_path, "density", "--mass-fraction", "0.5")
    assert list(found) == ["density_kg_m3", "mass_fraction"]
    assert found["density_kg_m3"] == pytest.approx(913.770595, abs=1e-4)


def test_a_reading_is_turned_into_strength_and_mass_fraction(tmp_path):
    # The same printed value in g/mL, read backwards.
    found = value(tmp_path, "density", "--reading", "0.913770595", "--temperature", "20C")
    assert list(found) == ["strength", "mass_fraction"]
    assert found["mass_fraction"] == pytest.approx(0.5, abs=1e-6)


def test_a_reading_is_told_apart_by_its_temperature(tmp_path):
    # tests/reference/density_checks.csv: OIML R 22 evaluated apart, 50 % by volume at 15 °C.
    found = value(tmp_path, "density", "--reading", "0.9338856", "--temperature", "59F")
    assert found["strength"] == pytest.approx(0.5, abs=1e-5)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("dilute", "--volume", "8oz", "--from", "190proof", "--to", "40%"), "8 oz → 236.6 mL"),
        (("blend", "1cup", "40%", "200ml", "0%"), "1 cup → 236.6 mL"),
        (("density", "--reading", "0.9352"), "0.93520 g/mL at 20 °C"),
    ],
)
def test_people_are_told_what_was_understood(tmp_path, words, said):
    assert said in done(tmp_path, *words)
