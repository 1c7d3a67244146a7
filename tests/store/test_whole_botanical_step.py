"""From the schema where drops may wait to the one that has all of a botanical of one's own."""

from __future__ import annotations

import sqlite3

import pytest

from steepboard.domain.own import OwnBotanical
from steepboard.store import migrations, own, steps
from steepboard.store.connect import Store

BEFORE = OwnBotanical(
    "sweet-gale", "Sweet gale", "leaf", moisture=0.1, cautions=("PREG", "DAISY"), fresh=False
)
WHOLE = OwnBotanical(
    "sweet-gale",
    "Sweet gale",
    "leaf",
    latin="Myrica gale",
    fresh=False,
    moisture=0.11,
    soluble=0.2,
    ratio_min=6.0,
    ratio_max=12.0,
    days_min=1.0,
    days_typical=4.0,
    days_max=8.0,
    taste_from_day=1.0,
    cautions=("PREG",),
    preparation="Crumble it.",
    aliases=("bog myrtle", "moor gale"),
    part="leaf",
    form="dried, rubbed",
    strength_min=0.45,
    strength_max=0.6,
    moisture_low=0.09,
    moisture_high=0.13,
    soluble_low=0.15,
    soluble_high=0.25,
    pungency=1,
    bitterness=2,
    allergens=("celery", "brazil nut"),
    use="with care",
    fresh_soft=True,
    fresh_note="Dry it the same day.",
    note="From the bank behind the signal box.",
)


@pytest.fixture
def store(tmp_path, monkeypatch):
    """Give a record of the tenth schema with a botanical in it, brought up to date."""
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", steps.STEPS[:10])
        before = Store(tmp_path / "shelf.db")
        before.conn.execute(
            "insert into own_botanical(id, name, material_class, latin, fresh, moisture, cautions, "
            "preparation) values ('sweet-gale', 'Sweet gale', 'leaf', '', 0, 0.1, 'PREG DAISY', '')"
        )
        before.close()
    return Store(tmp_path / "shelf.db")


def test_what_was_kept_stays_and_says_nothing_of_what_was_not_asked(store):
    assert own.botanicals(store) == (BEFORE,)


def test_all_of_a_botanical_is_kept(store):
    with store.writing() as db:
        own.keep_botanical(db, WHOLE)
    assert own.botanicals(store) == (WHOLE,)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("strength_min", -0.1),
        ("strength_max", 0.4),
        ("strength_max", 1.1),
        ("moisture_low", 0.12),
        ("moisture_high", 0.1),
        ("soluble_low", -0.1),
        ("soluble_high", 1.0),
        ("pungency", 4),
        ("bitterness", 1.5),
        ("use", "daily"),
        ("fresh_soft", 2),
        ("part", "x" * 81),
        ("aliases", None),
    ],
)
def test_the_record_takes_no_nonsense(store, column, value):
    with store.writing() as db:
        own.keep_botanical(db, WHOLE)
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(f"update own_botanical set {column} = ?", [value])
