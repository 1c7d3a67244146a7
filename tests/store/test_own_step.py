"""From the schema with stock to the one that dates what is said of botanicals."""

from __future__ import annotations

import sqlite3

import pytest

from steepboard.domain.own import OwnBotanical
from steepboard.store import migrations, own, steps
from steepboard.store.connect import Store

GALE = OwnBotanical("sweet-gale", "Sweet gale", "leaf", moisture=0.1)
AT = "2026-03-02T08:00:00.000000Z"
LATER = "2026-03-02T08:00:00.000001Z"
OURS = own.Believed("sweet-gale", LATER, False, 0.1, 0.0, "given by you", 0.2, 0.05, "assumed")


@pytest.fixture
def store(tmp_path, monkeypatch):
    """Give a record of the eighth schema with a botanical in it, brought up to date."""
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", steps.STEPS[:8])
        before = Store(tmp_path / "shelf.db")
        before.conn.execute(
            "insert into own_botanical(id, name, material_class, latin, moisture, cautions, "
            "preparation) values ('sweet-gale', 'Sweet gale', 'leaf', '', 0.1, '', '')"
        )
        before.close()
    return Store(tmp_path / "shelf.db")


def test_what_was_kept_stays_and_holds_for_all_that_was_charged_before(store):
    assert own.botanicals(store) == (GALE,)
    assert own.believed(store) == ()


def test_what_was_believed_is_told_in_the_order_of_its_changes(store):
    with store.writing() as db:
        own.add_believed(db, OURS)
        own.add_believed(db, OURS._replace(until=AT, moisture=0.3))
    assert own.believed(store) == (OURS._replace(until=AT, moisture=0.3), OURS)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("plant", " "),
        ("until", "2026-03-02"),
        ("fresh", 2),
        ("moisture", 1.0),
        ("moisture_u", -0.1),
        ("soluble", -0.1),
        ("soluble_source", None),
    ],
)
def test_the_record_takes_no_nonsense(store, column, value):
    with store.writing() as db:
        own.add_believed(db, OURS)
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(f"update believed set {column} = ?", [value])
