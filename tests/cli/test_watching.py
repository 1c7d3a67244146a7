from __future__ import annotations

import signal
import stat
import subprocess
import sys
from contextlib import contextmanager

import pytest

from steepboard.daemon.lock import reminder_lock
from tests.cli.running import done, refused
from tests.notification_server import session_bus


@contextmanager
def watching(home):
    """Run `steepboard watch` in a process of its own, from its first line on."""
    words = [sys.executable, "-u", "-m", "steepboard", "--home", str(home), "watch"]
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert str(home) in process.stdout.readline()
        try:
            yield process
        finally:
            process.kill()


@pytest.mark.parametrize("asked", [signal.SIGTERM, signal.SIGINT])
def test_watch_ends_cleanly_when_asked_to(tmp_path, asked):
    with watching(tmp_path) as process:
        process.send_signal(asked)
        out, err = process.communicate(timeout=20)
    assert (process.returncode, err) == (0, "")
    assert out.splitlines()[-1] == "Reminders have ended."


def test_what_cannot_be_shown_is_said_in_one_plain_line_and_logged(tmp_path, monkeypatch):
    done(tmp_path, "charge", "caraway", "40g", "300ml", "45%", "--days", "14")
    with session_bus(tmp_path) as address:  # with no notification service on it
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        with watching(tmp_path) as process:
            said = [process.stdout.readline(), process.stdout.readline()]
    assert sum(line.startswith("Not shown: Strain CARA-01 today") for line in said) == 1
    log = tmp_path / "reminders.log"
    assert stat.S_IMODE(log.stat().st_mode) == 0o600
    assert "Not shown: Strain CARA-01 today" in log.read_text(encoding="utf-8")


def test_a_second_watch_is_refused_and_told_who_watches(tmp_path):
    with watching(tmp_path) as process:
        assert str(process.pid) in refused(tmp_path, "watch", code=1)


def test_watch_is_refused_while_a_board_keeps_the_reminders(tmp_path):
    with reminder_lock(tmp_path / "reminders.lock"):
        assert "already kept" in refused(tmp_path, "watch", code=1)
