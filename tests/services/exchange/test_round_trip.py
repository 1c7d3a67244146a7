"""Out and in again: the same document, and the same jars, bottles and reminders."""

from __future__ import annotations

import io
import json
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.services.exchange import document, lists
from steepboard.store.connect import Store
from steepboard.store.exchange_parts import LEFT_OUT
from tests.shelves import MORNING, desk_at
from tests.whole_shelf import ACTS, do, what_it_tells, whole

# People type what they like; so do their keyboards.
TEXT = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30),
    st.sampled_from(["=1+1", '"; drop', "\\u0041", "a\n\tb", "\u202egnp", "ﷺ", "\x00", "🫙" * 20]),
)
STEPS = st.lists(st.tuples(st.sampled_from(ACTS), st.integers(0, 999), TEXT), max_size=30)


def text_of(desk):
    return "".join(document.written(desk))


def taken_in(folder, text):
    folder.mkdir(exist_ok=True)
    desk = desk_at(folder)
    desk.store.conn.execute("pragma synchronous = off")
    document.take_in(desk, io.BytesIO(text.encode()), "shelf.json")
    return desk


@pytest.fixture(scope="module")
def everything(tmp_path_factory):
    desk = desk_at(tmp_path_factory.mktemp("whole"))
    yield desk, whole(desk)
    desk.store.close()


def test_a_shelf_on_which_everything_was_done_comes_back_whole(everything, tmp_path):
    desk, now = everything
    text = text_of(desk)
    new = taken_in(tmp_path / "new", text)
    assert text_of(new) == text
    assert what_it_tells(new, now) == what_it_tells(desk, now)
    assert new.store.rows("pragma foreign_key_check") == []


def test_the_rows_of_each_table_come_back_as_they_were(everything, tmp_path):
    """Told by the tables themselves: nothing here goes by the code that writes them."""
    desk, _ = everything
    new = taken_in(tmp_path / "new", text_of(desk))
    sql = "select name from sqlite_master where type = 'table' and name not like 'sqlite_%'"
    tables = {row["name"] for row in desk.store.rows(sql)} - set(LEFT_OUT)
    for table in tables:
        rows = desk.store.tuples(f"select * from {table}")
        assert rows, f"nothing of the test wrote to {table}"
        assert new.store.tuples(f"select * from {table}") == rows, table
    assert new.store.tuples("select * from unfinished") == desk.store.tuples(
        "select * from unfinished"
    )


def test_a_botanical_of_ones_own_comes_back_with_all_that_was_said_of_it(everything, tmp_path):
    desk, _ = everything
    new = taken_in(tmp_path / "new", text_of(desk))
    sql = "select * from own_botanical where id = 'signal-box-mint'"
    (kept,) = desk.store.rows(sql)
    assert [column for column, value in kept.items() if value in (None, "")] == []
    assert new.store.rows(sql) == [kept]
    found = new.library.find("platform mint")
    assert found == desk.library.find("bank")
    assert found.aliases == ("platform mint", "bank", "mint")
    assert found.allergens_us == ("tree nuts (Brazil nut)",)
    listed = "".join(lists.csv_lines(new, "own_botanicals", MORNING))
    assert "platform mint; bank; mint" in listed


def test_a_copy_goes_by_a_name_of_its_own_and_was_told_nothing(everything, tmp_path):
    desk, _ = everything
    Store(tmp_path / "new" / "shelf.db").close()  # a record as it is made, not as tests copy it
    new = taken_in(tmp_path / "new", text_of(desk))
    assert new.store.tuples("select id from shelf") != desk.store.tuples("select id from shelf")
    assert new.store.tuples("select * from delivery") == []


@settings(max_examples=25, deadline=None)
@given(STEPS)
def test_what_people_did_in_any_order_comes_back(steps):
    with TemporaryDirectory() as folder:
        desk = desk_at(Path(folder))
        now = do(desk, [(ACTS[0], 1, "first"), *steps])
        text = text_of(desk)
        new = taken_in(Path(folder) / "new", text)
        assert text_of(new) == text
        assert what_it_tells(new, now) == what_it_tells(desk, now)
        desk.store.close()
        new.store.close()


def test_the_document_is_json_a_line_for_each_row_and_as_the_schema_has_it(everything):
    from jsonschema import Draft202012Validator

    desk, _ = everything
    text = text_of(desk)
    told = json.loads(text)
    root = Path(__file__).resolve().parents[3]
    schema = json.loads((root / "config" / "schema" / "shelf-1.json").read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    assert [error.message for error in Draft202012Validator(schema).iter_errors(told)] == []
    assert text.isascii()
    rows = sum(len(rows) for rows in told.values() if isinstance(rows, list))
    assert sum(line.startswith("{") for line in text.splitlines()) == rows + 1


def test_what_is_done_while_an_export_runs_is_not_half_in_it(tmp_path):
    desk = desk_at(tmp_path)
    do(desk, [(ACTS[0], n, "first") for n in range(1, 4)])
    before = text_of(desk)
    lines = document.written(desk)
    begun = "".join(next(lines) for _ in range(5))
    with desk.opened_again() as other:
        do(other, [(ACTS[0], 3, "meanwhile"), (ACTS[4], 0, "")])
    assert begun + "".join(lines) == before
    assert text_of(desk) != before


def test_text_that_should_never_have_been_kept_comes_back_too_and_a_list_makes_it_visible(tmp_path):
    """What a record holds is not lost for what is in it; where it is shown, it does nothing."""
    desk = desk_at(tmp_path)
    do(desk, [(ACTS[0], 1, "first")])
    hostile = "=\u202egnp\x1b[31m\x00\x85é\ufeff"
    desk.store.conn.execute("update entry set note = ?", [hostile])
    new = taken_in(tmp_path / "new", text_of(desk))
    assert new.store.tuples("select note from entry") == [(hostile,)]
    told = "".join(lists.csv_lines(new, "diary", MORNING))
    assert "'=gnp[31m é" in told
    assert not {"\x1b", "\x00", "\u202e", "\x85"} & set(told)


def test_an_empty_shelf_can_be_taken_out_and_in(tmp_path):
    text = text_of(desk_at(tmp_path))
    new = taken_in(tmp_path / "new", text)
    assert text_of(new) == text
    assert what_it_tells(new, MORNING)["jars"] == ()
