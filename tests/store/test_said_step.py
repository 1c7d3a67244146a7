"""From the schema before to the one whose pars and prices are lines of the house's diary."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date
from decimal import Decimal

import pytest

from steepboard.domain.costs import Price, Ware
from steepboard.domain.dosing import Dropper, Tool
from steepboard.domain.records import Source
from steepboard.store import house, migrations, prices, steps
from steepboard.store.connect import Store
from tests.shelves import MORNING

AT = "2026-03-02T0{}:00:00.000000Z"


@pytest.fixture
def store(tmp_path, monkeypatch):
    """Give a record with two jars, a dropper said between them, pars and prices; up to date."""
    path = tmp_path / "shelf.db"
    before = steps.STEPS[: steps.STEPS.index(steps.m012_said)]
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", before)
        Store(path).close()
    stir = "'stir', ?, 'board', 'KL', '', null, null, null"
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("insert into jar values (1, 'CARA-01', 'Caraway')")
        db.execute(f"insert into entry values (1, 1, 1, {stir})", [AT.format(6)])
        db.execute(
            "insert into house_entry values (5, 'dropper', 'bulb', 'keep', ?, 'board', 'KL', null)",
            [AT.format(7)],
        )
        db.execute("insert into dropper values (5, 'drop', 0.02, 0.01, 0.5, '50 drops')")
        db.execute(f"insert into entry values (2, 1, 2, {stir})", [AT.format(8)])
        db.execute("insert into par values ('Fennel seed', 62.5)")
        db.execute("insert into price values ('spirit', 'rye', '2026-01-01', '18.40', 'EUR')")
        db.execute("insert into price values ('spirit', 'rye', '2026-02-01', '19.10', 'EUR')")
        db.execute("insert into price values ('botanical', 'rye', '2026-01-01', '3', 'EUR')")
    return Store(path)


def test_what_was_kept_before_is_kept(store):
    assert house.pars(store) == {"Fennel seed": 62.5}
    told = [(p.ware, p.name, p.from_day, p.amount) for p in prices.prices(store, "EUR")]
    assert told == [
        (Ware.SPIRIT, "rye", date(2026, 1, 1), Decimal("18.40")),
        (Ware.SPIRIT, "rye", date(2026, 2, 1), Decimal("19.10")),
        (Ware.BOTANICAL, "rye", date(2026, 1, 1), Decimal(3)),
    ]
    assert house.droppers(store) == (Dropper("bulb", Tool.DROP, 0.02, 0.01, 0.5, "50 drops"),)
    assert store.rows("pragma foreign_key_check") == []


def test_a_line_of_the_house_knows_what_was_written_before_it(store):
    """By the clock for old lines: the dropper was said after the first stir. What was kept without
    a time stands before all else, so that no undo of the shelf takes it for the last act."""
    last = house.last_said(store)
    assert (last.topic, last.after_entry, last.after_bottle_entry) == ("dropper", 1, 0)
    with store.writing() as db:
        entry_id = house.add_entry(db, "par", "Fennel seed", "keep", MORNING, Source.BOARD, "KL")
        house.add_par(db, entry_id, 40.0)
    last = house.last_said(store)
    assert (last.topic, last.name, last.kind, last.after_entry) == ("par", "Fennel seed", "keep", 2)
    assert house.pars(store) == {"Fennel seed": 40.0}


def test_of_one_day_the_price_said_last_holds_and_forgetting_ends_all(store):
    def say(act="keep", amount="", day=date(2026, 1, 1)):
        with store.writing() as db:
            at = house.add_entry(db, "spirit price", "rye", act, MORNING, Source.BOARD, "KL")
            if amount:
                made = Price(Ware.SPIRIT, "rye", day, Decimal(amount), "EUR")
                prices.add_price(db, at, made)

    def held():
        return [f"{p.amount}" for p in prices.prices(store, "EUR") if p.ware is Ware.SPIRIT]

    say(amount="20")
    assert held() == ["20", "19.10"]
    say("forget")
    assert held() == []
    say(amount="21")
    assert held() == ["21"]


@pytest.mark.parametrize(
    "nonsense",
    [
        "insert into par values (5, -1)",
        "insert into par values (99, 1)",
        "insert into price values (5, 'today', '1', 'EUR')",
        "insert into price values (5, '2026-01-01', '1e3', 'EUR')",
        "insert into price values (5, '2026-01-01', '-4', 'EUR')",
        "insert into price values (5, '2026-01-01', '4', 'euro')",
        "update house_entry set topic = 'price' where id = 5",
        "update house_entry set after_entry = -1 where id = 5",
    ],
)
def test_the_tables_refuse_nonsense(store, nonsense):
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(nonsense)
