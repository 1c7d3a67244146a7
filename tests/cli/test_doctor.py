from __future__ import annotations

import asyncio
import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections import namedtuple
from contextlib import closing, contextmanager
from datetime import timedelta
from pathlib import Path

import pytest

from steepboard.daemon.lock import held_lock
from steepboard.printing import fonts
from steepboard.store import deliveries
from steepboard.store.connect import Store
from tests.cli.running import done, run
from tests.notification_server import NotificationService, need, session_bus
from tests.printing import paper
from tests.shelves import MORNING

# Stands for a systemd under which the service runs.
SYSTEMCTL = (
    '#!/bin/sh\ncase "$2" in is-enabled) echo enabled ;; is-active) echo "$ACTIVE" ;; esac\n'
)
CHECKS = [
    "settings", "catalogue", "fonts", "database", "integrity", "schema", "disk", "permissions",
    "zone", "clock", "lock", "service", "notifications", "next", "last", "due",
]  # fmt: skip
WELL = """\
 · fine    settings       /tmp/sHHHHHHHH/settings.toml is in order.
 · fine    catalogue      The shipped botanicals and spirits hold: there are no
                          files of your own.
 · fine    fonts          Labels in other alphabets print in DejaVuSans.
 · fine    database       /tmp/sHHHHHHHH/shelf.db can be read and written.
 · fine    integrity      The record is sound.
 · fine    schema         The record is of this version of Steepboard.
 · fine    disk           83.7 GB are free.
 · fine    permissions    Only you may read the record.
 · fine    zone           Europe/Vienna, as settings.toml says.
 · fine    clock          It is Mon 2 Mar 2026, 9:00, UTC+01:00.
 · fine    lock           The reminders are kept by the service or a `watch`,
                          process PID.
 · fine    service        The service runs, and starts at each login.
 · fine    notifications  for tests 1 answers: it shows buttons, reads text
                          styles and keeps nothing you miss.
 · fine    next           Tue 3 Mar 2026, 9:00: Stir CARA-01.
 · fine    last           Mon 2 Mar 2026, 9:00: stir CARA-01. Sun 1 Mar 2026,
                          17:00: taste CARA-01.
 · fine    due            Nothing is due that was not said.
"""
Usage = namedtuple("Usage", "total used free")


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A shelf under a name of known length, in Vienna, with a jar of 28 February."""
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("TZ", raising=False)
    monkeypatch.setenv("HOME", str(tmp_path / "user"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path / "run"))
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", f"unix:path={tmp_path}/no bus")
    with tempfile.TemporaryDirectory(prefix="s", dir="/tmp") as folder:
        shelf = Path(folder)
        zone(shelf, "Europe/Vienna")
        charge = ("charge", "caraway", "40g", "300ml", "45%", "--acknowledge")
        done(shelf, *charge, now=MORNING - timedelta(days=2))
        yield shelf


@pytest.fixture
def systemd(tmp_path, monkeypatch):
    """A systemd that says the service is active."""
    tools = tmp_path / "tools"
    tools.mkdir()
    (tools / "systemctl").write_text(SYSTEMCTL)
    (tools / "systemctl").chmod(0o755)
    monkeypatch.setenv("PATH", f"{tools}:{os.environ['PATH']}")
    monkeypatch.setenv("ACTIVE", "active")


def zone(shelf, name):
    (shelf / "settings.toml").write_text(f'[clock]\nzone = "{name}"\n')


def looked(home, *args, code=1):
    """Return what a doctor says of each thing, who must end with `code`."""
    result = run(home, "doctor", "--json", *args)
    assert (result.exit_code, result.stderr) == (code, ""), result.output
    return {row["check"]: row for row in json.loads(result.stdout)}


def states(found):
    return {check: row["state"] for check, row in found.items()}


def broken(found):
    return {check for check, row in found.items() if row["state"] == "broken"}


def sent(home, kind, at):
    """Write down that what the only jar asked for was sent."""
    keys = [f"{kind}/1/{at:%Y-%m-%d}"]
    with closing(Store(home / "shelf.db")) as store, store.writing() as db:
        deliveries.claim(db, keys, at, timedelta(seconds=60))
        deliveries.mark_delivered(db, keys, at)


@contextmanager
def locked(path, pragma=""):
    """Keep a record locked from another process, as a program that browses such files does."""
    script = (
        "import sqlite3, sys\n"
        f"c = sqlite3.connect({str(path)!r}, isolation_level=None)\n"
        f"c.execute({pragma!r})\n"
        "c.execute('begin exclusive')\n"
        "print('locked', flush=True)\n"
        "sys.stdin.read()\n"
    )
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
    with subprocess.Popen([sys.executable, "-c", script], text=True, **pipes) as other:
        assert other.stdout.readline() == "locked\n"
        try:
            yield str(other.pid)
        finally:
            other.stdin.close()


@contextmanager
def serving(*capabilities):
    """Give a function that calls the doctor while a notification service answers, and it."""
    with asyncio.Runner() as runner:
        service = runner.run(NotificationService(*capabilities).__aenter__())

        def look(act, *args, **options):
            return runner.run(asyncio.to_thread(act, *args, **options))

        try:
            yield look, service
        finally:
            runner.run(service.__aexit__())


@pytest.fixture
def bus(home, tmp_path, monkeypatch):
    with session_bus(tmp_path) as address:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        yield address


@pytest.mark.usefixtures("bus", "systemd")
def test_a_shelf_in_good_health_reads_like_this(home, monkeypatch):
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Usage(0, 0, 83_740_000_000))
    paper.needs_dejavu()
    monkeypatch.setattr(fonts, "_KNOWN", fonts._KNOWN[:1])
    done(home, "service", "install")
    sent(home, "taste", MORNING - timedelta(hours=16))
    sent(home, "stir", MORNING)
    locks = held_lock(home / "service.lock"), held_lock(home / "reminders.lock")
    with serving() as (look, _), locks[0], locks[1]:
        said = look(done, home, "doctor")
    said = said.replace(home.name, "sHHHHHHHH").replace(f"process {os.getpid()}.", "process PID.")
    assert said == WELL


@pytest.mark.usefixtures("bus")
def test_a_test_notification_is_told_as_confirmed_only_when_it_was_taken(home):
    with serving() as (look, service):
        assert look(looked, home, "--send-test", code=0)["test"]["state"] == "fine"
        assert [shown["title"] for shown in service.shown] == ["Steepboard: a test"]
        service.refuses = True
        assert look(looked, home, "--send-test")["test"]["state"] == "broken"
        assert len(service.shown) == 1


@pytest.mark.usefixtures("bus")
def test_a_service_without_buttons_leaves_the_answer_to_the_board(home):
    with serving("body", "persistence") as (look, _):
        found = look(looked, home, code=0)["notifications"]
    assert found["state"] == "mind"
    assert "shows no buttons, shows text as it is and keeps what you miss" in found["told"]
    assert "steepboard stir" in found["advice"]


@pytest.mark.usefixtures("bus")
def test_a_service_that_hangs_is_told_as_such(home, monkeypatch):
    monkeypatch.setattr("steepboard.daemon.desktop.server.__defaults__", (0.2,))
    with serving() as (look, service):
        service.hangs = True
        found = look(looked, home)
    assert broken(found) == {"notifications"}
    assert "did not answer" in found["notifications"]["told"]


def test_without_a_bus_only_the_notifications_are_broken(home):
    found = looked(home, "--send-test")
    assert broken(found) == {"notifications", "test"}
    assert "no session bus" in found["notifications"]["told"]
    assert "on the desktop" in found["notifications"]["advice"]


def test_a_machine_without_a_desktop_is_not_called_broken_for_that(home, monkeypatch):
    for sign in ("DBUS_SESSION_BUS_ADDRESS", "DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(sign, raising=False)
    found = looked(home, code=0)["notifications"]
    assert (found["state"], "no desktop here" in found["told"]) == ("mind", True)
    assert "--calendar" in found["advice"]
    monkeypatch.setenv("DISPLAY", ":0")
    assert broken(looked(home)) == {"notifications"}


@pytest.mark.usefixtures("bus")
def test_a_bus_on_which_nobody_shows_notifications_is_told_apart_from_no_bus(home):
    found = looked(home)
    assert broken(found) == {"notifications"}
    assert "bus answers, but nothing on it" in found["notifications"]["told"]
    assert "install one" in found["notifications"]["advice"]


@pytest.mark.usefixtures("bus")
def test_a_locked_record_is_read_and_who_locks_it_is_named(home):
    with locked(home / "shelf.db") as pid, serving() as (look, _):
        found = look(looked, home)
    assert broken(found) == {"database"}
    assert f"locked by process {pid}" in found["database"]["told"]
    assert found["integrity"]["state"] == found["next"]["state"] == "fine"


@pytest.mark.usefixtures("bus")
def test_a_record_that_not_even_a_reader_gets_at_leaves_the_rest_unknown(home):
    exclusively = "pragma locking_mode = exclusive"
    with locked(home / "shelf.db", exclusively) as pid, serving() as (look, _):
        found = look(looked, home)
    assert broken(found) == {"database"}
    assert f"process {pid}" in found["database"]["told"]
    for check in ("integrity", "schema", "next", "last", "due"):
        assert (found[check]["state"], found[check]["advice"]) == ("mind", "See database.")


@pytest.mark.parametrize("mode", [0o500, 0o000])
def test_a_folder_that_may_not_be_written_or_entered_is_told(home, mode):
    done(home, "today")  # the last one to leave takes the files beside the record away
    words = [sys.executable, "-m", "steepboard", "--home", str(home), "doctor", "--json"]
    if os.geteuid() == 0:  # to whom modes are nothing, unless that right is given up
        need("setpriv")
        rights = "-dac_override,-dac_read_search"
        words = ["setpriv", f"--bounding-set={rights}", f"--inh-caps={rights}", *words]
    home.chmod(mode)
    try:
        ended = subprocess.run(words, check=False, capture_output=True, text=True, timeout=60)
    finally:
        home.chmod(0o700)
    assert (ended.returncode, ended.stderr) == (1, "")
    found = {row["check"]: row for row in json.loads(ended.stdout)}
    assert broken(found) >= {"database", "disk"}
    assert f"chmod -R u+rwX {home}" in found["disk"]["advice"]
    if mode:
        assert "cannot be written" in found["database"]["told"]
        assert "CARA-01" in found["next"]["told"]
        assert found["integrity"]["state"] == "fine"


def test_a_file_that_is_no_record_is_called_damaged_and_left_as_it_is(home):
    record = home / "shelf.db"
    content = b"No such header" + record.read_bytes()[14:]
    record.write_bytes(content)
    (home / "shelf.db.before-step-2").touch()
    found = looked(home)
    assert broken(found) >= {"database", "integrity"}
    assert "damaged" in found["database"]["told"]
    assert "shelf.db.before-step-2" in found["database"]["advice"]
    assert found["schema"]["state"] == found["due"]["state"] == "mind"
    assert record.read_bytes() == content


def test_a_damaged_page_in_the_middle_is_found(home):
    record = home / "shelf.db"
    with closing(sqlite3.connect(record)) as conn:
        conn.execute("pragma wal_checkpoint(truncate)")
        (page,) = conn.execute("select rootpage from sqlite_master where name = 'entry'").fetchone()
        (size,) = conn.execute("pragma page_size").fetchone()
    content = bytearray(record.read_bytes())
    content[(page - 1) * size : page * size] = b"\xff" * size
    record.write_bytes(content)
    found = looked(home)
    assert "integrity" in broken(found)
    assert "damaged" in found["integrity"]["told"]
    assert found["next"]["state"] == "mind"
    assert found["schema"]["state"] == "fine"


def test_a_misspelt_zone_is_told_by_name_and_hides_nothing_else(home):
    zone(home, "Europe/Viena")
    found = looked(home)
    assert broken(found) == {"settings", "zone", "notifications"}
    assert "Europe/Viena" in found["settings"]["told"]
    assert "does not exist" in found["zone"]["told"]
    assert found["database"]["state"] == "fine"
    assert found["clock"]["told"] == "It is Mon 2 Mar 2026, 8:00, UTC+00:00."


def test_a_zone_of_the_machine_that_names_nothing_is_told(home, monkeypatch):
    (home / "settings.toml").unlink()
    monkeypatch.setenv("TZ", "Nowhere/Land")
    found = looked(home)
    assert broken(found) == {"zone", "notifications"}
    assert "“Nowhere/Land”, which names no zone" in found["zone"]["told"]
    monkeypatch.setenv("TZ", "Europe/Vienna")
    assert looked(home)["zone"]["told"] == "Europe/Vienna, as TZ says."


def test_other_faults_of_the_settings_leave_the_zone_unknown(home):
    (home / "settings.toml").write_text("[steep]\ndays = 0\n")
    found = looked(home)
    assert "steep.days" in found["settings"]["told"]
    assert found["zone"]["state"] == "mind"


def test_initials_that_no_diary_takes_are_told(home):
    (home / "settings.toml").write_text('[person]\ninitials = "KL and others"\n')
    assert "settings" in broken(looked(home))


@pytest.mark.usefixtures("systemd")
@pytest.mark.parametrize(
    ("active", "state"), [("active", "fine"), ("failed", "broken"), ("inactive", "mind")]
)
def test_how_the_service_runs_is_asked_of_systemd(home, monkeypatch, active, state):
    done(home, "service", "install")
    monkeypatch.setenv("ACTIVE", active)
    assert looked(home)["service"]["state"] == state


@pytest.mark.usefixtures("systemd")
def test_a_service_file_of_another_shelf_or_writer_is_told(home, tmp_path):
    another = tmp_path / "another"
    done(another, "service", "install")
    assert looked(home)["service"]["told"] == f"The service keeps another shelf, {another}."
    another.rename(tmp_path / "moved")
    assert "another program or shelf" in looked(home)["service"]["told"]
    (unit,) = (tmp_path / "config").rglob("steepboard.service")
    unit.write_text("[Service]\n")
    assert "not written by Steepboard" in looked(home)["service"]["told"]


def test_who_keeps_the_reminders_is_told(home):
    assert looked(home)["lock"]["told"] == "Nobody keeps the reminders now."
    with held_lock(home / "reminders.lock"):
        assert "a board" in looked(home)["lock"]["told"]
        assert looked(home)["service"]["state"] == "fine"


def test_looking_where_no_shelf_is_makes_none(home, tmp_path):
    nowhere = tmp_path / "not yet"
    found = looked(nowhere)
    assert list(found) == CHECKS
    assert broken(found) == {"notifications"}
    assert "no shelf yet" in found["database"]["told"]
    assert not nowhere.exists()


def test_a_home_that_is_a_file_is_told(home):
    assert "is not a folder" in looked(home / "settings.toml")["disk"]["told"]


def test_no_line_is_wider_than_the_terminal_and_no_command_is_broken_off(home, monkeypatch):
    monkeypatch.setenv("COLUMNS", "60")
    lines = run(home, "doctor").stdout.splitlines()
    assert max(map(len, lines)) <= 60
    assert all(line.count("`") % 2 == 0 for line in lines)
    assert {re.split(" +", line.strip())[2] for line in lines if line[3] != " "} <= set(CHECKS)


@pytest.mark.parametrize(
    ("file", "rows", "state", "told"),
    [
        ("botanicals.csv", "id,days_typical\ncaraway,9\n", "fine", "Your own botanicals.csv can"),
        ("botanicals.csv", "id,days_typical\ncaraway,soon\n", "broken", "line 2, days_typical"),
        ("contents.csv", "substance,latin\nquassin,Quassia\n", "broken", "contents.csv"),
    ],
)
def test_files_of_ones_own_botanicals_are_looked_at(home, file, rows, state, told):
    (home / "catalogue").mkdir()
    (home / "catalogue" / file).write_text(rows)
    found = {row["check"]: row for row in json.loads(run(home, "doctor", "--json").stdout)}
    assert found["catalogue"]["state"] == state
    assert told in found["catalogue"]["told"]
