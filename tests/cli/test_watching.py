from __future__ import annotations

import asyncio
import signal
import stat
import subprocess
import sys
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta

import pytest

from steepboard.daemon.lock import reminder_lock
from tests.cli.running import done, refused, value
from tests.notification_server import NotificationService, session_bus

WATCH = (sys.executable, "-u", "-m", "steepboard")


@contextmanager
def watching(home):
    """Run `steepboard watch` in a process of its own, from its first line on."""
    words = [*WATCH, "--home", str(home), "watch"]
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


def test_a_log_that_cannot_be_written_is_said_once_and_ends_nothing(tmp_path):
    (tmp_path / "reminders.log").mkdir()
    with watching(tmp_path) as process:
        process.send_signal(signal.SIGTERM)
        out, err = process.communicate(timeout=20)
    assert (process.returncode, out.splitlines()[-1]) == (0, "Reminders have ended.")
    (line,) = err.splitlines()
    assert "reminders.log cannot be written" in line


def test_a_reader_that_goes_away_ends_no_reminders(tmp_path):
    with watching(tmp_path) as process:
        process.stdout.close()
        process.send_signal(signal.SIGTERM)
        assert process.wait(20) == 0
    assert "Reminders have ended." in (tmp_path / "reminders.log").read_text(encoding="utf-8")


def test_a_button_of_the_desktop_reaches_the_diary_through_watch(tmp_path, monkeypatch):
    (tmp_path / "settings.toml").write_text(
        '[clock]\nzone = "UTC"\n[reminders]\nstir_at = "00:00"\n'
    )
    yesterday = datetime.now(UTC) - timedelta(days=1)
    done(tmp_path, "charge", "caraway", "40g", "300ml", "45%", now=yesterday)

    async def go():
        async with NotificationService() as service:
            process = await asyncio.create_subprocess_exec(
                *WATCH, "--home", tmp_path, "watch", stdout=asyncio.subprocess.PIPE
            )
            arrived = await service.until(1)
            await line_with(process, "Sent: Stir CARA-01")
            service.press(0, "stirred")
            await line_with(process, "Stirred, by the notification: CARA-01.")
            process.terminate()
            assert await asyncio.wait_for(process.wait(), 20) == 0
            return arrived

    with session_bus(tmp_path) as address:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        assert asyncio.run(go())["title"] == "Stir CARA-01"
    stir = value(tmp_path, "jar", "CARA-01")["diary"][-1]
    assert (stir["kind"], stir["source"]) == ("stir", "notification")


async def line_with(process, text):
    """Read what the process says up to the line with `text`."""
    while text not in (line := await asyncio.wait_for(process.stdout.readline(), 20)).decode():
        assert line, f"it ended without saying {text}"


def test_a_second_watch_is_refused_and_told_who_watches(tmp_path):
    with watching(tmp_path) as process:
        assert str(process.pid) in refused(tmp_path, "watch", code=1)


def test_watch_is_refused_while_a_board_keeps_the_reminders(tmp_path):
    with reminder_lock(tmp_path / "reminders.lock"):
        assert "already kept" in refused(tmp_path, "watch", code=1)
