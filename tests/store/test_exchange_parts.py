"""Every table of the record is in the export, or is left out for a reason that is written down."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from steepboard.store import exchange
from steepboard.store.connect import Store
from steepboard.store.exchange_parts import LEFT_OUT, LISTS

SCHEMA = json.loads(
    (Path(__file__).resolve().parents[2] / "config" / "schema" / "shelf-1.json").read_text("utf-8")
)


def parts(found=LISTS):
    for part in found:
        yield part
        yield from parts(part.parts)


def row_of(name):
    return SCHEMA["$defs"][SCHEMA["properties"][name]["items"]["$ref"].rpartition("/")[2]]


def inner(row, child):
    told = row["properties"][child.name]
    told = told if child.single else told["items"]
    return SCHEMA["$defs"][told["$ref"].rpartition("/")[2]] if "$ref" in told else told


@pytest.fixture
def store(tmp_path):
    return Store(tmp_path / "shelf.db")


def test_no_table_of_the_record_is_forgotten(store):
    found = {
        row["name"]
        for row in store.rows("select name from sqlite_master where type = 'table'")
        if not row["name"].startswith("sqlite_")
    }
    exported = [part.table for part in parts()]
    assert set(exported) | set(LEFT_OUT) == found
    assert len({*exported, *LEFT_OUT}) == len(exported) + len(LEFT_OUT)
    assert all(len(reason) > 10 for reason in LEFT_OUT.values())


def test_the_schema_has_the_lists_in_the_order_of_the_document():
    assert [*SCHEMA["properties"]] == ["format", "version", *(part.name for part in LISTS)]


def test_the_schema_knows_each_word_of_each_row_and_no_other(store):
    def check(part, row):
        if part.plain:
            assert exchange.words(store, part) == (part.plain,)
            return
        assert set(row["properties"]) == set(exchange.words(store, part)), part.name
        assert row["additionalProperties"] is False
        for child in part.parts:
            check(child, inner(row, child))

    for part in LISTS:
        check(part, row_of(part.name))


def test_the_schema_has_the_choices_of_the_tables(store):
    """Else what the record holds could not be taken in again."""

    def compare(part, row):
        sql = store.rows("select sql from sqlite_master where name = ?", part.table)[0]["sql"]
        found = {
            word: {one.replace("''", "'") for one in re.findall("'((?:[^']|'')*)'", choices)}
            for word, choices in re.findall(r"check\((\w+) in\s*\(('[^)]*)\)", sql)
        }
        told = {
            word: {*SCHEMA["$defs"].get(one.get("$ref", "").rpartition("/")[2], one)["enum"]}
            for word, one in row.get("properties", {}).items()
            if "enum" in SCHEMA["$defs"].get(one.get("$ref", "").rpartition("/")[2], one)
        }
        assert told == found, part.name
        return len(found) + sum(compare(child, inner(row, child)) for child in part.parts)

    assert sum(compare(part, row_of(part.name)) for part in LISTS) >= 10
