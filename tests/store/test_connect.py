"""The record: private, strict, shared by several processes, and never half written."""

from __future__ import annotations

import multiprocessing
import sqlite3
import stat
import subprocess
import sys
import textwrap

import pytest

from steepboard.errors import RecordUnusable, TooNew
from steepboard.store import connect
from steepboard.store.connect import Store


def test_the_file_and_its_folder_are_for_the_owner_alone(tmp_path):
    folder = tmp_path / "new"
    Store(folder / "shelf.db").close()
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert stat.S_IMODE((folder / "shelf.db").stat().st_mode) == 0o600


def test_a_record_that_others_could_read_is_closed_to_them(tmp_path):
    Store(tmp_path / "shelf.db").close()
    (tmp_path / "shelf.db").chmod(0o644)
    Store(tmp_path / "shelf.db").close()
    assert stat.S_IMODE((tmp_path / "shelf.db").stat().st_mode) == 0o600


def test_a_folder_that_may_not_be_written_is_said_so_in_plain_words(tmp_path):
    """Root may write everywhere, so a folder's place is taken by a file, which holds for all."""
    (tmp_path / "shelf").write_text("not a folder")
    with pytest.raises(RecordUnusable, match=r"cannot be used: (File exists|Not a directory)\.$"):
        Store(tmp_path / "shelf" / "shelf.db")


def test_every_table_is_strict_and_the_log_is_written_ahead(tmp_path):
    store = Store(tmp_path / "shelf.db")
    tables = store.rows("select name, strict from pragma_table_list where schema = 'main'")
    ours = {t["name"]: t["strict"] for t in tables if not t["name"].startswith(("sqlite", "_"))}
    views = {"live", "bottle_live", "house_live"}
    assert {name for name, strict in ours.items() if not strict} <= views
    assert store.rows("pragma journal_mode") == [{"journal_mode": "wal"}]
    assert store.rows("pragma foreign_keys") == [{"foreign_keys": 1}]


ENTRY = "insert into entry(jar_id, act, kind, at, source, initials) values (?, ?, ?, ?, ?, 'KL')"
JAR = "insert into jar(code, name) values (?, ?)"
AT = "2026-03-02T08:00:00.000000Z"


@pytest.mark.parametrize(
    ("sql", "row"),
    [
        (JAR, ("cara-02", "small letters")),
        (JAR, ("CARA-02", "  ")),
        (JAR, ("CARA-01", "taken")),
        (ENTRY, (99, 1, "stir", AT, "board")),
        (ENTRY, (1, 1, "shake", AT, "board")),
        (ENTRY, (1, 1, "stir", "2026-03-02 08:00", "board")),
        (ENTRY, (1, 1, "move", AT, "board")),
        (ENTRY, (1, "first", "stir", AT, "board")),
        (ENTRY, (1, 1, "stir", AT, "hearsay")),
    ],
)
def test_the_record_itself_refuses_what_makes_no_sense(tmp_path, sql, row):
    store = Store(tmp_path / "shelf.db")
    store.conn.execute(JAR, ("CARA-01", "caraway"))
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(sql, row)


def test_a_failed_transaction_leaves_nothing_behind(tmp_path):
    store = Store(tmp_path / "shelf.db")

    def fail_half_way():
        with store.writing() as db:
            db.table("jar").insert({"code": "CARA-01", "name": "caraway"})
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fail_half_way()
    assert store.rows("select * from jar") == []
    assert not store.conn.in_transaction


def _count_up(path, times):
    store = Store(path)
    for _ in range(times):
        with store.writing() as db:  # reads, then writes: a lost update would show as a smaller sum
            (held,) = db.execute("select count(*) from jar").fetchone()
            db.table("jar").insert({"code": f"CARA-{held + 1:04d}", "name": "caraway"})


def test_a_transaction_inside_another_fails_alone_and_what_was_worked_out_in_it_is_forgotten(
    tmp_path,
):
    store = Store(tmp_path / "shelf.db")

    def codes():
        return store.remembered("codes", lambda: store.tuples("select code from jar order by id"))

    def keep(code):
        store.conn.execute("insert into jar(code, name) values (?, 'x')", [code])

    def fail_inside():
        with store.transaction():
            keep("BB-01")
            assert codes() == [("AA-01",), ("BB-01",)]
            raise KeyError

    def fail_around():
        with store.transaction():
            with store.transaction():
                keep("DD-01")
            assert len(codes()) == 3
            raise KeyError

    with store.transaction():
        keep("AA-01")
        with pytest.raises(KeyError):
            fail_inside()
        assert codes() == [("AA-01",)]
        with store.transaction():
            keep("CC-01")
    assert codes() == [("AA-01",), ("CC-01",)]
    with pytest.raises(KeyError):
        fail_around()
    assert codes() == [("AA-01",), ("CC-01",)]
    assert not store.conn.in_transaction


def test_three_processes_that_open_a_new_record_and_write_lose_nothing(tmp_path):
    path = tmp_path / "shelf.db"
    context = multiprocessing.get_context("spawn")
    workers = [context.Process(target=_count_up, args=(path, 20)) for _ in range(3)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join(60)
    assert [worker.exitcode for worker in workers] == [0, 0, 0]
    assert Store(path).rows("select count(*) as n, max(code) as last from jar") == [
        {"n": 60, "last": "CARA-0060"}
    ]


def test_what_was_acknowledged_survives_a_kill(tmp_path):
    path = tmp_path / "shelf.db"
    program = textwrap.dedent(f"""
        from pathlib import Path
        from steepboard.store.connect import Store
        store = Store(Path({str(path)!r}))
        number = 0
        while True:
            number += 1
            with store.writing() as db:
                db.table("jar").insert({{"code": f"CARA-{{number:05d}}", "name": "caraway"}})
            print(number, flush=True)
    """)
    with subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE) as writer:
        acknowledged = [int(writer.stdout.readline()) for _ in range(25)]
        writer.kill()
        acknowledged += [int(line) for line in writer.stdout.read().splitlines()]
    store = Store(path)
    assert store.rows("pragma integrity_check") == [{"integrity_check": "ok"}]
    (found,) = store.rows("select count(*) as n from jar")
    assert found["n"] >= acknowledged[-1]


def test_a_change_by_another_connection_is_noticed(tmp_path):
    store, other = Store(tmp_path / "shelf.db"), Store(tmp_path / "shelf.db")
    before = store.version()
    assert store.version() == before
    with other.writing() as db:
        db.table("jar").insert({"code": "CARA-01", "name": "caraway"})
    assert store.version() != before


def test_a_full_disk_refuses_the_write_and_keeps_what_was_there(tmp_path):
    store = Store(tmp_path / "shelf.db")
    with store.writing() as db:
        db.table("jar").insert({"code": "CARA-01", "name": "caraway"})
    (size,) = store.rows("pragma page_count")
    store.conn.execute(f"pragma max_page_count = {size['page_count']}")

    def write_much():
        with store.writing() as db:
            db.table("delivery").insert_all({"key": f"{n:0500d}"} for n in range(200))

    with pytest.raises(RecordUnusable, match="full"):
        write_much()
    assert store.rows("select code from jar") == [{"code": "CARA-01"}]
    assert store.rows("select key from delivery") == []


def test_a_writer_that_never_ends_is_told_and_loses_nothing(tmp_path, monkeypatch):
    monkeypatch.setattr(connect, "BUSY_SECONDS", 0.05)
    store, other = Store(tmp_path / "shelf.db"), Store(tmp_path / "shelf.db")

    def write():
        with store.writing() as db:
            db.table("jar").insert({"code": "CARA-01", "name": "caraway"})

    with other.writing(), pytest.raises(RecordUnusable, match="locked"):
        write()
    write()
    assert store.rows("select code from jar") == [{"code": "CARA-01"}]


def test_a_file_that_is_no_record_is_said_to_be_unusable_and_left_alone(tmp_path):
    path = tmp_path / "shelf.db"
    path.write_bytes(b"this is a shopping list, not a database" * 200)
    with pytest.raises(RecordUnusable, match=r"shelf\.db"):
        Store(path)
    assert path.read_bytes().startswith(b"this is a shopping list")


def test_a_record_of_a_newer_version_is_refused(tmp_path):
    store = Store(tmp_path / "shelf.db")
    store.conn.execute(
        "insert into _sqlite_migrations(migration_set, name, applied_at)"
        " values ('steepboard', 'm999_later', '2030-01-01')"
    )
    with pytest.raises(TooNew, match="m999_later"):
        Store(tmp_path / "shelf.db")


LISTING = """
import sys
from pathlib import Path
from steepboard.store.connect import Store

store = Store(Path(sys.argv[1]))
print([row["code"] for row in store.rows("select code from jar order by code")])
store.close()
"""


def test_a_second_connection_that_closes_leaves_the_first_its_locks(tmp_path):
    path = tmp_path / "shelf.db"

    def listed_elsewhere():
        # A process that believes to be the last one clears the log away when it closes.
        command = [sys.executable, "-c", LISTING, str(path)]
        return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()

    kept = Store(path)
    with kept.writing() as db:
        db.table("jar").insert({"code": "CARA-01", "name": "Caraway"})
    Store(path).close()
    assert listed_elsewhere() == "['CARA-01']"
    with kept.writing() as db:
        db.table("jar").insert({"code": "FENN-01", "name": "Fennel"})
    assert listed_elsewhere() == "['CARA-01', 'FENN-01']"
