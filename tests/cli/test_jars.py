"""A jar from plan to loss, by command; the names that programs rely on are written out."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from steepboard.services import acts
from tests.cli.running import done, refused, run, value
from tests.shelves import MORNING, desk_at, order

CARAWAY = ("charge", "caraway", "40g", "300ml", "45%")
JAR = {
    "code", "name", "state", "strain_on", "planned_at", "charged_at", "strained_at", "bottled_at",
    "stir_every_days", "separation", "vessel_ml", "botanicals", "spirits",
}  # fmt: skip
DETAILS = {
    "botanical_g", "solvent_ml", "solvent_strength", "ratio", "house_ratio", "liquor_ml",
    "true_strength", "solids_free_strength", "apparent_strength", "expected_ml", "low_ml",
    "high_ml", "intensity", "findings", "cautions", "doses",
}  # fmt: skip
PLAN = {
    "botanical_g", "solvent_ml", "ratio", "liquor_ml", "true_strength", "solids_free_strength",
    "apparent_strength", "expected_ml", "low_ml", "high_ml", "binding", "botanicals", "pours",
    "rounding", "offers", "findings", "cautions", "doses",
}  # fmt: skip
DAY = timedelta(days=1)


@pytest.mark.parametrize(
    ("words", "strength", "name"),
    [
        (("300ml", "vodka"), 0.40, "Vodka, 40 %"),
        (("300ml", "white", "rum"), 0.40, "White rum, 40 %"),
        (("300ml", "cask", "strength", "whisky"), 0.57, "Whisky, cask strength, 57 %"),
        (("300ml", "--spirit", "gin"), 0.40, "gin"),
        (("300ml", "45%", "--spirit", "gin"), 0.45, "gin"),
        (("300ml", "water"), 0.0, "Water"),
    ],
)
def test_a_spirit_that_is_known_is_poured_with_its_strength(tmp_path, words, strength, name):
    (pour,) = value(tmp_path, "charge", "caraway", "40g", *words)["spirits"]
    assert (pour["strength"], pour["name"]) == (strength, name)


def test_plan_works_the_jar_of_the_design(tmp_path):
    """The worked figures of the planning equations, rounded as they were printed."""
    found = value(
        tmp_path, "plan", "--want", "250ml", "--strength", "45%", "--moisture", "11%",
        "--soluble", "18%", "--held", "1.6", "--kept", "6ml",
    )  # fmt: skip
    assert set(found) == PLAN
    assert found["botanical_g"] == pytest.approx(58.07, abs=0.005)
    assert found["solvent_ml"] == pytest.approx(326.66, abs=0.005)
    assert found["ratio"] == pytest.approx(5.625)
    assert found["liquor_ml"] == pytest.approx(338.70, abs=0.005)
    assert found["true_strength"] == pytest.approx(0.4340, abs=5e-5)
    assert found["solids_free_strength"] == pytest.approx(0.4415, abs=5e-5)
    assert found["apparent_strength"] == pytest.approx(0.3713, abs=5e-5)
    assert found["expected_ml"] == pytest.approx(250)
    assert found["low_ml"] < 250 < found["high_ml"]


def test_plan_goes_forwards_from_what_there_is(tmp_path):
    found = value(tmp_path, "plan", "--have", "40g", "--strength", "45%", "--ratio", "1:5")
    assert (found["botanical_g"], found["solvent_ml"]) == (pytest.approx(40), pytest.approx(200))
    text = done(tmp_path, "plan", "--have", "90g", "--jar", "300ml", "--strength", "45%")
    assert "The vessel sets the size." in text


def test_plan_fills_in_what_the_shelf_knows_and_says_where_it_comes_from(tmp_path):
    text = done(tmp_path, "plan", "--want", "250ml", "--strength", "45%", "--botanical", "quassia")
    assert "Quassia wood" in text
    assert "house setting" in text
    assert "Prepare: " in text
    assert "Mind: " in text


@pytest.mark.parametrize("command", ["charge", "plan"])
def test_the_help_says_that_cautions_are_acknowledged_without_a_code(tmp_path, command):
    """A code after it would be read as the strength, and the amounts before it as shifted."""
    assert "You read its cautions. Takes no code." in done(tmp_path, command, "--help")


def test_plan_charges_the_jar_once_its_cautions_are_acknowledged(tmp_path):
    words = ("plan", "--have", "8g", "--strength", "45%", "--botanical", "quassia", "--charge")
    assert "--acknowledge" in refused(tmp_path, *words, code=1)
    assert value(tmp_path, *words, "--acknowledge")["code"] == "QUAS-01"
    (jar,) = value(tmp_path, "jars")
    assert jar["botanicals"] == [{"name": "Quassia wood", "mass_g": 8}]


def test_four_answers_charge_a_jar(tmp_path):
    found = value(tmp_path, *CARAWAY)
    assert set(found) == JAR | DETAILS
    assert (found["code"], found["state"]) == ("CARA-01", "steeping")
    assert found["botanicals"] == [{"name": "Caraway seed", "mass_g": 40}]
    (poured,) = found["spirits"]
    assert poured == {
        "name": "spirit", "volume_ml": 300, "strength": 0.45, "temperature_c": 20,
    }  # fmt: skip


def test_a_charge_tells_what_was_understood_and_the_code_for_the_tape(tmp_path):
    text = done(tmp_path, "charge", "bitter", "orange", "peel", "1.5oz", "8oz", "120proof")
    assert "Write BITT-01 on the jar" in text
    assert "1.5oz → 42.5 g" in text
    assert "8oz → 236.6 mL" in text
    assert "Mind" in text


def test_a_charge_is_told_with_every_figure_that_was_typed(tmp_path):
    text = done(tmp_path, "charge", "caraway", "0.25g", "3.25ml", "45.25%")
    assert "Caraway seed, 0.25 g" in text
    assert "3.25 mL of 45.25 %" in text
    text = done(tmp_path, "plan", "--want", "250ml", "--strength", "45.25%")
    assert "of 45.25 %" in text


def test_what_is_said_of_a_botanical_is_said_of_the_first(tmp_path):
    words = ("charge", "juniper", "20g", "200ml", "45%", "--and", "fennel", "10g", "--acknowledge")
    done(tmp_path, *words, "--moisture", "31%", "--soluble", "17%", "--class", "fruit")
    sources = [row["figure"] for row in value(tmp_path, "jar", "JUNI-01")["sources"]]
    given = [figure for figure in sources if "31.0 %" in figure or "17.0 %" in figure]
    assert [figure.split(":")[0] for figure in given] == ["Juniper berries"] * 2


def test_a_plan_that_is_charged_says_what_was_charged_in_steps_of_scale_and_cylinder(tmp_path):
    words = ("plan", "--have", "40g", "--strength", "45%", "--botanical", "caraway", "--charge")
    found = value(tmp_path, *words)
    assert found["solvent_ml"] == pytest.approx(225.0)  # 40 g at 1:5.625
    assert (found["charged_botanical_g"], found["charged_solvent_ml"]) == (
        40.0,
        224.0,
    )  # 2 mL steps
    (jar,) = value(tmp_path, "jars")
    assert jar["spirits"][0]["volume_ml"] == found["charged_solvent_ml"]


def test_a_planned_jar_is_charged_by_its_code(tmp_path):
    acts.plan(desk_at(tmp_path), order("quassia", 8.0), MORNING)
    assert "--acknowledge" in refused(tmp_path, "charge", "QUAS-01", code=1)
    found = value(tmp_path, "charge", "quas-01", "--acknowledge", now=MORNING + 3 * DAY)
    assert (found["code"], found["state"]) == ("QUAS-01", "steeping")
    assert found["strain_on"] == "2026-03-19"  # 14 days from the charging, as planned


def test_several_botanicals_and_spirits_share_a_jar(tmp_path):
    found = value(
        tmp_path, "charge", "caraway", "30g", "200ml", "96%", "--and", "fennel", "8g",
        "--with", "150ml", "0%", "--spirit", "rye spirit", "--name", "Platform two",
        "--separation", "press", "--days", "9", "--stir-every", "2", "--jar", "500ml",
    )  # fmt: skip
    assert [line["name"] for line in found["botanicals"]] == ["Caraway seed", "Fennel seed"]
    assert [line["name"] for line in found["spirits"]] == ["rye spirit", "water"]
    assert found["code"] == "PLAT-01"
    assert found["separation"] == "pressed_hard"
    assert found["strain_on"] == "2026-03-11"
    assert (found["stir_every_days"], found["vessel_ml"]) == (2, 500)


def test_stirs_are_written_for_all_or_none_and_taken_back(tmp_path):
    done(tmp_path, *CARAWAY)
    done(tmp_path, *CARAWAY)
    refused(tmp_path, "stir", "CARA-01", "CARA-03", code=1)
    assert done(tmp_path, "stir", "cara-01", "CARA-02", "CARA-01").count("is stirred") == 2
    assert value(tmp_path, "undo") == {
        "code": "CARA-02", "undone": ["stir"], "at": "2026-03-02T08:00:00+00:00", "initials": "KL",
        "what": "",
    }  # fmt: skip
    assert "CARA-01" in done(tmp_path, "undo", "CARA-01")
    kinds = [entry["kind"] for entry in value(tmp_path, "jar", "CARA-01")["diary"]]
    assert kinds == ["charge", "stir", "undo"]


def test_today_lists_what_wants_a_hand_the_most_pressing_first(tmp_path):
    assert "steepboard charge" in done(tmp_path, "today")
    done(tmp_path, *CARAWAY, "--days", "2")
    done(tmp_path, "charge", "hops", "30g", "300ml", "45%", "--days", "9")
    assert "The next to strain is CARA-01" in done(tmp_path, "today")
    later = MORNING + 3 * DAY
    assert value(tmp_path, "today", now=later) == [
        {
            "hand": "strain_late", "code": "CARA-01", "name": "Caraway seed",
            "strain_on": "2026-03-04", "waiting_days": 1,
        },
        {
            "hand": "taste", "code": "HOPS-01", "name": "Hops",
            "strain_on": "2026-03-11", "waiting_days": 0,
        },
        {
            "hand": "stir", "code": "HOPS-01", "name": "Hops",
            "strain_on": "2026-03-11", "waiting_days": 0,
        },
    ]  # fmt: skip
    assert done(tmp_path, "today", now=later).splitlines()[1:] == [
        "  strain, 1 day late  CARA-01  Caraway seed",
        "  taste, stir         HOPS-01  Hops",
    ]


def test_today_and_jars_say_what_is_put_off_or_muted_and_until_when(tmp_path):
    done(tmp_path, *CARAWAY)
    done(tmp_path, "charge", "hops", "30g", "300ml", "45%", "--days", "9")
    tuesday = MORNING + timedelta(days=1, hours=2)  # 10:00, by UTC as everything here
    done(tmp_path, "later", "CARA-01", "1h", now=tuesday)
    done(tmp_path, "remind", "HOPS-01", "--mute", "6 Mar", now=tuesday)
    for command in ("today", "jars"):
        text = done(tmp_path, command, now=tuesday)
        assert "Caraway seed  put off until 11:00" in text
        assert "muted until Fri 6 Mar" in text
    assert "put off" not in done(tmp_path, "today", now=tuesday + DAY)


def test_a_long_name_is_folded_and_no_word_of_it_is_lost(tmp_path, monkeypatch):
    name = "Bitter orange peel of the second platform, Sunday"
    done(tmp_path, *CARAWAY, "--days", "3", "--name", name)
    code = value(tmp_path, "jars")[0]["code"]
    evening = MORNING + timedelta(days=2, hours=11)
    done(tmp_path, "later", code, "1h", now=evening)
    monkeypatch.setenv("COLUMNS", "80")
    rows = done(tmp_path, "today", now=evening).splitlines()[1:]
    assert code in rows[0]
    assert all(len(row) <= 80 for row in rows)
    words = " ".join(rows).split()
    assert sorted(words) == sorted(
        f"get ready to strain, taste, stir {code} {name} put off until 20:00".split()
    )


def test_week_lists_seven_days_and_no_more(tmp_path):
    done(tmp_path, *CARAWAY, "--days", "6")
    done(tmp_path, *CARAWAY, "--days", "8")
    found = value(tmp_path, "week")
    assert all(set(item) == {"day", "kind", "code", "name", "late_days"} for item in found)
    strains = [(item["day"], item["code"]) for item in found if item["kind"] == "strain"]
    assert strains == [("2026-03-08", "CARA-01")]
    assert "CARA-01" in done(tmp_path, "week")


def test_jars_lists_every_jar_with_its_state(tmp_path):
    done(tmp_path, *CARAWAY)
    done(tmp_path, *CARAWAY)
    done(tmp_path, "strain", "CARA-01", "--recovered", "240ml")
    assert [(j["code"], j["state"]) for j in value(tmp_path, "jars")] == [
        ("CARA-02", "steeping"),
        ("CARA-01", "bottled"),
    ]
    assert set(value(tmp_path, "jars")[0]) == JAR


def test_kinds_and_measures_have_no_spaces_for_programs(tmp_path):
    done(tmp_path, *CARAWAY, "--days", "6")
    kinds = {item["kind"] for item in value(tmp_path, "week")}
    assert kinds >= {"strain", "get_ready"}
    done(tmp_path, "strain", "CARA-01", "--recovered-mass", "240g")
    readings = value(tmp_path, "jar", "CARA-01")["diary"][1]["readings"]
    assert [reading["measure"] for reading in readings] == ["recovered_mass"]


def test_the_diary_says_where_to_a_steep_was_moved_and_what_was_taken_back(tmp_path):
    done(tmp_path, *CARAWAY, "--days", "6")
    acts.move(desk_at(tmp_path), "CARA-01", date(2026, 3, 12), "still thin", MORNING + DAY)
    told = done(tmp_path, "undo", now=MORNING + 2 * DAY)
    assert told == ("Taken back: CARA-01 strain day moved: still thin (Tue  3 Mar 2026, by KL).\n")
    _, moved, undone = value(tmp_path, "jar", "CARA-01")["diary"]
    assert (moved["kind"], moved["strain_on"], moved["undoes"]) == ("move", "2026-03-12", None)
    assert (undone["kind"], undone["strain_on"], undone["undoes"]) == ("undo", None, moved["act"])
    *_, moved, undone = done(tmp_path, "jar", "CARA-01").splitlines()
    assert moved.endswith("to Thu 12 Mar 2026; still thin; taken back")
    assert undone.endswith("move of 3 Mar 2026, KL")


def test_jar_shows_everything_of_one(tmp_path):
    done(tmp_path, *CARAWAY)
    done(tmp_path, "stir", "CARA-01")
    done(tmp_path, "undo")
    done(tmp_path, "strain", "CARA-01", "--recovered", "240ml")
    found = value(tmp_path, "jar", "CARA-01")
    assert set(found) == JAR | DETAILS | {"balance", "sources", "diary", "reminders", "put_off"}
    assert found["balance"]["recovered_ml"] == pytest.approx(240)
    text = done(tmp_path, "jar", "cara-01")
    for said in (
        "Where it went",
        "rule of thumb",
        "taken back",
        "recovered 240ml",
        "house setting",
    ):
        assert said in text


@pytest.mark.parametrize("by", ["botanical", "material", "spirit", "straining", "month"])
def test_losses_are_put_together_in_five_ways(tmp_path, by):
    assert "Nothing was strained" in done(tmp_path, "losses", "--by", by)
    for _ in range(2):
        done(tmp_path, *CARAWAY)
    done(tmp_path, "strain", "CARA-01", "--recovered", "240ml", "--marc", "86g")
    done(tmp_path, "strain", "CARA-02", "--recovered", "250ml")
    (group,) = value(tmp_path, "losses", "--by", by)
    assert set(group) == {
        "name", "jars", "poured_ml", "recovered_ml", "expected_ml", "yield_fraction",
        "marc_fraction", "filter_fraction", "unaccounted_fraction", "held_per_dry_g_ml",
        "as_expected_jars",
    }  # fmt: skip
    assert (group["jars"], group["poured_ml"], group["recovered_ml"]) == (2, 600, 490)
    assert group["name"] in done(tmp_path, "losses", "--by", by)


def test_losses_say_what_to_change(tmp_path):
    done(tmp_path, *CARAWAY)
    done(tmp_path, "strain", "CARA-01", "--recovered", "240ml", "--marc", "86g")
    assert "Most is lost in the marc (Caraway seed" in done(tmp_path, "losses")


HOSTILE = "[b]evil\x1b]0;gone\x07 \x9b2J\u202eright[/oops]"


def test_a_hostile_name_reaches_no_terminal(tmp_path):
    done(tmp_path, "charge", HOSTILE, "40g", "300ml", "45%", "--spirit", HOSTILE, "--days", "2")
    code = value(tmp_path, "jars")[0]["code"]
    done(tmp_path, "strain", code, "--recovered", "240ml")
    done(tmp_path, "charge", HOSTILE, "40g", "300ml", "45%", "--days", "2")
    calls = (
        ("today",), ("week",), ("jars",), ("jar", code), ("losses",), ("losses", "--by", "spirit"),
        ("plan", "--have", "40g", "--strength", "45%", "--botanical", HOSTILE), ("jars", "--json"),
        ("jar", HOSTILE), (HOSTILE,), ("charge", "a", HOSTILE, "300ml", "45%"),
    )  # fmt: skip
    for words in calls:
        result = run(tmp_path, *words, now=MORNING + 3 * DAY)
        lines = (result.stdout + result.stderr).splitlines()
        assert lines, words
        assert all(line.isprintable() for line in lines), words
