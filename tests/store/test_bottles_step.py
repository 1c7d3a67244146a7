"""From the schema with materials to the one that knows bottles, with rows in it."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from steepboard.domain.bottles import (
    BottleEntry,
    BottleKind,
    Poured,
    Purpose,
    Weighing,
)
from steepboard.domain.readings import Measured
from steepboard.domain.records import Measure, Source, State
from steepboard.store import bottles, jars, migrations, steps
from steepboard.store.connect import Store
from tests.shelves import MORNING

AT = "2026-03-02T08:00:00.000000Z"


@pytest.fixture
def record(tmp_path, monkeypatch):
    """Give a record of the fifth schema with a bottled jar, not yet brought up to date."""
    path = tmp_path / "shelf.db"
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", steps.STEPS[:5])
        Store(path).close()
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("insert into jar values (1, 'FENN-01', 'Fennel')")
        for number, (kind, parted) in enumerate(
            [("charge", None), ("strain", "drip"), ("bottle", None)], 1
        ):
            row = [number, 1, number, kind, AT, "board", "KL", "", None, parted, None]
            db.execute(f"insert into entry values ({','.join('?' * 11)})", row)
        db.execute("insert into charge values (1, '2026-03-16', 1, 'drip', 500, null, 6, null)")
        seed = [1, 0, "fennel", 40.0, "40g", "seed", 0, None, 0.1, None]
        db.execute(f"insert into botanical values ({','.join('?' * 10)})", seed)
        db.execute("insert into spirit values (1, 0, 'neutral', 300, 0.45, 20, '300ml', '45%')")
        db.execute("insert into reading values (2, 'recovered', 222, '222 ml', 1, null, null)")
    return path


def entry(bottle_id, kind, act=1, **more):
    """Return an entry, signed KL, as it is before it was written."""
    return BottleEntry(0, bottle_id, act, kind, MORNING, Source.COMMAND, "KL", "", False, 3, **more)


def test_a_jar_bottled_before_keeps_all_it_had_and_has_no_bottles(record):
    store = Store(record)
    jar = jars.by_code(store, "FENN-01")
    assert (jar.state, jar.reading(Measure.RECOVERED).value) == (State.BOTTLED, 222.0)
    assert bottles.needed(store) == ()
    assert bottles.filled_from(store, jar.id) == ()


def test_the_record_is_whole_afterwards(record):
    store = Store(record)
    assert store.rows("pragma foreign_key_check") == []
    assert store.rows("pragma integrity_check") == [{"integrity_check": "ok"}]


def test_each_entry_comes_back_as_it_was_kept(record):
    store = Store(record)
    read = Measured(101.0, 0.5)
    with store.writing() as db:
        first = bottles.add_bottle(db, "FENN-01", 1, "Fennel")
        kept = [
            entry(
                first.id,
                BottleKind.FILL,
                size_ml=100.0,
                poured=(
                    Poured(read, jar_id=1),
                    Poured(Measured(5, 1), spirit="water", strength=0.0),
                ),
            ),
            entry(
                first.id,
                BottleKind.DRAW,
                2,
                volume=Measured(0.5, 0.05),
                typed="10 drops",
                purpose=Purpose.DOSE,
                tool="drop",
                tool_u=0.2,
            ),
            entry(first.id, BottleKind.COUNT, 3, weighing=Weighing(read, Measured(50.0, 1.0))),
            entry(first.id, BottleKind.UNDO, 4, undoes=3),
        ]
        ids = [bottles.add_entry(db, one) for one in kept]
    found = bottles.entries(store, [first.id])
    assert [one.id for one in found] == ids
    assert [one.undone for one in found] == [False, False, True, False]
    assert [one.poured for one in found] == [one.poured for one in kept]
    assert [one.weighing for one in found] == [one.weighing for one in kept]
    assert (found[1].volume, found[1].purpose, found[1].tool_u) == (
        Measured(0.5, 0.05),
        Purpose.DOSE,
        0.2,
    )


def test_a_bottle_whose_fill_was_taken_back_is_the_next_to_be_filled(record):
    store = Store(record)
    fill = {"size_ml": 50.0, "poured": (Poured(Measured(50.0, 1.0), jar_id=1),)}
    with store.writing() as db:
        first = bottles.add_bottle(db, "FENN-01", 1, "Fennel")
        bottles.add_entry(db, entry(first.id, BottleKind.FILL, **fill))
        second = bottles.add_bottle(db, "FENN-01", 1, "Fennel")
        bottles.add_entry(db, entry(second.id, BottleKind.FILL, 2, **fill))
        bottles.add_entry(db, entry(first.id, BottleKind.UNDO, 3, undoes=1))
        again = bottles.add_bottle(db, "FENN-01", 1, "Fennel")
    assert [one.code for one in (first, second, again)] == ["FENN-01-A", "FENN-01-B", "FENN-01-A"]


@pytest.mark.parametrize(
    "nonsense",
    [
        "insert into bottle values (2, 'FENN-01', 'FENN-01', 1, 'Fennel')",
        "insert into bottle values (2, 'FENN-01-A', 'FENN-02', 1, 'Fennel')",
        "insert into bottle values (2, 'FENN-01-B', 'FENN-01', 9, 'Fennel')",
        "insert into bottle values (2, 'FENN-01-B', 'FENN-01', 1, ' ')",
        "insert into poured values (1, 0, 0, 1, 1, null, null, null)",
        "insert into poured values (1, 0, 5, 1, 1, 1, null, null)",
        "insert into poured values (1, 0, 5, 1, null, null, 'gin', null)",
    ],
)
def test_the_tables_refuse_nonsense(record, nonsense):
    store = Store(record)
    store.conn.execute("insert into bottle values (1, 'FENN-01-A', 'FENN-01', 1, 'Fennel')")
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(nonsense)


@pytest.mark.parametrize(
    "nonsense",
    [
        entry(1, BottleKind.DRAW, volume=Measured(5, 1)),
        entry(1, BottleKind.DRAW, purpose=Purpose.DOSE),
        entry(1, BottleKind.FILL),
        entry(1, BottleKind.COUNT, weighing=Weighing(Measured(5, 1))),
        entry(1, BottleKind.UNDO),
        entry(1, BottleKind.BREAK, undoes=1),
        entry(9, BottleKind.BREAK),
        entry(1, BottleKind.BREAK, jar_entry=99),
    ],
)
def test_the_diary_refuses_what_says_nothing(record, nonsense):
    store = Store(record)
    store.conn.execute("insert into bottle values (1, 'FENN-01-A', 'FENN-01', 1, 'Fennel')")
    with pytest.raises(sqlite3.IntegrityError):
        bottles.add_entry(store.db, nonsense)
