"""From the schema with reminders to the one that knows more readings, with rows in it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace

import pytest

from steepboard.domain.records import Instrument, Measure, Reading, Source
from steepboard.services import acts
from steepboard.store import jars, migrations, steps
from steepboard.store.connect import Store
from tests.shelves import MORNING, desk_at, order

AT = "2026-03-02T08:00:00.000000Z"
# An invented jar of the railway hotel's bar, with one of every reading the older schema knew.
OLD = {
    "drained": 200.0,
    "pressed": 30.0,
    "recovered": 222.0,
    "recovered mass": 211.0,
    "marc": 81.5,
    "filter before": 2.1,
    "filter after": 6.3,
    "sediment": 4.0,
    "sampled": 0.0,
    "gross charged": 812.0,
    "gross before straining": 809.0,
}


@pytest.fixture
def record(tmp_path, monkeypatch):
    """Give a record of the second schema with a bottled jar, not yet brought up to date."""
    path = tmp_path / "shelf.db"
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", (steps.m001_shelf, steps.m002_reminders))
        Store(path).close()
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("insert into jar values (1, 'FENN-01', 'Fennel')")
        for number, (kind, parted) in enumerate(
            [("charge", None), ("strain", "drip"), ("bottle", None), ("reading", None)], 1
        ):
            row = [number, 1, number, kind, AT, "board", "KL", "", None, parted, None]
            db.execute(f"insert into entry values ({','.join('?' * 11)})", row)
        db.execute("insert into charge values (1, '2026-03-16', 1, 'drip', 500, null, 6, null)")
        seed = [1, 0, "fennel", 40.0, "40g", "seed", 0, None, 0.1, None]
        db.execute(f"insert into botanical values ({','.join('?' * 10)})", seed)
        db.execute("insert into spirit values (1, 0, 'neutral', 300, 0.45, 20, '300ml', '45%')")
        for measure, value in OLD.items():
            row = [2, measure, value, f"{value:g} typed", 0.5]
            db.execute("insert into reading values (?, ?, ?, ?, ?)", row)
        db.execute("insert into reading values (4, 'marc', 82, '82 g', 1)")
    return path


def test_every_reading_is_kept_and_the_last_one_counts(record):
    jar = jars.by_code(Store(record), "FENN-01")
    assert {r.measure.value: r.value for r in jar.readings} == OLD | {"marc": 82.0}
    drained = jar.reading(Measure.DRAINED)
    assert (drained.typed, drained.resolution) == ("200 typed", 0.5)
    assert {(r.temperature_c, r.instrument) for r in jar.readings} == {(None, None)}


def test_the_record_is_whole_afterwards(record):
    store = Store(record)
    assert store.rows("pragma foreign_key_check") == []
    assert store.rows("pragma integrity_check") == [{"integrity_check": "ok"}]
    assert store.rows("select count(*) as n from reading") == [{"n": len(OLD) + 1}]


def test_each_measure_comes_back_as_it_was_kept(tmp_path):
    desk = replace(desk_at(tmp_path), source=Source.COMMAND)
    jar = acts.charge(desk, order(), MORNING)
    tools = tuple(Instrument)
    kept = tuple(
        Reading(measure, i / 100, f"{i}", 0.01, MORNING, 17.5, tools[i % len(tools)])
        for i, measure in enumerate(Measure)
    )
    acts.strain(desk, jar.code, kept, MORNING)
    assert set(jars.by_code(desk.store, jar.code).readings) == set(kept)


@pytest.mark.parametrize(
    "nonsense",
    [
        "insert into reading values (99, 'marc', 1, '1', 1, null, null)",
        "insert into reading values (1, 'weight', 1, '1', 1, null, null)",
        "insert into reading values (1, 'marc', -1, '-1', 1, null, null)",
        "insert into reading values (1, 'marc', 1, '1', -1, null, null)",
        "insert into reading values (1, 'marc', 1, '1', 1, 41, null)",
        "insert into reading values (1, 'marc', 1, '1', 1, null, 'thumb')",
        "insert into reading values (1, 'hydrometer', 37, '37 %', 0.01, 20, 'hydrometer')",
        "insert into reading values (1, 'wash strength', 45, '45 %', 0.01, null, null)",
    ],
)
def test_the_table_refuses_nonsense(record, nonsense):
    store = Store(record)
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(nonsense)
