"""Cautions, limits and contents of the catalogue against the tables they were taken from."""

from __future__ import annotations

import csv
import re
from dataclasses import replace
from pathlib import Path

import pytest

from steepboard.catalogue.cautions import caution, gravest_first, of_plant, situation_cautions
from steepboard.catalogue.documents import document, rows
from steepboard.catalogue.limits import contents, limits, share
from steepboard.catalogue.load import all_botanicals, find
from steepboard.domain.alcohol import flash_point_c
from steepboard.errors import BadCatalogue

REFERENCE = Path(__file__).parents[1] / "reference"
CODES = tuple(document("cautions"))
OBTAINED = {
    *("published, read", "published, read second-hand", "published"),
    *("from memory", "common practice"),
}


def tabled(table: str) -> list[dict[str, str]]:
    with (REFERENCE / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def test_an_allergen_of_a_list_brings_the_caution_of_that_list():
    plain = find("caraway")
    for lists, told in (
        ({"allergens_eu": ("celery",)}, {"ALLERGEN_EU"}),
        ({"allergens_us": ("tree nuts (pine nut)",)}, {"ALLERGEN_US"}),
    ):
        found = {one.code for one in of_plant(replace(plain, **lists))}
        assert found - {one.code for one in of_plant(plain)} == told
    shipped = [one.code for one in of_plant(find("almond"))]
    assert sorted(shipped) == sorted(set(shipped))


@pytest.mark.parametrize("row", tabled("cautions"), ids=lambda row: row["code"])
def test_every_caution_of_the_table_is_here_and_as_grave(row):
    assert caution(row["code"]).severity == row["severity"].replace("info", "note")


@pytest.mark.parametrize("code", CODES)
def test_every_caution_says_what_who_and_how_it_came_here(code):
    found = caution(code)
    assert found.title
    assert found.text.endswith(".")
    assert found.authority
    assert found.obtained in OBTAINED


@pytest.mark.parametrize("code", CODES)
def test_what_stops_or_limits_is_asked_for_unless_it_holds_for_every_jar(code):
    general = document("cautions")[code].get("general", False)
    binding = caution(code).severity in ("stop", "limit") and not general
    assert caution(code).needs_acknowledging == binding


@pytest.mark.parametrize("code", [code for code in CODES if caution(code).substances])
def test_a_limited_substance_has_its_limits(code):
    # The genera of all rows that hold for some jars only.
    latins = ["Artemisia", "Mentha", "Acorus", "Sambucus", "Sassafras", "Dipteryx"]
    for substance in caution(code).substances:
        assert limits(substance, latins)


OURS = {  # names in the table that are told otherwise here
    "thujone (alpha and beta)": "thujone",
    "Artemisia (wormwood)": "thujone",
    "cinchona bark, total cinchona alkaloids": "cinchona alkaloids",
    "quinine": "cinchona alkaloids",
    "coumarin, tonka bean, tonka extract": "coumarin",
    "calamus, its oil or extract": "beta-asarone",
    "safrole, oil of sassafras": "safrole",
    "sulphur dioxide and sulphites": "sulphur dioxide",
    "elder-tree leaf": "hydrocyanic acid",
}
FOODS = re.compile("soft drinks|bakery|cereal|desserts|marzipan|stone fruit|soups|dairy|tinctures")
FIGURES = [
    row
    for row in tabled("limits")
    if not FOODS.search(row["food"])
    and (row["jurisdiction"], row["limit"]) not in (("US", ""), ("US", "thujone-free"))
    and row["substance"] != "cherry pits"  # of the flavouring, not of the drink
]


@pytest.mark.parametrize("row", FIGURES, ids=lambda row: f"{row['substance']}, {row['food']}")
def test_every_limit_of_the_table_for_drinks_with_alcohol_is_summed_for(row):
    substance = OURS.get(row["substance"], row["substance"])
    found = {
        (ours["place"], ours["limit"]) for ours in rows("limits") if ours["substance"] == substance
    }
    value = row["limit"].removesuffix(".0")
    assert (row["jurisdiction"], value) in found


def test_no_limit_is_invented():
    known = {
        (
            OURS.get(row["substance"], row["substance"]),
            row["jurisdiction"],
            row["limit"].removesuffix(".0"),
        )
        for row in tabled("limits")
    }
    ours = {(row["substance"], row["place"], row["limit"]) for row in rows("limits")}
    assert ours <= known


@pytest.mark.parametrize("name", ["limits", "contents"])
def test_every_figure_says_where_it_comes_from_and_how_it_came_here(name):
    for row in rows(name):
        assert row["source"]
        assert row["obtained"] in OBTAINED


@pytest.mark.parametrize(
    "row", rows("contents"), ids=lambda row: f"{row['substance']} {row['latin']}"
)
def test_a_content_is_a_part_of_a_gram(row):
    assert 0 < float(row["mg_per_g"]) < 1000


def test_the_alkaloids_reckoned_with_are_no_less_than_the_least_of_the_pharmacopoeia():
    (row,) = (row for row in tabled("extractives") if row["id"] == "cinchona alkaloids")
    found = share(contents(), "cinchona alkaloids", find("cinchona"), "cinchona", 1.0)
    assert found.mg_per_g >= 10 * float(row["low_pct"])  # percent to mg in a gram


def test_wormwood_may_bring_more_thujone_into_a_drink_than_sage():
    (made_with,) = limits("thujone", ["Artemisia absinthium"])[:1]
    (other,) = limits("thujone", ["Salvia officinalis"])[:1]
    assert (made_with.value, other.value) == (35, 10)


def test_what_a_plant_is_not_known_to_hold_has_no_figure():
    assert share(contents(), "thujone", find("caraway"), "caraway", 10.0).mg_per_g is None


@pytest.mark.parametrize("strength", [0.40, 0.70, 0.96])
def test_the_flash_point_is_told_for_the_spirit_that_is_poured(strength):
    # Published in the trade table of cautions: roughly 26, 17 and 13 to 14 °C.
    (found,) = (c for c in situation_cautions(strength, fresh=False) if c.code == "FLAM")
    told = int(re.search(r"from about (\d+) °C", found.title)[1])
    assert told == {0.40: 26, 0.70: 17, 0.96: 13}[strength]
    assert told == round(flash_point_c(strength))
    assert not found.figures, "the flash point of this spirit is all there is to tell"


def test_fresh_leaves_and_limited_substances_have_cautions_of_their_own():
    def codes(**situation):
        return {c.code for c in situation_cautions(0.4, fresh=True, **situation)}

    assert "FRESHSOFT" in codes(soft=True) - codes()
    assert codes(limited=True) - codes() == {"ESSOIL", "NOTADDED"}


@pytest.mark.parametrize("plant", [p for p in all_botanicals() if (p.pungency or 0) >= 2])
def test_hot_material_is_told_as_hot(plant):
    assert {"PUNGENT", "CAPSAICIN"} & {c.code for c in of_plant(plant)}


def test_the_gravest_come_first_and_keep_their_order():
    found = gravest_first(map(caution, ["DAISY", "FURANO", "HCN", "QUASSIN", "PREG", "MISID"]))
    assert [c.code for c in found] == ["HCN", "MISID", "QUASSIN", "FURANO", "PREG", "DAISY"]


OWN = "substance,latin,mg_per_g,source,obtained\n"


def own_file(folder, text):
    (folder / "contents.csv").write_text(text, encoding="utf-8")
    return folder


def test_what_was_measured_for_you_counts_before_what_is_shipped(tmp_path):
    text = f"# ours\n\n{OWN}thujone,Artemisia,1.5,laboratory report 12,measured here\n"
    known = contents(own_file(tmp_path, text))
    for name in ("wormwood", "mugwort"):
        found = share(known, "thujone", find(name), name, 10.0)
        assert (found.mg_per_g, found.source) == (1.5, "measured here: laboratory report 12")
    assert share(known, "thujone", find("sage"), "sage", 10.0).mg_per_g == 18


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "first line must be substance,latin"),
        ("substance,latin\n", "first line must be"),
        (OWN + "\n# ours\nthujone,Artemisia,much,us,measured here", "line 4, mg_per_g: it must be"),
        (OWN + "thujone,Artemisia,nan,us,measured here", "line 2, mg_per_g"),
        (OWN + "thujone,Artemisia,-1,us,measured here", "line 2, mg_per_g"),
        (OWN + "thujone,,1,us,measured here", "line 2, latin: it is empty"),
        (OWN + "thujone,Artemisia,1,us", "line 2: it has 4 cells"),
    ],
)
def test_a_file_of_ones_own_that_cannot_be_used_is_named_with_its_line(tmp_path, text, said):
    with pytest.raises(BadCatalogue, match=said):
        contents(own_file(tmp_path, text))


def test_bytes_that_are_no_text_are_a_plain_fault(tmp_path):
    (tmp_path / "contents.csv").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadCatalogue, match="it cannot be read"):
        contents(tmp_path)
