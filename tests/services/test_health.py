from __future__ import annotations

import shutil
import sqlite3
from collections import namedtuple
from contextlib import closing
from datetime import timedelta

import pytest

from steepboard.paths import Home
from steepboard.printing import fonts
from steepboard.services import acts, health, outlook
from steepboard.services.health import State
from steepboard.settings import load
from steepboard.store import deliveries
from tests.printing import paper
from tests.shelves import MORNING, VIENNA, desk_at, order

Usage = namedtuple("Usage", "total used free")
HOLDS = timedelta(seconds=60)


@pytest.fixture
def home(tmp_path):
    """A shelf with a jar charged on the second of March at nine in Vienna."""
    desk = desk_at(tmp_path)
    acts.charge(desk, order(), MORNING)
    desk.store.close()
    return Home(tmp_path)


def shelf(home):
    return outlook.Shelf(home, VIENNA, load())


def sent(home, keys, at, reason=""):
    with closing(desk_at(home.root).store) as store, store.writing() as db:
        assert deliveries.claim(db, keys, at, HOLDS)
        if reason:
            deliveries.release(db, keys, at, reason)
        else:
            deliveries.mark_delivered(db, keys, at)


def altered(home, sql):
    with closing(sqlite3.connect(home.record)) as conn:
        conn.executescript(sql)


def test_a_whole_record_is_fine_and_stays_as_it_is(home):
    before = home.record.read_bytes()
    for look in (health.database, health.integrity, health.schema, health.permissions):
        assert look(home).state is State.FINE, look
    assert home.record.read_bytes() == before


def test_a_row_that_belongs_to_nothing_is_damage(home):
    altered(home, "pragma foreign_keys = off; delete from jar;")
    found = health.integrity(home)
    assert found.state is State.BROKEN
    assert "belongs to a row of jar that is missing" in found.told


def test_a_record_of_a_newer_version_is_left_alone(home):
    altered(
        home,
        "insert into _sqlite_migrations(migration_set, name, applied_at)"
        " values ('steepboard', 'm999_later', '2030-01-01')",
    )
    found = health.schema(home)
    assert found.state is State.BROKEN
    assert "newer Steepboard" in found.told
    assert found.advice == "Use that version to open it."
    assert outlook.due(shelf(home), MORNING).advice == "See schema."


def test_an_empty_or_older_record_is_not_brought_up_to_date_by_looking(tmp_path):
    home = Home(tmp_path)
    home.record.touch(0o600)
    assert health.schema(home).state is State.MIND
    assert outlook.next_wake(shelf(home), MORNING).advice == "See schema."
    assert home.record.stat().st_size == 0


def test_a_record_that_others_may_read_is_told(home):
    home.record.chmod(0o644)
    found = health.permissions(home)
    assert found.state is State.MIND
    assert found.advice == f"Run `chmod 600 {home.record}`."


@pytest.mark.parametrize(
    ("free", "state", "told"),
    [
        (83_740_000_000, State.FINE, "83.7 GB are free."),
        (40_000_000, State.MIND, "40 MB are free."),
        (1_000_000, State.BROKEN, "1 MB are free."),
    ],
)
def test_little_room_on_the_disk_is_told(home, monkeypatch, free, state, told):
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Usage(0, 0, free))
    found = health.disk(home)
    assert (found.state, found.told) == (state, told)


def test_the_next_reminder_is_told_with_what_it_is_for(home):
    found = outlook.next_wake(shelf(home), MORNING)
    assert found.told == "Tue 3 Mar 2026, 9:00: Stir CARA-01."


def test_what_was_not_said_is_told_until_it_was(home):
    late = MORNING + timedelta(days=1, hours=2)
    found = outlook.due(shelf(home), late)
    assert found.state is State.MIND
    assert found.told == "Not said yet: Stir CARA-01, since Tue 3 Mar 2026, 9:00."
    sent(home, ["stir/1/2026-03-03"], late)
    assert outlook.due(shelf(home), late).state is State.FINE


def test_the_last_three_are_told_and_why_one_failed(home):
    assert outlook.last_deliveries(shelf(home), MORNING).told == "Nothing was sent yet."
    for day in range(1, 5):
        sent(home, [f"stir/1/2026-03-0{day + 2}"], MORNING + timedelta(days=day))
    end = MORNING + timedelta(days=5)
    sent(home, ["strain/1/2026-03-07", "loud/1/2026-03-07"], end, "No one answered.")
    found = outlook.last_deliveries(shelf(home), end)
    assert found.state is State.MIND
    assert found.told == (
        "Sat 7 Mar 2026, 9:00: strain CARA-01: not shown. No one answered. "
        "Fri 6 Mar 2026, 9:00: stir CARA-01. Thu 5 Mar 2026, 9:00: stir CARA-01."
    )


def test_a_clock_that_was_far_ahead_is_told_and_nothing_is_mended(home):
    sent(home, ["stir/1/2026-05-03"], MORNING + timedelta(days=62))
    found = outlook.due(shelf(home), MORNING)
    assert found.state is State.MIND
    assert "a day ahead" in found.told
    with closing(desk_at(home.root).store) as store:
        assert len(deliveries.last(store, 3)) == 1


def test_a_shelf_without_jars_asks_for_nothing(tmp_path):
    desk_at(tmp_path).store.close()
    found = outlook.next_wake(shelf(Home(tmp_path)), MORNING)
    assert (found.state, found.told) == (State.FINE, "No jar asks for anything yet to come.")


def test_a_font_that_prints_other_alphabets_is_told_by_its_name():
    paper.needs_dejavu()
    found = health.fonts("")
    assert found.state is State.FINE
    assert "DejaVuSans" in found.told


def test_without_a_font_it_is_said_what_prints_and_what_to_install(monkeypatch):
    fonts._found.cache_clear()
    monkeypatch.setattr(fonts, "_FOLDERS", ())
    try:
        found = health.fonts("")
    finally:
        fonts._found.cache_clear()
    assert found.state is State.MIND
    assert "western Europe only" in found.told
    assert "fonts-dejavu-core" in found.advice


def test_a_font_of_the_settings_that_is_none_breaks_the_labels(tmp_path):
    (tmp_path / "own.ttf").write_text("no font")
    for path in ("own.ttf", "missing.ttf"):
        found = health.fonts(str(tmp_path / path))
        assert found.state is State.BROKEN
        assert path in found.told
