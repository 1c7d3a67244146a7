from __future__ import annotations

import asyncio
import os
import shlex
import subprocess

import pytest

from steepboard.daemon.lock import held_lock
from tests.cli.running import done, refused, value
from tests.cli.watching import ended, keeps, until
from tests.notification_server import need

# Stands for systemd where none runs: writes down what it is asked and answers as it would.
SYSTEMCTL = """#!/bin/sh
echo "$*" >> "$ASKED"
case "$2" in
is-enabled) echo enabled ;;
is-active) echo active ;;
"$REFUSES") echo "Unit is masked." >&2; exit 1 ;;
esac
"""
UNIT = "steepboard.service"


@pytest.fixture
def unit(tmp_path, monkeypatch):
    """Where the unit goes: a folder of the test; and no systemd of the machine is reached."""
    monkeypatch.setenv("HOME", str(tmp_path / "user"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path / "run"))
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS", raising=False)
    return tmp_path / "config" / "systemd" / "user" / UNIT


@pytest.fixture
def asked(tmp_path, monkeypatch):
    """Let a systemd answer; returns a function that tells what it was asked."""
    tools, asked = tmp_path / "tools", tmp_path / "asked"
    tools.mkdir()
    (tools / "systemctl").write_text(SYSTEMCTL)
    (tools / "systemctl").chmod(0o755)
    monkeypatch.setenv("PATH", f"{tools}:{os.environ['PATH']}")
    monkeypatch.setenv("ASKED", str(asked))
    monkeypatch.setenv("REFUSES", "nothing")
    return lambda: asked.read_text().splitlines()


@pytest.fixture
def no_systemd(tmp_path, monkeypatch):
    """Leave the program without any other one."""
    (tmp_path / "empty").mkdir()
    monkeypatch.setenv("PATH", str(tmp_path / "empty"))


@pytest.fixture
def shelf(tmp_path):
    return tmp_path / "Große Bar 100%"


def test_install_writes_the_unit_and_starts_it(shelf, unit, asked):
    said = done(shelf, "service", "install")
    assert said.splitlines() == [f"Written: {unit}.", "Started, now and at each login."]
    ask = "--user"
    assert asked() == [f"{ask} enable {UNIT}", f"{ask} daemon-reload", f"{ask} restart {UNIT}"]


@pytest.mark.usefixtures("no_systemd")
def test_what_the_unit_starts_keeps_the_reminders_of_this_shelf(shelf, unit, monkeypatch):
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nonexistent/bus")
    done(shelf, "service", "install")
    (line,) = [line for line in unit.read_text().splitlines() if line.startswith("ExecStart=")]
    words = [w.replace("%%", "%") for w in shlex.split(line.removeprefix("ExecStart=:"))]
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        try:
            asyncio.run(until(lambda: keeps(shelf, process)))
            standing = value(shelf, "service", "status")
            assert standing["kept_by"] == str(process.pid)
            assert ended(process)[:2] == (0, "")
        finally:
            process.kill()


@pytest.mark.usefixtures("no_systemd")
def test_without_systemd_a_person_is_told_what_to_run(shelf, unit):
    first, second = done(shelf, "service", "install").splitlines()
    assert first == f"Written: {unit}."
    assert second.endswith(
        f"systemctl --user enable {UNIT} && systemctl --user daemon-reload"
        f" && systemctl --user restart {UNIT}"
    )
    assert value(shelf, "service", "status")["now"] is None
    assert "systemctl --user stop" in done(shelf, "service", "remove")
    assert not unit.exists()


def test_with_systemd_but_no_login_the_service_is_ready_for_the_next(shelf, unit):
    need("systemctl")
    said = done(shelf, "service", "install")
    assert "systemd does not answer here." in said
    assert (unit.parent / "default.target.wants" / UNIT).resolve() == unit
    standing = value(shelf, "service", "status")
    assert (standing["at_login"], standing["now"]) == ("enabled", None)
    done(shelf, "service", "remove")
    assert not (unit.parent / "default.target.wants" / UNIT).is_symlink()


@pytest.mark.usefixtures("unit", "asked")
def test_what_systemd_refuses_is_passed_on_with_what_is_left_to_do(shelf, monkeypatch):
    monkeypatch.setenv("REFUSES", "restart")
    line = done(shelf, "service", "install").splitlines()[1]
    assert line.startswith("systemd says: Unit is masked.")
    assert line.endswith(f": systemctl --user restart {UNIT}")


@pytest.mark.usefixtures("asked")
def test_status_tells_a_shelf_that_moved_from_one_that_stayed(shelf, unit):
    said = done(shelf, "service", "status")
    assert "is not there" in said
    assert "At login: disabled." in said
    done(shelf, "service", "install")
    assert f"{unit} starts this program with this shelf." in done(shelf, "service", "status")
    assert value(shelf, "service", "status") == {
        "file": str(unit), "is_there": True, "is_ours": True, "is_up_to_date": True,
        "at_login": "enabled", "now": "active", "kept_by": None,
    }  # fmt: skip
    moved = shelf.rename(shelf.with_name("moved"))
    assert "another program or shelf" in done(moved, "service", "status")
    assert not value(moved, "service", "status")["is_up_to_date"]
    done(moved, "service", "install")
    assert value(moved, "service", "status")["is_up_to_date"]


@pytest.mark.usefixtures("asked")
def test_the_service_of_another_shelf_is_not_taken_over_without_a_word(shelf, unit, tmp_path):
    done(shelf, "service", "install")
    written, other = unit.read_text(), tmp_path / "other"
    told = refused(other, "service", "install", code=1)
    assert str(shelf) in told
    assert "`steepboard service remove` first" in told
    assert unit.read_text() == written
    assert f"keeps another shelf, {shelf}." in done(other, "service", "status")
    done(other, "service", "remove")
    done(other, "service", "install")
    assert value(other, "service", "status")["is_up_to_date"]


@pytest.mark.usefixtures("unit", "asked")
def test_status_tells_who_keeps_the_reminders(shelf):
    assert "kept by nobody now" in done(shelf, "service", "status")
    with held_lock(shelf / "reminders.lock"):
        assert f"kept by process {os.getpid()} now" in done(shelf, "service", "status")
        assert value(shelf, "service", "status")["kept_by"] == str(os.getpid())


def test_remove_stops_disables_and_deletes(shelf, unit, asked):
    done(shelf, "service", "install")
    before = len(asked())
    said = done(shelf, "service", "remove").splitlines()
    assert said == ["Stopped, and not started at login any more.", f"Deleted: {unit}."]
    assert not unit.exists()
    assert [line.split()[1] for line in asked()[before:]] == ["disable", "stop", "daemon-reload"]


def test_removing_what_is_not_there_does_no_harm_and_says_so(shelf, unit, asked, tmp_path):
    assert done(shelf, "service", "remove") == f"There is nothing to remove: no {unit}.\n"
    assert not (tmp_path / "asked").exists()


@pytest.mark.parametrize("act", ["install", "remove"])
def test_a_unit_of_somebody_else_is_left_alone(shelf, unit, asked, act, tmp_path):
    unit.parent.mkdir(parents=True)
    unit.write_text("[Service]\nExecStart=/bin/true\n")
    assert "was not written by Steepboard" in refused(shelf, "service", act, code=1)
    assert unit.read_text() == "[Service]\nExecStart=/bin/true\n"
    assert "was not written by Steepboard" in done(shelf, "service", "status")
    assert not value(shelf, "service", "status")["is_ours"]
    assert not any(line.split()[1] in ("disable", "enable") for line in asked())


@pytest.mark.usefixtures("asked")
def test_a_folder_for_settings_that_is_not_absolute_is_not_used(shelf, unit, tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", "config")
    done(shelf, "service", "install")
    assert (tmp_path / "user" / ".config" / "systemd" / "user" / UNIT).is_file()
    assert not unit.exists()


def test_a_service_without_a_word_more_is_a_wrong_call(shelf):
    assert "--help" in refused(shelf, "service", code=2)


@pytest.mark.parametrize("act", ["install", "status", "remove"])
def test_each_has_help_with_an_example(shelf, act):
    assert f"Example: steepboard service {act}" in done(shelf, "service", act, "--help")


AGENT = "user/Library/LaunchAgents/local.steepboard.reminders.plist"


@pytest.mark.parametrize(
    ("system", "where", "start", "end"),
    [
        ("darwin", AGENT, "launchctl bootstrap", "launchctl bootout"),
        ("win32", "shelf/steepboard-task.xml", "schtasks /Create", "schtasks /End"),
    ],
)
@pytest.mark.usefixtures("unit")
def test_elsewhere_the_file_is_written_and_the_rest_is_left_to_the_person(
    tmp_path, monkeypatch, system, where, start, end
):
    monkeypatch.setattr("sys.platform", system)
    file = tmp_path / where
    said = done(tmp_path / "shelf", "service", "install").splitlines()
    assert said[1].startswith(f"Left for you to run where you are logged in: {start}")
    assert file.is_file()
    said = done(tmp_path / "shelf", "service", "remove").splitlines()
    assert said[0].startswith(f"Left for you to run where you are logged in: {end}")
    assert not file.exists()
