"""Migrations: forward only, whole or not at all, with a copy of what was there before."""

from __future__ import annotations

import sqlite3

import pytest

from steepboard.errors import RecordUnusable
from steepboard.services import acts, views
from steepboard.store import migrations
from steepboard.store.connect import Store
from tests.shelves import MORNING, desk_at, order

COPY = f"shelf.db.before-step-{len(migrations.STEPS) + 1}"


def m900_later(db):
    db.execute("alter table jar add column place text not null default ''")


def m901_broken(db):
    db.execute("alter table jar add column shade text not null default ''")
    db.execute("insert into nowhere values (1)")


def test_a_step_that_comes_later_keeps_the_rows_and_copies_the_record_first(tmp_path, monkeypatch):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    desk.store.close()
    monkeypatch.setattr(migrations, "STEPS", (*migrations.STEPS, m900_later))
    assert views.jar(desk_at(tmp_path), made.code) == made
    (copy,) = tmp_path.glob(COPY)
    assert copy.stat().st_mode & 0o777 == 0o600
    with sqlite3.connect(copy) as old:
        assert old.execute("select code from jar").fetchall() == [(made.code,)]
        assert "place" not in {row[1] for row in old.execute("pragma table_info(jar)")}


def test_a_copy_from_before_is_never_written_over(tmp_path, monkeypatch):
    Store(tmp_path / "shelf.db").close()
    (tmp_path / COPY).write_text("an older copy")
    monkeypatch.setattr(migrations, "STEPS", (*migrations.STEPS, m900_later))
    Store(tmp_path / "shelf.db").close()
    assert (tmp_path / COPY).read_text() == "an older copy"
    with sqlite3.connect(tmp_path / f"{COPY}.1") as copy:
        assert copy.execute("select count(*) from jar").fetchone() == (0,)


def test_a_step_that_fails_changes_nothing_and_can_be_tried_again(tmp_path, monkeypatch):
    Store(tmp_path / "shelf.db").close()
    sound = migrations.STEPS
    monkeypatch.setattr(migrations, "STEPS", (*sound, m900_later, m901_broken))
    with pytest.raises(RecordUnusable):
        Store(tmp_path / "shelf.db")
    monkeypatch.setattr(migrations, "STEPS", sound)
    columns = {row["name"] for row in Store(tmp_path / "shelf.db").rows("pragma table_info(jar)")}
    assert columns == {"id", "code", "name"}
    monkeypatch.setattr(migrations, "STEPS", (*sound, m900_later))
    columns = {row["name"] for row in Store(tmp_path / "shelf.db").rows("pragma table_info(jar)")}
    assert columns == {"id", "code", "name", "place"}
