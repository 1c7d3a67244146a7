"""Straining on the command line: every reading, instruments, and the question asked once."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from steepboard.cli import straining as module
from steepboard.cli.main import steepboard
from tests.cli.running import done, refused, run, value
from tests.shelves import MORNING

CARAWAY = ("charge", "caraway", "40g", "300ml", "45%")
STRAIN = {
    "code", "state", "finding", "findings",
    "recovered_ml", "recovered_ml_u", "yield_fraction", "yield_fraction_u",
    "held_in_marc_ml", "held_in_marc_ml_u", "held_per_dry_g_ml", "held_per_dry_g_ml_u",
    "held_in_filter_ml", "held_in_filter_ml_u", "unaccounted_ml", "unaccounted_ml_u",
    "strength", "strength_u", "sediment_ml", "sediment_ml_u", "sampled_ml", "sampled_ml_u",
    "evaporated_ml", "evaporated_ml_u", "liquor_ml", "liquor_ml_u", "doubts",
    "rinse_ml", "rinse_ml_u", "hydrometer", "hydrometer_u", "hydrometer_g_ml", "hydrometer_g_ml_u",
    "residue_g_ml", "residue_g_ml_u", "undissolved_g", "undissolved_g_u", "result",
    "cautions", "doses", "expected",
}  # fmt: skip


@pytest.fixture
def home(tmp_path):
    done(tmp_path, *CARAWAY)
    return tmp_path


def test_every_reading_is_kept_with_unit_instrument_and_temperature(home):
    done(
        home, "strain", "CARA-01", "--drained", "219g", "--drained", "230ml", "--pressed", "28ml",
        "--filtered", "252ml", "--recovered", "250ml", "--marc", "86.2g on the kitchen scale",
        "--dry-marc", "33.7g", "--filter-before", "2.1g", "--filter-after", "6.3g",
        "--sediment", "2ml", "--sampled", "0ml", "--gross-charged", "812g", "--gross-before",
        "811g", "--hydrometer", "38% at 18C", "--dried", "10ml", "--residue", "0.25g", "--sure",
    )  # fmt: skip
    entry = value(home, "jar", "CARA-01")["diary"][-2]
    read = {one["measure"]: one for one in entry["readings"]}
    assert read["drained_mass"]["unit"] == "g"
    assert read["drained"]["instrument"] == "cylinder"
    assert read["marc"]["instrument"] == "kitchen_scale"
    assert read["dry_marc"]["instrument"] == "jeweller's_scale"
    assert (read["hydrometer"]["unit"], read["hydrometer"]["temperature_c"]) == ("fraction", 18)
    balance = value(home, "jar", "CARA-01")["balance"]
    assert balance["residue_g_ml"] == pytest.approx(0.025)
    assert balance["hydrometer_u"] > 0
    assert balance["undissolved_g"] == pytest.approx(33, abs=1)
    assert balance["result"]["bottle"].startswith("250.0 mL to bottle")


def test_more_out_of_a_fresh_plant_than_was_poured_says_whose_water_it_is(tmp_path):
    """250 g of fruit bring some 215 mL of water to 500 mL; the marc was not weighed."""
    done(tmp_path, "charge", "fresh apricot", "250g", "500ml", "60%", "--acknowledge")
    text = done(tmp_path, "strain", "APRI-01", "--recovered", "570ml")
    assert "114.0 % ± 0.2 % of what was poured, with the plant's own water" in text
    assert "for each dry gram" not in text, "what was not weighed has no measured figure"


def test_a_rinse_counts_as_poured(home):
    found = value(
        home, "strain", "CARA-01", "--recovered", "318ml", "--marc", "86g", "--wash", "60ml",
        "--wash-strength", "45%", "--washed-out", "60ml",
    )  # fmt: skip
    assert found["rinse_ml"] == pytest.approx(60)
    assert found["yield_fraction"] == pytest.approx(318 / 360)


def test_the_result_is_told_in_sentences(home):
    text = done(home, "strain", "CARA-01", "--recovered", "250ml", "--marc", "86g")
    for said in ("mL to bottle", "by calculation", "expected", "The solids kept", "More next time"):
        assert said in text


@pytest.mark.parametrize(("answer", "state"), [("y\n", "bottled"), ("n\n", "steeping")])
def test_on_a_terminal_it_asks_once_and_keeps_what_is_insisted_on(home, monkeypatch, answer, state):
    monkeypatch.setattr(module, "is_answered", lambda: True)
    words = ["--home", str(home), "--by", "KL", "strain", "CARA-01", "--recovered", "25ml"]
    result = CliRunner().invoke(steepboard, words, obj=lambda: MORNING, input=answer)
    assert "? Recovered: 25 mL lies outside" in result.stdout
    assert value(home, "jar", "CARA-01")["state"] == state


def test_a_program_is_told_to_say_that_it_is_sure(home):
    result = run(home, "strain", "CARA-01", "--recovered", "25ml", "--json")
    assert result.exit_code == 1
    assert "--sure" in result.stderr


def test_a_reading_that_cannot_be_read_is_a_wrong_call_with_an_example(home):
    said = refused(home, "strain", "CARA-01", "--marc", "86g on the abacus", code=2)
    assert "812 g on kitchen" in said


def test_strain_names_every_figure_and_its_uncertainty(tmp_path):
    done(tmp_path, *CARAWAY)
    found = value(
        tmp_path, "strain", "CARA-01", "--recovered", "250ml", "--marc", "86g",
        "--filter-before", "2.1g", "--filter-after", "6.3g",
    )  # fmt: skip
    assert set(found) == STRAIN
    assert (found["sediment_ml"], found["evaporated_ml_u"], found["doubts"]) == (None, None, [])
    assert 290 < found["liquor_ml"] < 320  # 300 mL, plant water and dissolved solids: by hand
    assert (found["code"], found["state"]) == ("CARA-01", "bottled")
    assert found["finding"] in ("closes", "missing", "more_out_than_in")
    assert found["yield_fraction"] == pytest.approx(250 / 300)  # recovered over poured
    # GUM F.2.2.1: a step of 2 mL has u = 2/√12.
    assert found["recovered_ml_u"] == pytest.approx(2 / 12**0.5)


def test_a_single_reading_is_enough_and_the_rest_is_said_to_be_usual(tmp_path):
    done(tmp_path, *CARAWAY)
    text = done(tmp_path, "strain", "CARA-01", "--recovered", "240ml")
    assert "not measured" in text
    assert "estimated from what is usual" in text
    assert value(tmp_path, "strain", "CARA-01")["finding"] == "only_estimated"


def test_a_strain_without_readings_leaves_the_jar_to_settle(tmp_path):
    done(tmp_path, *CARAWAY)
    found = value(tmp_path, "strain", "CARA-01", "--separation", "drip")
    assert (found["state"], found["finding"], found["recovered_ml"]) == ("settling", None, None)
    assert set(found) == STRAIN
    assert "drip" not in refused(tmp_path, "strain", "CARA-01", "--separation", "hand", code=1)
    later = value(tmp_path, "strain", "CARA-01", "--recovered-mass", "236g")
    assert later["state"] == "bottled"
    assert [e["kind"] for e in value(tmp_path, "jar", "CARA-01")["diary"]] == [
        "charge", "strain", "reading", "bottle",
    ]  # fmt: skip


def test_a_reading_far_from_what_was_to_be_expected_is_asked_about_and_kept(tmp_path):
    done(tmp_path, *CARAWAY)
    asked = refused(tmp_path, "strain", "CARA-01", "--recovered", "25ml", code=1)
    assert asked.startswith("Recovered: 25 mL lies outside")
    assert asked.endswith("Say --sure to keep what you read.")
    assert value(tmp_path, "jar", "CARA-01")["state"] == "steeping"
    assert "? Recovered: 25 mL lies outside" in done(
        tmp_path, "strain", "CARA-01", "--recovered", "25ml", "--sure"
    )
    (doubt,) = value(tmp_path, "strain", "CARA-01", "--recovered", "24ml", "--sure")["doubts"]
    assert doubt.startswith("Recovered: 24 mL lies outside")
    assert value(tmp_path, "strain", "CARA-01")["recovered_ml"] == pytest.approx(24)


def test_a_strain_names_the_cautions_of_the_material(tmp_path):
    done(tmp_path, "charge", "quassia", "8g", "100ml", "45%", "--acknowledge")
    text = done(tmp_path, "strain", "QUAS-01", "--recovered", "80ml")
    (line,) = [line for line in text.splitlines() if line.startswith("Mind: ")]
    cautions = value(tmp_path, "jar", "QUAS-01")["cautions"]
    assert cautions[0]["title"] in line


def test_before_what_came_out_is_read_it_says_what_to_expect(home):
    """40 g of caraway and 300 mL: 40 x 0.9 x 0.89 = 32 g stay solid, and hold 1.3 mL to 36 g each.

    The 47 mL weigh some 44 g, so the marc is likely near 76 g; the jar brings some 250 mL.
    """
    text = done(home, "strain", "CARA-01", "--why")
    assert re.search(r"Eight times in ten, expect:\n", text)
    low, high = map(float, re.search(r"\n *marc +(\d+) to (\d+) g", text).groups())
    assert (low + high) / 2 == pytest.approx(76, abs=2)
    assert "expected marc: " in text
    rows = {one["measure"]: one for one in value(home, "strain", "CARA-01")["expected"]}
    assert rows["marc"]["unit"] == "g"
    assert rows["marc"]["low"] == pytest.approx(low, abs=0.5)
    assert rows["recovered"]["low"] < 250 < rows["recovered"]["high"]
    after = value(home, "strain", "CARA-01", "--recovered", "250ml")
    assert after["expected"] == []
