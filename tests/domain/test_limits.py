"""Dose sums against examples worked by hand, with the limits of the published table."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from steepboard.domain import limits
from steepboard.domain.findings import Severity
from steepboard.domain.limits import Limit, Share, dose_sum
from steepboard.errors import OutOfRange

TABLE = Path(__file__).parents[1] / "reference" / "limits.csv"


def tabled(substance: str, place: str, food: str, *, label: bool = False) -> Limit:
    """Return a limit in force as the published table has it; ppm is mg/kg."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        lines = [line for line in file if not line.startswith("#")]
    (row,) = (
        row
        for row in csv.DictReader(lines)
        if (row["substance"], row["jurisdiction"], row["food"]) == (substance, place, food)
        and row["status"] == "in force"
    )
    value = float(row["limit"]) if row["limit"] else None
    unit = "mg/L" if row["unit"].endswith("mg/L") else "mg/kg"
    return Limit(substance, place, food, value, unit, label, row["source"], row["obtained"])


ALKALOIDS = tabled("cinchona bark, total cinchona alkaloids", "US", "finished drink")
QUASSIN = tabled("quassin", "EU", "alcoholic drinks")
COUMARIN = tabled("coumarin", "EU", "alcoholic drinks")
TONKA = tabled("coumarin, tonka bean, tonka extract", "US", "food")
SULPHUR = tabled("sulphur dioxide and sulphites", "EU", "declare above", label=True)


def share(mass_g: float, mg_per_g: float | None, plant: str = "bark") -> Share:
    return Share(plant, mass_g, mg_per_g, "for the test")


def test_one_gram_of_bark_in_a_litre_of_drink_brings_its_alkaloids():
    # Published beside the caution: 1 g of bark at 6.5 % in 1 L of finished drink is 65 mg/L if all
    # is extracted. Here: 30 g into 250 mL bottled; the dose that holds 1 g is 250 / 30 mL.
    made = dose_sum("alkaloids", [share(30, 65)], 250, 250 / 30, [ALKALOIDS])
    assert made.mg_per_l == pytest.approx(65)
    # 83 mg/kg in a litre that weighs 0.93 kg is 77.19 mg; 30 × 65 / 250 = 7.8 mg in each mL;
    # 77.19 / 7.8 = 9.896 mL.
    (check,) = made.checks
    assert check.within
    assert check.most_ml_per_l == pytest.approx(9.896, abs=0.001)


def test_a_dose_over_the_limit_stops_and_says_which_dose_would_keep_it():
    # 20 g at 3 mg/g into 200 mL: 0.3 mg/mL. 20 mL of it: 6 mg. 1.5 mg/kg × 0.93 kg/L = 1.395 mg/L,
    # which 1.395 / 0.3 = 4.65 mL bring: told as 4.6, never as 4.7.
    made = dose_sum("quassin", [share(20, 3)], 200, 20, [QUASSIN])
    found = limits.finding(made)
    assert found.severity is Severity.STOP
    assert "20 mL in a litre of drink brings up to 6.0 mg" in found.text
    assert "and this is too much: only 4.6 mL in a litre would keep to it" in found.text


def test_a_dose_within_the_limit_says_how_far_it_goes():
    found = limits.finding(dose_sum("quassin", [share(20, 3)], 200, 2, [QUASSIN]))
    assert found.severity is Severity.NOTE
    assert "at most 1.5 mg/kg, kept with up to 4.6 mL in a litre" in found.text


def test_plants_of_one_jar_add_up():
    # 10 g at 4 mg/g and 5 g at 12 mg/g: 100 mg in 500 mL, 0.2 mg/mL; 10 mL bring 2 mg.
    made = dose_sum("quassin", [share(10, 4), share(5, 12)], 500, 10, [])
    assert made.mg_per_l == pytest.approx(2.0)
    assert "No limit is known here" in limits.finding(made).text


def test_what_holds_an_unknown_amount_is_named_and_never_called_safe():
    made = dose_sum("quassin", [share(20, 3), share(5, None, "another wood")], 200, 2, [QUASSIN])
    assert made.checks[0].within is None
    found = limits.finding(made)
    assert found.severity is Severity.WARN
    assert (
        "No figure for quassin in another wood is known here; have it measured or leave it out."
        in found.text
    )
    assert "kept" not in found.text


def test_what_is_known_may_pass_the_limit_whatever_is_not():
    made = dose_sum("quassin", [share(20, 3), share(5, None)], 200, 20, [QUASSIN])
    assert made.checks[0].within is False
    assert made.checks[0].most_ml_per_l is None
    assert limits.finding(made).severity is Severity.STOP


def test_nothing_known_gives_no_amount():
    made = dose_sum("quassin", [share(20, None)], 200, 20, [QUASSIN])
    assert made.mg_per_l is None
    assert limits.finding(made).text.startswith("Quassin: EU, alcoholic drinks: at most 1.5 mg/kg.")


def test_where_none_is_allowed_no_dose_is_within():
    made = dose_sum("coumarin", [share(1, None)], 200, 0.1, [TONKA, COUMARIN])
    assert [check.within for check in made.checks] == [False, None]
    found = limits.finding(made)
    assert found.severity is Severity.STOP
    assert "US, food: none is allowed." in found.text
    assert "EU, alcoholic drinks: no limit is set." in found.text


def test_where_no_place_set_a_figure_nothing_is_asked_for():
    found = limits.finding(dose_sum("coumarin", [share(1, None)], 200, 20, [COUMARIN]))
    assert found.severity is Severity.NOTE
    assert "No figure for coumarin in bark is known here." in found.text


def test_what_is_to_be_named_warns_but_does_not_stop():
    # 50 g at 0.5 mg/g in 250 mL: 0.1 mg/mL. 120 mL in a litre: 12 mg, over 10 mg/L.
    over = limits.finding(dose_sum("sulphur dioxide", [share(50, 0.5)], 250, 120, [SULPHUR]))
    under = limits.finding(dose_sum("sulphur dioxide", [share(50, 0.5)], 250, 100, [SULPHUR]))
    assert (over.severity, under.severity) == (Severity.WARN, Severity.NOTE)
    assert "to be named from 10 mg/L, reached: name it, or stay under 100 mL" in over.text


@pytest.mark.parametrize("bottled_ml", [0.0, -1.0, float("nan"), float("inf")])
def test_a_sum_needs_something_bottled(bottled_ml):
    with pytest.raises(OutOfRange, match="bottled volume"):
        dose_sum("quassin", [share(20, 3)], bottled_ml, 20, [QUASSIN])


@pytest.mark.parametrize(("mass_g", "mg_per_g"), [(-1, 3), (1, -3), (float("nan"), 3)])
def test_a_content_that_cannot_be_is_refused(mass_g, mg_per_g):
    with pytest.raises(OutOfRange, match="content"):
        dose_sum("quassin", [share(mass_g, mg_per_g)], 200, 20, [QUASSIN])


def test_a_litre_of_the_strongest_drink_is_as_light_as_published():
    # Published: OIML R 22 gives 930.14 kg/m³ for 50 % by volume at 20 °C.
    assert pytest.approx(0.93014, abs=0.0002) == limits.LIGHT_KG_PER_L
    assert limits.LIGHT_KG_PER_L <= 0.93014
