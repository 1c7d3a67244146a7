"""From the schema that knew what is on the screen to the one with materials of one's own."""

from __future__ import annotations

import sqlite3

import pytest

from steepboard.domain.own import OwnBotanical, OwnSpirit
from steepboard.store import migrations, own, steps
from steepboard.store.connect import Store

GALE = OwnBotanical("sweet-gale", "Sweet gale", "leaf", cautions=("PREG", "DAISY"), fresh=False)


@pytest.fixture
def store(tmp_path, monkeypatch):
    """Give a record of the fourth schema with a jar in it, brought up to date."""
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", steps.STEPS[:4])
        before = Store(tmp_path / "shelf.db")
        before.conn.execute("insert into jar values (1, 'ROSE-01', 'Rose')")
        before.close()
    return Store(tmp_path / "shelf.db")


def test_a_record_from_before_keeps_its_jars_and_takes_materials(store):
    assert store.rows("select name from jar") == [{"name": "Rose"}]
    assert own.botanicals(store) == own.spirits(store) == ()
    with store.writing() as db:
        own.keep_botanical(db, GALE)
        own.keep_spirit(db, OwnSpirit("cellar", "Cellar", 0.55, "old"))
    assert own.botanicals(store) == (GALE,)
    assert own.spirits(store) == (OwnSpirit("cellar", "Cellar", 0.55, "old"),)
    with store.writing() as db:
        own.drop_botanical(db, "sweet-gale")
        own.drop_spirit(db, "cellar")
    assert own.botanicals(store) == own.spirits(store) == ()


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("name", " "),
        ("moisture", 1.0),
        ("soluble", -0.1),
        ("ratio_min", 0.0),
        ("days_typical", 401.0),
        ("fresh", 2),
        ("days_max", -1.0),
    ],
)
def test_the_record_takes_no_nonsense(store, column, value):
    with store.writing() as db:
        own.keep_botanical(db, GALE)
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(f"update own_botanical set {column} = ?", [value])


def test_the_record_takes_no_spirit_stronger_than_pure(store):
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute("insert into own_spirit values ('x', 'X', 1.01, '')")
