"""What to mind with a jar on the command line: cautions, dose sums, what was read."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from steepboard.catalogue.load import find
from steepboard.cli import demo
from tests.cli.running import done, refused, value

LAST = "Follow local law and licensed practice: both come before anything said here."
CHARGE = ("charge", "quassia", "8g", "100ml", "45%")
PLAN = ("plan", "--have", "8g", "--strength", "45%", "--ratio", "1:12.5", "--botanical", "quassia")
CAUTION = {"code", "title", "severity", "text", "figures", "authority", "obtained"}
DOSE = {"substance", "dose_ml_per_l", "mg_per_l", "plants", "limits"}
LIMIT = {
    "place", "drink", "limit", "unit", "label", "within", "most_dose_ml_per_l", "source",
    "obtained",
}  # fmt: skip


def test_a_caution_is_asked_for_and_the_diary_tells_who_read_it(tmp_path):
    asked = refused(tmp_path, *CHARGE, code=1)
    assert "Quassin" in asked
    assert "1.5 mg/kg" in asked
    done(tmp_path, "--by", "MB", *CHARGE, "--acknowledge")
    (line,) = (x for x in done(tmp_path, "jar", "QUAS-01").splitlines() if "having read" in x)
    assert "MB  having read: Quassin" in line
    assert "2026-03-02 08:00" in line
    (entry,) = value(tmp_path, "jar", "QUAS-01")["diary"]
    assert (entry["acknowledged"], entry["initials"]) == (["QUASSIN"], "MB")


@pytest.mark.parametrize("words", [PLAN, (*CHARGE, "--acknowledge"), (*PLAN, "--sheet")])
def test_plan_and_charge_tell_the_dose_and_end_with_whose_word_comes_first(tmp_path, words):
    lines = done(tmp_path, *words).splitlines()
    (told,) = (line for line in lines if line.startswith("!! Quassin: 20 mL in a litre of drink"))
    assert "EU, drinks with alcohol: at most 1.5 mg/kg, and this is too much" in told
    assert sum(line == LAST for line in lines) == 1
    # A list of published flash points has 24 °C at 50 % and 26 °C at 40 %.
    assert "Spirit burns: 45 % from about 25 °C" in "\n".join(lines)


def test_jar_and_strain_tell_cautions_too(tmp_path):
    done(tmp_path, *CHARGE, "--acknowledge")
    jar = done(tmp_path, "jar", "QUAS-01")
    assert "Mind: Do not warm open spirit. " in jar
    assert "!! Quassin: 20 mL" in jar
    assert jar.count(LAST) == 1
    strained = done(tmp_path, "strain", "QUAS-01", "--recovered", "80ml")
    assert "Mind: Quassin; " in strained
    assert strained.count(LAST) == 1


def test_programs_are_told_all_of_it(tmp_path):
    found = value(tmp_path, *PLAN)
    assert all(set(caution) == CAUTION for caution in found["cautions"])
    (made,) = found["doses"]
    assert set(made) == DOSE
    assert (made["substance"], made["dose_ml_per_l"]) == ("quassin", 20)
    # 8 g, 3 mg in each, 20 mL of what is bottled: 480 mg × mL.
    assert made["mg_per_l"] * found["expected_ml"] == pytest.approx(480)
    (limit,) = made["limits"]
    assert set(limit) == LIMIT
    assert (limit["limit"], limit["unit"], limit["within"]) == (1.5, "mg/kg", False)
    assert made["plants"][0]["mg_per_g"] == 3


def test_the_dose_is_a_setting(tmp_path):
    (tmp_path / "settings.toml").write_text("[arithmetic]\ndose_ml_per_l = 2.5\n")
    (made,) = value(tmp_path, *PLAN)["doses"]
    assert made["dose_ml_per_l"] == 2.5
    assert made["limits"][0]["within"]


def test_the_demo_has_no_plant_that_is_never_to_be_used():
    story = tomllib.loads(Path(demo.__file__).with_name("demo_shelf.toml").read_text("utf-8"))
    told = [name for jar in (*story["past"], *story["now"]) for name, _ in jar["botanicals"]]
    plants = [plant for name in told if (plant := find(name))]
    assert plants
    assert all(plant.use != "never" for plant in plants)


def test_what_is_told_of_a_botanical_ends_its_cautions_with_whose_word_comes_first(tmp_path):
    assert " ".join(done(tmp_path, "botanicals", "almond").split()).count(LAST) == 1


def test_each_answer_for_a_caution_ends_with_whose_word_comes_first(tmp_path):
    """Who asks of one caution alone reads it, too."""
    told = value(tmp_path, *PLAN, "--why")
    titles = {caution["title"] for caution in told["cautions"]}
    rules = [answer["rule"] for answer in told["why"] if answer["figure"] in titles]
    assert len(rules) == len(titles)
    assert all(rule.endswith(LAST) for rule in rules)


def test_the_list_of_bottles_ends_its_cautions_with_whose_word_comes_first(tmp_path):
    """And says nothing of it where no bottle has anything to mind."""
    for name, code in (("caraway", "CARA-01"), ("celery seed", "CELE-01")):
        done(tmp_path, "charge", name, "40g", "300ml", "45%", "--acknowledge")
        done(tmp_path, "strain", code, "--recovered", "240ml", "--sure")
    done(tmp_path, "bottle", "CARA-01", "100ml")
    assert LAST not in done(tmp_path, "bottles")
    done(tmp_path, "bottle", "CELE-01", "100ml")
    told = " ".join(done(tmp_path, "bottles").split())
    assert told.count(LAST) == 1
    assert "CELE-01 allergens: celery" in told


def test_who_is_asked_to_read_a_caution_is_told_whose_word_comes_first(tmp_path):
    told = refused(tmp_path, "charge", "liquorice", "40g", "300ml", "45%", code=1)
    assert LAST in told
