"""From the first schema to the one with reminders, with rows of every kind in it."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from steepboard.store import jars, migrations, steps
from steepboard.store.connect import Store
from steepboard.store.deliveries import last

# The diary of an invented railway hotel bar: jar, act, kind, strain day, way of straining, undoes.
DIARY = [
    (1, 1, "plan", None, None, None),
    (2, 1, "charge", None, None, None),
    (2, 2, "stir", None, None, None),
    (2, 3, "stir", None, None, None),
    (2, 4, "undo", None, None, 3),
    (2, 5, "move", "2026-03-20", None, None),
    (2, 6, "taste", None, None, None),
    (3, 1, "charge", None, None, None),
    (3, 2, "strain", None, "drip", None),
    (4, 1, "charge", None, None, None),
    (4, 2, "strain", None, "pressed hard", None),
    (4, 2, "bottle", None, None, None),
    (4, 3, "reading", None, None, None),
    (5, 1, "charge", None, None, None),
    (5, 2, "discard", None, None, None),
    (6, 1, "charge", None, None, None),
    (6, 2, "bottle", None, None, None),
    (6, 3, "undo", None, None, 2),
    (7, 1, "charge", None, None, None),
    (7, 2, "undo", None, None, 1),
]
STATES = {1: "planned", 2: "steeping", 3: "settling", 6: "steeping"}
AT = "2026-03-02T08:00:00.000000Z"
ENTRY = "insert into entry(id, jar_id, act, kind, at, source, initials, undoes) values"


def fill(path):
    """Make a record as the first schema had it, by plain SQL."""
    with closing(sqlite3.connect(path)) as db, db:
        for jar in range(1, 8):
            db.execute("insert into jar values (?, ?, ?)", [jar, f"MINT-{jar:02}", f"Mint {jar}"])
        for number, (jar, act, kind, day, parted, undoes) in enumerate(DIARY, 1):
            row = [number, jar, act, kind, AT, "board", "KL", f"note {number}", day, parted, undoes]
            db.execute(f"insert into entry values ({','.join('?' * 11)})", row)
            if kind in ("plan", "charge"):
                charge = [number, "2026-03-16", 1, "drip", 500.0, None, 6.0]
                db.execute("insert into charge values (?, ?, ?, ?, ?, ?, ?)", charge)
                mint = [number, 0, "mint", 40.0, "40g", "leaf", 0, None, 0.1, None]
                db.execute(f"insert into botanical values ({','.join('?' * 10)})", mint)
                neutral = [number, 0, "neutral", 300.0, 0.45, 20.0, "300ml", "45%"]
                db.execute(f"insert into spirit values ({','.join('?' * 8)})", neutral)
                db.execute("insert into acknowledged values (?, 'hot')", [number])
        db.execute("insert into reading values (9, 'drained', 200, '200ml', 2)")
        db.execute("insert into reading values (13, 'recovered', 180, '180ml', 2)")
        db.execute("insert into draft values (3, 'press', '{}')")
        db.execute("insert into delivery values ('stir/2/2026-03-03', ?, ?)", [AT, AT])
        db.execute("insert into delivery values ('stir/2/2026-03-04', ?, null)", [AT])


def content(path):
    """Return every row of every table, without what this step added to them."""
    with closing(sqlite3.connect(path)) as db:
        tables = ("jar", "entry", "live", "botanical", "spirit", "acknowledged", "draft")
        found = {table: db.execute(f"select * from {table}").fetchall() for table in tables}
        columns = "entry_id, strain_on, stir_every_days, separation, vessel_ml, held_ml_per_g"
        found["charge"] = db.execute(f"select {columns}, kept_ml from charge").fetchall()
        columns = "entry_id, measure, value, typed, resolution"
        found["reading"] = db.execute(f"select {columns} from reading").fetchall()
        delivery = "select key, claimed_at, delivered_at from delivery"
        return found | {"delivery": db.execute(delivery).fetchall()}


@pytest.fixture
def record(tmp_path, monkeypatch):
    """Give a record of the first schema with rows in it, not yet brought up to date."""
    path = tmp_path / "shelf.db"
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", (steps.m001_shelf,))
        Store(path).close()
    fill(path)
    return path


def unfinished(store):
    return [row["jar_id"] for row in store.rows("select jar_id from unfinished order by jar_id")]


def test_every_row_is_kept_and_the_record_copied_first(record):
    before = content(record)
    assert [len(before[table]) for table in ("jar", "entry", "live")] == [7, 20, 14]
    store = Store(record)
    assert content(record) == before
    assert store.rows("pragma foreign_key_check") == []
    assert store.rows("pragma foreign_keys") == [{"foreign_keys": 1}]
    assert store.rows("pragma integrity_check") == [{"integrity_check": "ok"}]
    copy = record.with_name("shelf.db.before-step-2")
    assert content(copy) == before
    with closing(sqlite3.connect(copy)) as db:
        assert db.execute("select count(*) from sqlite_master where name = 'habit'").fetchone() == (
            0,
        )


def test_what_the_jars_were_they_still_are(record):
    store = Store(record)
    assert {jar.id: jar.state.value for jar in jars.active(store)} == STATES
    assert [jar.code for jar in jars.ended(store)] == ["MINT-05", "MINT-04"]
    second = jars.by_code(store, "MINT-02")
    assert (len(second.stirred_at), len(second.tasted_at)) == (1, 1)
    assert second.strain_on.isoformat() == "2026-03-20"
    assert second.charge.taste_from_day is None
    assert [delivery.key for delivery in last(store, 9)] == ["stir/2/2026-03-03"]


def test_the_unfinished_jars_are_known_from_the_start(record):
    # The last was undone as a whole: it is no jar any more, but may yet be charged again.
    assert unfinished(Store(record)) == [1, 2, 3, 6, 7]


@pytest.mark.parametrize(
    ("jar", "kind", "undoes", "left"),
    [
        (4, "undo", 2, [1, 2, 3, 4, 6, 7]),
        (5, "undo", 2, [1, 2, 3, 5, 6, 7]),
        (2, "bottle", None, [1, 3, 6, 7]),
        (2, "discard", None, [1, 3, 6, 7]),
        (1, "charge", None, [1, 2, 3, 6, 7]),
        (6, "undo", 1, [1, 2, 3, 6, 7]),
        (2, "stir", None, [1, 2, 3, 6, 7]),
        (4, "stir", None, [1, 2, 3, 6, 7]),
        (5, "taste", None, [1, 2, 3, 6, 7]),
        (4, "reading", None, [1, 2, 3, 6, 7]),
        (2, "remind", None, [1, 2, 3, 6, 7]),
        (8, "plan", None, [1, 2, 3, 6, 7, 8]),
        (8, "charge", None, [1, 2, 3, 6, 7, 8]),
    ],
)
def test_every_act_keeps_the_unfinished_jars_true(record, jar, kind, undoes, left):
    store = Store(record)
    with store.writing() as db:
        db.execute("insert or ignore into jar values (8, 'MINT-08', 'Mint 8')")
        row = {"jar_id": jar, "act": 9, "kind": kind, "at": AT, "source": "board"}
        db.table("entry").insert({**row, "initials": "", "undoes": undoes})
    assert unfinished(store) == left


def test_a_jar_bottled_and_then_taken_back_with_the_straining_is_unfinished_again(record):
    store = Store(record)
    for act, kind, undoes in ((9, "undo", 2), (10, "strain", None), (10, "bottle", None)):
        with store.writing() as db:
            row = {"jar_id": 4, "act": act, "kind": kind, "at": AT, "source": "board"}
            parted = "drip" if kind == "strain" else None
            db.table("entry").insert(
                {**row, "initials": "", "undoes": undoes, "separation": parted}
            )
    assert unfinished(store) == [1, 2, 3, 6, 7]


@pytest.mark.parametrize(
    "nonsense",
    [
        "insert into habit(entry_id) values (999)",
        "insert into habit(entry_id, stir_every_days) values (2, 0)",
        "insert into habit(entry_id, stir_every_days) values (2, 'two')",
        "insert into habit(entry_id, stir_at) values (2, '9:00')",
        "insert into habit(entry_id, strain_at) values (2, 'noon')",
        "insert into habit(entry_id, taste_from_day) values (2, 401)",
        "insert into habit(entry_id, taste_every_days) values (2, 61)",
        "insert into habit(entry_id, muted_until) values (2, 'May')",
        "update charge set taste_from_day = 0",
        f"insert into snooze values (99, 'stir', '{AT}')",
        f"insert into snooze values (2, 'shake', '{AT}')",
        "insert into snooze values (2, 'stir', 'tonight')",
        "insert into away values (2, '2026-03-02', '2026-03-03')",
        "insert into away values (1, '2026-03-03', '2026-03-02')",
        "insert into away values (1, 'today', '2026-03-02')",
        "update delivery set failed_at = 'now'",
        "insert into shelf values ('short')",
        "insert into published values ('a', -1, '', null)",
        "insert into published values ('a', 0, null, null)",
        "insert into published values ('a', 0, '', 'gone')",
        "insert into unfinished values (99)",
        f"{ENTRY} (90, 99, 1, 'remind', '{AT}', 'board', '', null)",
        f"{ENTRY} (90, 2, 9, 'shake', '{AT}', 'board', '', null)",
        f"{ENTRY} (90, 2, 9, 'undo', '{AT}', 'board', '', 3)",
        f"{ENTRY} (90, 2, 9, 'move', '{AT}', 'board', '', null)",
    ],
)
def test_the_new_tables_refuse_nonsense(record, nonsense):
    store = Store(record)
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(nonsense)


def test_each_shelf_has_a_name_of_its_own(tmp_path):
    names = [
        Store(tmp_path / f"{folder}.db").rows("select id from shelf")[0]["id"] for folder in "ab"
    ]
    assert [len(name) for name in names] == [32, 32]
    assert names[0] != names[1]
