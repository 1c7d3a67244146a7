"""From the schema with the house to the one that lets a least be 0, with rows in it."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from steepboard.errors import RecordUnusable
from steepboard.store import house, migrations, steps, stock
from steepboard.store.connect import Store
from tests.shelves import MORNING


@pytest.fixture
def record(tmp_path, monkeypatch):
    """Give a record of the seventh schema with a least to stand, not yet brought up to date."""
    path = tmp_path / "shelf.db"
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", steps.STEPS[:7])
        Store(path).close()
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("insert into par values ('Fennel seed', 62.5)")
    return path


def test_a_least_that_was_kept_stays_and_may_now_be_nothing(record):
    store = Store(record)
    assert house.pars(store) == {"Fennel seed": 62.5}
    (kept,) = store.rows("select * from par")
    store.conn.execute("update par set volume_ml = 0")
    assert house.pars(store) == {"Fennel seed": 0.0}
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute("update par set volume_ml = -1 where entry_id = ?", [kept["entry_id"]])


@pytest.mark.parametrize(
    "row",
    [
        "0, 'a', 'friday.csv', '2026-03-02T08:00:00.000000Z'",
        "1, 'abc', 'friday.csv', '2026-03-02T08:00:00.000000Z'",
        f"1, '{'a' * 64}', ' ', '2026-03-02T08:00:00.000000Z'",
        f"1, '{'a' * 64}', 'friday.csv', 'yesterday'",
    ],
)
def test_what_is_no_list_of_drinks_is_kept_out(record, row):
    store = Store(record)
    with pytest.raises(RecordUnusable), store.writing() as db:
        db.execute(f"insert into sold values ({row})")
    assert store.rows("select * from sold") == []


def test_a_list_counts_only_as_long_as_its_draws_do(record):
    store = Store(record)
    with store.writing() as db:
        stock.keep_drawn_by(db, 1, "a" * 64, "friday.csv", MORNING)
    assert stock.drawn_by(store, "a" * 64) is None  # no draw of it is there
