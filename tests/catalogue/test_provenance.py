"""Nothing that is shipped lacks an answer to the question where it comes from."""

from __future__ import annotations

import csv
import tomllib
from collections import Counter
from dataclasses import fields

import pytest

from steepboard.catalogue import load
from steepboard.catalogue.allergens import named_on
from steepboard.catalogue.botanicals import GROUPS
from steepboard.catalogue.cautions import caution_codes
from steepboard.catalogue.documents import folder
from steepboard.catalogue.load import SHIPPED, Botanical
from steepboard.catalogue.names import key
from steepboard.catalogue.tables import STANDINGS
from steepboard.services.material_facts import facts
from steepboard.services.poisons import refuse_poison
from steepboard.text import clean

ALL = load.all_botanicals()
SHIPPED_STANDINGS = STANDINGS[:-1]  # nothing shipped was given by the person


def cells(name: str) -> list[dict[str, str]]:
    with (folder() / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def test_there_are_119_botanicals_of_the_trade_29_that_kill_and_the_common_spirits() -> None:
    deadly = [one for one in ALL if "DEADLY" in one.cautions]
    assert (len(ALL) - len(deadly), len(deadly)) == (119, 29)
    kinds = {"neutral", "vodka", "gin", "white", "dark", "brandy", "whisky"}
    assert kinds <= {one.id.partition("-")[0] for one in SHIPPED.all_spirits()}


@pytest.mark.parametrize("row", cells("botanicals"), ids=lambda row: row["id"])
def test_every_value_in_the_file_has_a_source_in_its_group(row: dict[str, str]) -> None:
    for source, columns in GROUPS.items():
        filled = [column for column in columns if row[column]]
        assert bool(row[source]) or not filled, (source, filled)
        if row[source] and source not in ("allergen_source", "cautions_source", "use_source"):
            assert filled, source


@pytest.mark.parametrize("botanical", ALL, ids=lambda botanical: botanical.id)
def test_every_value_that_is_shown_says_how_it_was_obtained(botanical: Botanical) -> None:
    for fact in facts(SHIPPED, botanical):
        assert fact.text
        if fact.label != "mind":  # a caution names its own authority
            assert fact.source.startswith(SHIPPED_STANDINGS), fact
        assert fact.source
        assert "{}" not in fact.source


def test_no_source_is_kept_that_nothing_names() -> None:
    rows = [*cells("botanicals"), *cells("spirits")]
    named = {row[column].split(" ")[0] for row in rows for column in row if "source" in column}
    assert {row["code"] for row in cells("sources")} == named - {""}


@pytest.mark.parametrize("name", ["botanicals", "spirits", "sources"])
def test_shipped_cells_are_plain_text(name: str) -> None:
    for row in cells(name):
        assert all(cell == clean(cell, 400) for cell in row.values()), row


def test_no_name_means_two_things() -> None:
    for all_of in (ALL, SHIPPED.all_spirits()):
        meant = Counter(
            name for one in all_of for name in {key(n) for n in (one.id, one.name, *one.aliases)}
        )
        assert [name for name, times in meant.items() if times > 1] == []


@pytest.mark.parametrize("spirit", SHIPPED.all_spirits(), ids=lambda spirit: spirit.id)
def test_every_spirit_is_for_drinking_and_says_where_its_strength_comes_from(spirit) -> None:
    assert 0 <= spirit.strength <= 0.96
    assert spirit.source.startswith(SHIPPED_STANDINGS)
    for name in (spirit.name, *spirit.aliases):
        refuse_poison(name)


def test_every_caution_of_the_file_is_one_that_is_known() -> None:
    assert all(load.caution(code) for one in ALL for code in one.cautions)


def test_every_allergen_is_of_a_list_and_says_who_says_so() -> None:
    for row in cells("allergens"):
        assert row["eu"] or row["us"]
        assert row["obtained"].startswith(SHIPPED_STANDINGS)
        assert row["source"]
        assert row["name"] == clean(row["name"]).casefold()


def test_the_lists_of_allergens_have_all_that_the_law_names() -> None:
    """Nine of the US by FALCPA 2004 and the FASTER Act 2021; 14 groups of the EU by Annex II.

    Counted by hand: EU gluten cereals (wheat, rye, barley, oats), crustaceans, egg, fish, peanut,
    soy, milk, nuts (8 kinds), celery, mustard, sesame, sulphites, lupin, molluscs.
    """
    eu, us = named_on(0), named_on(1)
    assert len(eu) == 4 + 6 + 8 + 6
    assert sum(name.startswith("nuts (") for name in eu) == 8
    assert {name.split(" (")[0] for name in us} == {
        "crustacean shellfish", "egg", "fish", "milk", "peanut", "sesame", "soy", "tree nuts",
        "wheat",
    }  # fmt: skip


def test_what_does_not_keep_fresh_says_why() -> None:
    soft = [one for one in ALL if one.fresh_soft]
    assert len(soft) >= 6
    assert all(one.fresh_note for one in soft)


def test_a_botanical_has_no_field_without_a_group() -> None:
    grouped = {f.name for f in fields(Botanical)}
    sources = {name for name in grouped if name.endswith("_source")}
    assert set(GROUPS) == sources | {"water_source", "soluble_source"}


def test_the_codes_of_cautions_are_the_tables_of_their_file() -> None:
    text = (folder() / "cautions.toml").read_text(encoding="utf-8")
    assert set(caution_codes()) == tomllib.loads(text).keys()
