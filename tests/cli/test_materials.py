"""Botanicals and spirits by command."""

from __future__ import annotations

import pytest

from tests.cli.running import done, refused, value


def test_all_are_listed_and_searched(tmp_path):
    listed = done(tmp_path, "botanicals").splitlines()
    assert len(listed) == 119 + 29  # of the trade, and plants that kill
    assert sum("do not steep it" in line for line in listed) >= 29
    (row,) = value(tmp_path, "spirits", "navy strength gin")
    assert (row["id"], row["strength"]) == ("gin-57", 0.57)
    listed = done(tmp_path, "botanicals", "pepper")
    assert "Black pepper" in listed
    assert "Sichuan pepper" in listed
    assert {one["id"] for one in value(tmp_path, "botanicals", "artemisia")} == {
        "mugwort",
        "tarragon",
        "wormwood",
    }


@pytest.mark.parametrize("words", [("jiniper",), ("Juniperus communis",), ("juniper", "berry")])
def test_one_is_shown_with_every_value_and_its_source(tmp_path, words):
    text = done(tmp_path, "botanicals", *words)
    assert text.startswith("Juniper berries\n")
    for told in ("1:4 to 1:8", "2 to 12 days, usually 6", "Crush the berries"):
        assert told in text
    assert "- common practice: 1:10.4 of all drugs in an old compound" in text


def test_json_has_names_with_units_and_a_source_for_each_fact(tmp_path):
    known = value(tmp_path, "botanicals", "caraway")
    assert known["ratio_min_ml_per_g"] == 2
    assert known["usual_days"] == 7
    assert known["moisture"]["value"] == 0.0987
    assert "NDB 02005" in known["moisture"]["source"]
    assert all(fact["source"] for fact in known["facts"])


def test_ones_own_is_kept_used_and_forgotten(tmp_path):
    told = done(
        tmp_path, "botanicals", "add", "sweet", "gale", "--class", "leaf", "--latin", "Myrica gale",
        "--moisture", "11%", "--ratio", "1:6-1:12", "--days", "1-8", "--typical", "4",
        "--taste-from", "1", "--caution", "preg", "--prepare", "Crumble it.",
        "--also-called", "bog myrtle", "--part", "leaf", "--form", "rubbed", "--strength", "45-60%",
        "--heat", "2", "--bitterness", "0", "--allergen", "Walnuts", "--allergen", "celery",
        "--use", "with care", "--soft", "--when-fresh", "Dry it.", "--note", "From the bank.",
    )  # fmt: skip
    assert told.startswith("sweet gale is kept.\n")
    for line in (
        "part                    leaf, rubbed",
        "also called             bog myrtle",
        "ratio                   1:6 to 1:12, grams to mL",
        "spirit                  45 % to 60 % by volume",
        "heat                    clear (2 of 3)",
        "bitterness              none (0 of 3)",
        "allergens, EU           nuts (walnut), celery",
        "allergens, US           tree nuts (walnut)",
        "use                     with care",
        "fresh                   Dry it.",
        "note                    From the bank.",
    ):
        assert line in told
    known = value(tmp_path, "charge", "sweet", "gale", "40g", "300ml", "45%")
    assert known["strain_on"] == "2026-03-06"
    codes = {row["code"] for row in known["cautions"]}
    assert {"PREG", "PUNGENT", "ALLERGEN_EU", "ALLERGEN_US"} <= codes
    planned = done(tmp_path, "plan", "--have", "40g", "--strength", "45%", "--botanical", "gale")
    assert "Did you mean sweet gale?" in planned
    assert done(tmp_path, "botanicals", "forget", "sweet", "gale").startswith("Your sweet gale")
    assert "none of your own" in refused(tmp_path, "botanicals", "forget", "sweet gale", code=1)


def test_a_spirit_of_ones_own_is_kept_and_forgotten(tmp_path):
    row = value(tmp_path, "spirits", "add", "cellar", "brandy", "--strength", "54%")
    assert row == [
        {
            "id": "cellar-brandy",
            "name": "cellar brandy",
            "strength": 0.54,
            "note": "",
            "own": True,
            "source": "given by you",
        }
    ]
    assert "cellar brandy" in done(tmp_path, "spirits")
    assert value(tmp_path, "spirits", "forget", "cellar brandy") == {"forgotten": "cellar brandy"}


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("botanicals", "qzzk"), 1, "Nothing here is called “qzzk”."),
        (("spirits", "qzzk"), 1, "Nothing here is called “qzzk”."),
        (("botanicals", "add", "bog", "--ratio", "8-3"), 2, "the first is more than the second"),
        (("botanicals", "add", "bog", "--ratio", "many"), 2, "“many” is not a ratio"),
        (("botanicals", "add", "bog", "--days", "2 weeks"), 2, "not a number of days or hours"),
        (("botanicals", "add", "bog", "--typical", "soon"), 2, "does not begin with a number"),
        (("botanicals", "add", "bog", "--days", "2-5", "--typical", "9"), 1, "days max: 5 must"),
        (("botanicals", "add", "bog", "--heat", "4"), 2, "0<=x<=3"),
        (("botanicals", "add", "bog", "--allergen", "cellery"), 1, "Known are almond, barley, b"),
        (("botanicals", "add", "bog", "--caution", "c"), 1, "Known are CAFFEINE, CALAMUS, CAPS"),
        (("botanicals", "add", "bog", "--also-called", "juniper"), 1, "means Juniper berries"),
        (("botanicals", "add", "bog", "--caution", "PREGN"), 1, "The nearest is PREG."),
        (("botanicals", "add", "\u200b"), 2, "A name needs a letter."),
        (("spirits", "add", "meths", "--strength", "90%"), 1, "not for drinking"),
        (("spirits", "add", "cellar"), 2, "--strength"),
    ],
)
def test_what_cannot_be_done_is_told_in_a_line(tmp_path, words, code, told):
    assert told in refused(tmp_path, *words, code=code)


def test_a_file_that_cannot_be_used_is_told_with_its_place(tmp_path):
    (tmp_path / "catalogue").mkdir()
    path = tmp_path / "catalogue" / "botanicals.csv"
    path.write_text("id,days_typical\ncaraway,soon\n")
    told = refused(tmp_path, "botanicals", code=1)
    assert told.startswith(f"{path}, line 2, days_typical: “soon” must be a number from 0 to 400")
    assert str(path) in refused(tmp_path, "charge", "caraway", "40g", "300ml", "45%", code=1)


def test_a_charge_by_a_name_that_is_near_another_says_so(tmp_path):
    told = done(tmp_path, "charge", "jiniper", "40g", "300ml", "45%")
    assert "“jiniper” is not in the catalogue and goes by its kind: anything else." in told
    assert "Did you mean Juniper berries?" in told


@pytest.mark.parametrize(
    "words",
    [
        ("charge", "foxglove", "leaf", "40g", "300ml", "45%", "--acknowledge"),
        ("charge", "caraway", "40g", "300ml", "45%", "--and", "yew", "5g", "--acknowledge"),
        ("plan", "--have", "40g", "--strength", "45%", "--botanical", "monkshood root"),
        ("botanicals", "add", "granny's cap", "--latin", "Aconitum napellus"),
        ("botanicals", "add", "granny's cap", "--also-called", "wolfsbane"),
        ("botanicals", "add", "foxglove", "--use", "usual"),
    ],
)
def test_a_plant_that_kills_is_refused_whatever_is_acknowledged(tmp_path, words):
    told = refused(tmp_path, *words, code=1)
    assert "kills, and no amount of it belongs in a drink" in told
    assert value(tmp_path, "jars") == []


def test_a_name_that_nobody_knows_says_what_it_goes_by(tmp_path):
    told = done(tmp_path, "charge", "willow", "bark", "40g", "300ml", "45%")
    assert "“willow bark” is not in the catalogue and goes by its kind: dried bark, broken." in told
    unnamed = done(tmp_path, "plan", "--want", "250ml", "--strength", "45%")
    assert "goes by its kind" not in unnamed
