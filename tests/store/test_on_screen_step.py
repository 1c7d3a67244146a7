"""From the schema that knew more readings to the one that knows what is on the screen."""

from __future__ import annotations

import json
import sqlite3

import pytest

from steepboard.domain.notices import LATER, OPEN, STIRRED, Notice, Task
from steepboard.domain.schedule import ReminderKind
from steepboard.store import migrations, on_screen, steps
from steepboard.store.connect import Store
from tests.fakes import utc

NOTICE = Notice(
    "stir",
    utc("2026-11-25T08:00"),
    "Stir ROSE-01",
    'Rosé "night bar" 🌹',
    ("stir/1/2026-11-25", "stir/1/2026-11-24"),
    (Task(ReminderKind.STIR, 1), Task(ReminderKind.GET_READY, 2)),
    (STIRRED, LATER, OPEN),
    loud=True,
)
PLAIN = Notice("answer", utc("2026-11-25T08:00"), "Put off: ROSE-01", "Again at 10:05.")


@pytest.fixture
def store(tmp_path, monkeypatch):
    """Give a record of the third schema with a jar in it, brought up to date."""
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", steps.STEPS[:3])
        before = Store(tmp_path / "shelf.db")
        before.conn.execute("insert into jar values (1, 'ROSE-01', 'Rose')")
        before.close()
    return Store(tmp_path / "shelf.db")


def put(store, notice, token):
    with store.transaction() as conn:
        on_screen.put(conn, notice, token)


def test_the_jars_are_kept_and_nothing_is_on_the_screen_yet(store):
    assert store.rows("select * from jar") == [{"id": 1, "code": "ROSE-01", "name": "Rose"}]
    assert on_screen.every(store) == {}


def test_a_notice_is_read_as_it_was_put(store):
    put(store, NOTICE, "here 7")
    put(store, PLAIN, "here 8")
    assert on_screen.every(Store(store.path)) == {"here 7": NOTICE, "here 8": PLAIN}


def test_a_slot_holds_the_last_notice_until_it_is_forgotten(store):
    put(store, NOTICE, "here 7")
    put(store, NOTICE, "here 9")
    put(store, PLAIN, "here 8")
    assert on_screen.every(store) == {"here 9": NOTICE, "here 8": PLAIN}
    with store.transaction() as conn:
        on_screen.forget(conn, {"stir", "taste"})
    assert on_screen.every(store) == {"here 8": PLAIN}


def test_a_number_that_the_service_gave_again_belongs_to_the_later_notice(store):
    put(store, NOTICE, "here 7")
    put(store, PLAIN, "here 7")
    assert on_screen.every(store) == {"here 7": PLAIN}


@pytest.mark.parametrize(
    "change",
    [
        {"picture": "jar.png"},
        {"due": None},
        {"due": "soon"},
        {"tasks": [{"kind": "water", "jar_id": 1}]},
        {"tasks": [3]},
        {"buttons": [{"label": "Open"}]},
    ],
)
def test_what_another_version_wrote_otherwise_is_left_out(store, change):
    put(store, PLAIN, "here 8")
    put(store, NOTICE, "here 7")
    sql = "update on_screen set notice = json_patch(notice, ?) where token = 'here 7'"
    store.conn.execute(sql, [json.dumps(change)])
    assert on_screen.every(store) == {"here 8": PLAIN}


@pytest.mark.parametrize(
    "nonsense",
    [
        "insert into on_screen values ('stir', '', '{}')",
        "insert into on_screen values ('stir', 'here 7', 'nothing')",
        "insert into on_screen values ('stir', 'here 7', null)",
        "insert into on_screen values ('taste', 'here 8', '{}')",
        "insert into on_screen values ('answer', 'here 9', '{}')",
    ],
)
def test_the_new_table_refuses_nonsense(store, nonsense):
    put(store, PLAIN, "here 8")
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(nonsense)
