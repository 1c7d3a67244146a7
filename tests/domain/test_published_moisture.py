"""Published water of plants against what a plan takes; failures tell the row and its source."""

from __future__ import annotations

import re
from collections import defaultdict

import pytest

from steepboard.catalogue import load
from steepboard.catalogue.load import Sourced
from tests.domain.published import rows

PUBLISHED = [row for row in rows("moisture_published") if row["kind"] != "dried limit"]
LIMITS = [row for row in rows("moisture_published") if row["kind"] == "dried limit"]
SUGARY = {"raisin", "fig, dried", "apricot, dried", "prune", "date"}  # a class of their own with us
NO_CLASS = {"bulb", "vegetable"}  # of the table; nothing that is steeped

# Rows of the table that one of our botanicals is, by its name there and here.
SAME = {
    "lemon peel": "lemon zest",
    "orange peel": "orange zest",
    "allspice, ground": "allspice",
    "bay leaf, dried": "bay leaf",
    "caraway seed": "caraway",
    "celery seed": "celery seed",
    "clove, ground": "clove",
    "coriander seed": "coriander seed",
    "fennel seed": "fennel seed",
    "black pepper": "black pepper",
    "rosemary, dried": "rosemary",
}

LIMITED = {"coriander fruit": "coriander seed", "ginger rhizome": "ginger"}  # the third is by class

Row = dict[str, str]


def water(row: Row) -> float:
    return float(row["water_g_per_100g"]) / 100


def told(row: Row) -> str:
    return f"{row['material']}: {row['source']} {row['source_ref']}, {row['obtained']}"


def by_class() -> dict[tuple[str, bool], list[Row]]:
    groups: dict[tuple[str, bool], list[Row]] = defaultdict(list)
    for row in PUBLISHED:
        if row["material_class"] not in NO_CLASS:
            kind = "sweet fruit" if row["material"] in SUGARY else row["material_class"]
            groups[kind, row["kind"].startswith("fresh")].append(row)
    return groups


GROUPS = by_class()


def within(row: Row, figure: Sourced) -> bool:
    return figure.low - 1e-9 <= water(row) <= figure.high + 1e-9


@pytest.mark.parametrize("row", [r for r in PUBLISHED if r["material"] in SAME], ids=told)
def test_a_botanical_has_the_water_that_is_published(row: Row) -> None:
    botanical = load.find(SAME[row["material"]])
    assert botanical is not None
    assert botanical.fresh is row["kind"].startswith("fresh")
    assert botanical.moisture.value == pytest.approx(water(row), abs=5e-5), told(row)


def test_every_moisture_that_names_its_published_row_is_that_rows() -> None:
    table = {row["source_ref"]: row for row in PUBLISHED if row["source_ref"]}
    numbered = [
        (botanical, table[number.group()])
        for botanical in load.all_botanicals()
        if (number := re.search(r"NDB \d{5}", botanical.moisture.source))
    ]
    assert len(numbered) >= 40
    for botanical, row in numbered:
        assert botanical.moisture.value == pytest.approx(water(row), abs=5e-5), told(row)
        assert botanical.fresh is row["kind"].startswith("fresh"), told(row)


def test_no_name_of_the_table_is_looked_for_in_vain() -> None:
    assert {row["material"] for row in PUBLISHED} >= SAME.keys() | SUGARY


@pytest.mark.parametrize("group", [g for g, found in GROUPS.items() if len(found) > 1], ids=str)
def test_a_class_lies_by_the_middle_of_its_published_rows(group: tuple[str, bool]) -> None:
    found = GROUPS[group]
    moisture, _ = load.class_defaults(*group)
    middle = sum(map(water, found)) / len(found)
    assert moisture.value == pytest.approx(middle, abs=0.035), [told(row) for row in found]


def test_the_range_of_a_class_holds_four_of_five_published_rows() -> None:
    figures = {group: load.class_defaults(*group)[0] for group in GROUPS}
    outside = [r for group, found in GROUPS.items() for r in found if not within(r, figures[group])]
    assert len(outside) <= sum(map(len, GROUPS.values())) / 5, [told(row) for row in outside]


@pytest.mark.parametrize("row", LIMITS, ids=told)
def test_no_dried_botanical_is_wetter_than_its_published_limit(row: Row) -> None:
    botanical = load.find(LIMITED.get(row["material"], ""), fresh=False)
    moisture = botanical.moisture if botanical else load.class_defaults(row["material_class"])[0]
    assert moisture.value * 100 <= float(row["high"]), told(row)
