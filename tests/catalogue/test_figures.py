"""Every figure of the catalogue against the tables it was taken from."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from steepboard.catalogue import load
from steepboard.catalogue.load import Sourced
from steepboard.domain.alcohol import flash_point_c
from steepboard.domain.records import Separation

REFERENCE = Path(__file__).parents[1] / "reference"
Row = dict[str, str]


def rows(table: str) -> list[Row]:
    with (REFERENCE / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


KNOWN = {one.id: one for one in load.all_botanicals() if "DEADLY" not in one.cautions}
"""Plants that kill are in no table: they have no figure, and `test_poisons` holds them to that."""
PLANTS = {row["id"]: row for row in rows("botanicals")}
FORMULAS = {row["id"]: row for row in rows("ratios")}
WAYS = {
    "free drain": Separation.DRIP,
    "squeezed by hand in cloth": Separation.HAND,
    "screw or lever press": Separation.PRESS,
}
CLASS_OF = {  # the class for each form of the table of what is held back
    "ground": "coffee",
    "leaf": "tea",
    "nib": "cacao",
    "dried leaf or herb, cut": "leaf",
    "dried flower": "flower",
    "dried root, coarse powder": "powdered root",
    "dried root, cut pieces": "root",
    "dried bark, broken or powder": "bark",
    "chips or raspings": "wood",
    "whole seed": "whole seed",
    "ground seed": "seed",
    "dried berry or fruit, cracked": "fruit",
    "sugary dried fruit": "sweet fruit",
    "dried citrus peel": "peel",
    "vanilla or tonka, split": "bean",
    "chopped nut": "nut",
    "tears": "resin",
    "thin strips or grated": "peel",
    "cut": "fruit",
    "whole leaf": "leaf",
    "sliced or grated": "root",
}


def test_every_botanical_has_its_row_and_every_class_its_form() -> None:
    assert KNOWN.keys() == PLANTS.keys()
    assert {*CLASS_OF.values(), "other"} == set(load.classes())
    assert {row["form"] for row in rows("absorption")} == CLASS_OF.keys()


@pytest.mark.parametrize("row", rows("absorption"), ids=lambda r: f"{r['form']}, {r['separation']}")
def test_what_is_held_back_is_as_tabled(row: Row) -> None:
    fresh = row["unit"] == "mL per g as charged"
    held = load.absorption(CLASS_OF[row["form"]], WAYS[row["separation"]], fresh)
    assert (held.mean, held.sd) == (float(row["prior_mean"]), float(row["prior_sd"]))
    assert held.per_dry is not fresh
    assert held.source.startswith(row["obtained"])


def test_fresh_flowers_hold_as_fresh_leaves_do() -> None:
    # No row of its own: soft green tissue is taken alike.
    for way in Separation:
        flower, leaf = (load.absorption(kind, way, fresh=True) for kind in ("flower", "leaf"))
        assert (flower.mean, flower.sd) == (leaf.mean, leaf.sd)


@pytest.mark.parametrize("id_", KNOWN)
def test_name_ratio_days_and_class_are_as_tabled(id_: str) -> None:
    ours, row = KNOWN[id_], PLANTS[id_]
    assert (ours.ratio_min, ours.ratio_max) == figures(row, "ratio_n_min", "ratio_n_max")
    steeped = (ours.days_min, ours.days_typical, ours.days_max, ours.taste_from_day)
    assert steeped == figures(row, "days_min", "days_typical", "days_max", "taste_from_day")
    tabled = figures(row, "abv_low_pct", "abv_high_pct")
    assert tabled == tuple(
        None if strength is None else pytest.approx(100 * strength)
        for strength in (ours.strength_min, ours.strength_max)
    )
    if row["absorption_form"]:
        assert ours.material_class == CLASS_OF[row["absorption_form"]]
    if row["latin"] != "various":
        assert row["latin"].startswith(" ".join(re.findall(r"\w+", ours.latin)[:2]))


def figures(row: Row, *columns: str) -> tuple[float | None, ...]:
    return tuple(float(row[column]) if row[column] else None for column in columns)


@pytest.mark.parametrize("id_", KNOWN)
def test_taste_allergens_and_use_are_as_tabled(id_: str) -> None:
    ours, row = KNOWN[id_], PLANTS[id_]
    assert (ours.pungency, ours.bitterness) == figures(row, "pungency_0_3", "bitterness_0_3")
    for listed, tabled in (
        (ours.allergens_eu, row["allergen_eu"]),
        (ours.allergens_us, row["allergen_us"]),
    ):
        told = "none listed" if tabled.startswith(("not listed", "off ", "see note")) else tabled
        assert (" ".join(listed) or "none listed") == told
    words = {"ok": "usual", "caution": "with care", "poor candidate": "poor choice"}
    assert ours.use == words.get(row["use_status"], "never")
    assert ours.fresh_soft == (row["fresh_soft_poor"] == "yes")


def test_what_is_never_to_be_used_has_no_ratio_and_no_days() -> None:
    never = {one.id for one in KNOWN.values() if one.use == "never"}
    assert never == {one.id for one in KNOWN.values() if one.ratio_min is None}
    assert never == {one.id for one in KNOWN.values() if one.days_typical is None}
    assert len(never) == 8


@pytest.mark.parametrize("id_", KNOWN)
def test_no_caution_of_the_table_is_left_out(id_: str) -> None:
    in_every_jar = {found.code for found in load.situation_cautions(0.4, KNOWN[id_].fresh)}
    tabled = {code for code in PLANTS[id_]["caution_codes"].split(";") if code}
    assert tabled <= {*KNOWN[id_].cautions, *in_every_jar}


@pytest.mark.parametrize("id_", [i for i, row in PLANTS.items() if "F" in row["ratio_anchor"]])
def test_a_published_formula_is_named_with_its_ratio(id_: str) -> None:
    source = KNOWN[id_].ratio_source
    told = [float(n) for n in re.findall(r"1:([0-9.]+[0-9]|[0-9])", source)]
    for formula in anchors(PLANTS[id_]["ratio_anchor"]):
        if published := FORMULAS[formula]["ratio_n_low"]:
            assert any(n == pytest.approx(float(published), abs=0.05) for n in told), formula
    assert "published" in source


def anchors(text: str) -> list[str]:
    """Return the ids in an anchor such as `ratios.csv F06-F08, STD01`."""
    found = re.findall(r"(F|STD)(\d\d)(?:-F(\d\d))?", text)
    return [
        f"{kind}{number:02}"
        for kind, first, last in found
        for number in range(int(first), int(last or first) + 1)
    ]


def class_or_botanical(id_: str) -> tuple[Sourced, Sourced]:
    if id_.startswith("class "):
        return load.class_defaults(id_.removeprefix("class "))
    return KNOWN[id_].moisture, KNOWN[id_].soluble


MOISTURES = [row for row in rows("moisture") if not row["id"].startswith("kin of ")]


@pytest.mark.parametrize("row", MOISTURES, ids=lambda row: row["id"])
def test_moistures_are_as_tabled(row: Row) -> None:
    moisture, _ = class_or_botanical(row["id"])
    assert 100 * moisture.value == pytest.approx(float(row["water_g_per_100g"]))
    if row["low"]:
        limits = (float(row["low"]), float(row["high"]))
        assert (100 * moisture.low, 100 * moisture.high) == pytest.approx(limits)
    elif not moisture.source.endswith(f"NDB {row['ndb']}; range assumed"):
        assert moisture.low < moisture.value < moisture.high
        assert "assumed" in moisture.source
    else:  # a row without a range; ours is assumed: 2 points for dried, 3 for fresh
        half = 3 if KNOWN[row["id"]].fresh else 2
        assert 100 * (moisture.high - moisture.value) == pytest.approx(half)
        assert 100 * (moisture.value - moisture.low) == pytest.approx(half)
    assert moisture.source.startswith("published" if "read" in row["obtained"] else "from memory")


@pytest.mark.parametrize("kind", ["sweet fruit", "nut", "fruit", "fresh fruit"])
def test_a_class_without_a_moisture_of_its_own_lies_by_its_kin(kind: str) -> None:
    kin = [float(r["water_g_per_100g"]) for r in rows("moisture") if r["id"] == f"kin of {kind}"]
    moisture, _ = load.class_defaults(kind.removeprefix("fresh "), kind.startswith("fresh"))
    assert 100 * moisture.low <= min(kin) <= max(kin) <= 100 * moisture.high
    assert 100 * moisture.value == pytest.approx(sum(kin) / len(kin), abs=2)
    assert moisture.source.startswith("published: USDA")


EXTRACTED = [row for row in rows("extractives") if "alkaloid" not in row["id"]]


@pytest.mark.parametrize("row", EXTRACTED, ids=lambda row: row["id"])
def test_soluble_parts_are_the_tabled_ones_per_dry_mass(row: Row) -> None:
    moisture, soluble = class_or_botanical(row["id"])
    dry = 1 - moisture.value
    if row["id"].startswith("class "):  # rounded
        assert soluble.low <= float(row["low_pct"]) / 100 / dry
        assert soluble.high == pytest.approx(float(row["high_pct"]) / 100 / dry, abs=0.01)
        return
    assert soluble.low == pytest.approx(float(row["low_pct"]) / 100 / dry, abs=0.0006)
    assert soluble.value == pytest.approx((soluble.low + soluble.high) / 2, abs=0.0006)
    if row["high_pct"]:
        assert soluble.high == pytest.approx(float(row["high_pct"]) / 100 / dry, abs=0.0006)
    else:
        assert "upper end assumed" in soluble.source
    assert soluble.source.startswith("published" if "read" in row["obtained"] else "from memory")


def limit(substance: str, food: str) -> str:
    found = [row for row in rows("limits") if row["substance"] == substance and row["food"] == food]
    assert [row["status"] for row in found] == ["in force"]
    return f"{found[0]['limit']} {found[0]['unit'].split(' or ')[0]}".strip()


@pytest.mark.parametrize(
    ("code", "substance", "food"),
    [
        ("QUASSIN", "quassin", "alcoholic drinks"),
        ("THUJONE", "thujone (alpha and beta)", "alcoholic drinks made from Artemisia"),
        ("THUJONE", "Artemisia (wormwood)", "finished food"),
        ("THUJONE", "thujone", "finished drink, read as thujone-free"),
        ("ESTRAGOLE", "estragole", "soft drinks"),
        ("QUININE", "cinchona bark, total cinchona alkaloids", "finished drink"),
        ("QUININE", "quinine", "carbonated drinks"),
        ("SULPHITE", "sulphur dioxide and sulphites", "declare above"),
        ("GLYCYRR", "glycyrrhizic acid", "drinks over 1.2 % vol, hypertension warning"),
    ],
)
def test_a_quoted_limit_is_the_one_in_force(code: str, substance: str, food: str) -> None:
    assert limit(substance, food) in load.caution(code).figures


def test_the_alkaloids_of_the_bark_are_as_tabled() -> None:
    row = next(row for row in rows("extractives") if row["id"] == "cinchona alkaloids")
    assert f"{row['low_pct']} % or more" in load.caution("QUININE").figures


def test_the_caution_tells_the_flash_points_of_the_table() -> None:
    told = re.findall(r"(\d+) °C at (\d+) %", load.caution("FLAM").figures)
    assert len(told) == 3
    for flash_c, percent in told:
        assert flash_point_c(int(percent) / 100) == pytest.approx(int(flash_c))
