from __future__ import annotations

import asyncio
import os
import signal
import sqlite3
import stat
import subprocess
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta

import pytest
from dbus_fast.service import dbus_method

from steepboard.daemon.lock import held_lock, holder
from tests.cli.running import done, value
from tests.cli.watching import (
    ENDS_WITHIN_S,
    LONG_S,
    desktop,
    ended,
    keeps,
    logged,
    started,
    terminated,
    until,
    watching,
    words,
)
from tests.notification_server import NotificationService

ENDED = "This `steepboard watch` has ended."


@pytest.fixture
def no_desktop(tmp_path, monkeypatch):
    """Leave the processes of a test without a session bus."""
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", f"unix:path={tmp_path}/no-bus")


def charge_a_jar_to_be_stirred(home):
    (home / "settings.toml").write_text(
        '[clock]\nzone = "UTC"\n'
        '[reminders]\nstir_at = "00:00"\nquiet_from = "00:00"\nquiet_to = "00:00"\n'
    )
    yesterday = datetime.now(UTC) - timedelta(days=1)
    done(home, "charge", "caraway", "40g", "300ml", "45%", now=yesterday)
    # Whatever the time of day at which the test runs, only the stir is due.
    done(home, "remind", "CARA-01", "--taste-from", "90", now=yesterday)


def called(home):
    """Run a `watch` that ends by itself and return its exit code and what it said."""
    pipe = subprocess.PIPE
    with subprocess.Popen(words(home), stdout=pipe, stderr=pipe, text=True) as process:
        out, err = process.communicate(timeout=LONG_S)
    return process.returncode, out, err


def test_watch_says_nothing_when_all_is_well(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)

    async def go():
        async with NotificationService() as service, started(tmp_path) as process:
            await service.until(1)
            await until(lambda: logged(tmp_path, "Sent: Stir CARA-01"))
            return await terminated(process)

    with desktop(tmp_path, monkeypatch):
        assert asyncio.run(go()) == (0, "", "")
    assert logged(tmp_path, ENDED)


def test_verbose_writes_to_the_terminal_what_goes_into_the_log(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)

    async def go():
        async with NotificationService(), started(tmp_path, "--verbose") as process:
            await until(lambda: logged(tmp_path, "Sent: Stir CARA-01"))
            return await terminated(process)

    with desktop(tmp_path, monkeypatch):
        code, out, err = asyncio.run(go())
    log = (tmp_path / "reminders.log").read_text(encoding="utf-8").splitlines()
    assert (code, err) == (0, "")
    assert out.splitlines() == [line.split(" ", 2)[2] for line in log]
    assert out.splitlines()[-1] == ENDED


@pytest.mark.usefixtures("no_desktop")
def test_trouble_is_one_plain_line_on_stderr_and_details_go_into_the_log(tmp_path):
    charge_a_jar_to_be_stirred(tmp_path)
    with watching(tmp_path) as process:
        asyncio.run(until(lambda: logged(tmp_path, "Not shown: Stir CARA-01")))
        code, out, err = ended(process)
    assert (code, out) == (0, "")
    assert err == "What is due stays due. No notification service can be reached.\n"
    assert stat.S_IMODE((tmp_path / "reminders.log").stat().st_mode) == 0o600


@pytest.mark.usefixtures("no_desktop")
def test_a_record_that_cannot_be_used_is_said_on_stderr(tmp_path):
    (tmp_path / "shelf.db").write_text("no database at all, but long enough to be read as one")
    code, out, err = called(tmp_path)
    assert (code, out) == (1, "")
    (line,) = err.splitlines()
    assert "shelf.db cannot be used" in line


@pytest.mark.usefixtures("no_desktop")
def test_a_log_that_cannot_be_written_is_said_once_and_ends_nothing(tmp_path):
    (tmp_path / "reminders.log").mkdir()
    pipe = subprocess.PIPE
    with subprocess.Popen(words(tmp_path), stdout=pipe, stderr=pipe, text=True) as process:
        complaint = process.stderr.readline()
        asyncio.run(until(lambda: keeps(tmp_path, process)))
        code, out, err = ended(process)
    assert (code, out) == (0, "")
    assert "reminders.log cannot be written" in complaint
    assert "reminders.log" not in err


@pytest.mark.usefixtures("no_desktop")
def test_a_reader_that_goes_away_ends_no_reminders(tmp_path):
    with watching(tmp_path, "--verbose") as process:
        process.stdout.close()
        process.stderr.close()
        process.terminate()
        assert process.wait(ENDS_WITHIN_S) == 0
    assert logged(tmp_path, ENDED)


@pytest.mark.usefixtures("no_desktop")
@pytest.mark.parametrize("asked", [signal.SIGTERM, signal.SIGINT])
def test_an_idle_watch_ends_when_asked_to(tmp_path, asked):
    with watching(tmp_path) as process:
        code, out, _ = ended(process, asked)
    assert (code, out) == (0, "")
    assert logged(tmp_path, ENDED)


class HangingService(NotificationService):
    """Takes a notification and never says so."""

    @dbus_method()
    async def Notify(self, app: s, replaces: u, icon: s, title: s, body: s, actions: "as", hints: "a{sv}", expire: i) -> u:  # noqa: E501, F722, F821, N802  # fmt: skip
        self.shown.append({"title": title})
        async with self._arrived:
            self._arrived.notify_all()
        await asyncio.Event().wait()


def test_watch_ends_in_the_middle_of_a_send_to_a_service_that_hangs(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)

    async def go():
        async with HangingService() as service, started(tmp_path) as process:
            await service.until(1)
            return await terminated(process)

    with desktop(tmp_path, monkeypatch):
        assert asyncio.run(go()) == (0, "", "")


@pytest.mark.usefixtures("no_desktop")
def test_watch_ends_while_it_waits_for_a_board_to_give_way(tmp_path):
    async def go():
        with held_lock(tmp_path / "reminders.lock"):
            async with started(tmp_path) as process:
                await until(lambda: holder(tmp_path / "service.lock") == str(process.pid))
                return await terminated(process)

    assert asyncio.run(go()) == (0, "", "")


@pytest.mark.usefixtures("no_desktop")
def test_watch_says_who_does_not_let_go_and_starts_once_it_does(tmp_path):
    async def go():
        with ExitStack() as board:  # one that does not look, as after Ctrl+Z
            board.enter_context(held_lock(tmp_path / "reminders.lock"))
            async with started(tmp_path) as process:
                said = await asyncio.wait_for(process.stderr.readline(), LONG_S)
                assert not logged(tmp_path, "are kept here")
                board.close()
                await until(lambda: logged(tmp_path, "are kept here"))
                assert keeps(tmp_path, process)
        return said.decode()

    line = f"Process {os.getpid()} does not let go of the reminders. They start here once it ends."
    assert asyncio.run(go()) == f"{line}\n"
    assert logged(tmp_path, line)


class AskedService(NotificationService):
    """Knows whether it was asked what it can do, which comes right before a claim."""

    asked = False

    @dbus_method()
    async def GetCapabilities(self) -> "as":  # noqa: F722, N802
        self.asked = True
        return self._capabilities


def test_watch_ends_while_somebody_else_keeps_the_record_locked(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)
    other = sqlite3.connect(tmp_path / "shelf.db", isolation_level=None)
    other.execute("begin immediate")  # so that no claim can be written

    async def go():
        async with AskedService() as service, started(tmp_path) as process:
            await until(lambda: service.asked)
            return await terminated(process)

    with desktop(tmp_path, monkeypatch):
        assert asyncio.run(go()) == (0, "", "")
    assert not logged(tmp_path, "Sent")
    other.close()


@pytest.mark.usefixtures("no_desktop")
def test_watch_ends_while_it_cannot_even_open_the_record(tmp_path):
    done(tmp_path, "jars")
    other = sqlite3.connect(tmp_path / "shelf.db", isolation_level=None)
    other.execute("pragma journal_mode = delete")
    other.execute("begin exclusive")

    async def go():
        async with started(tmp_path) as process:
            await until(lambda: keeps(tmp_path, process))
            return await terminated(process)

    assert asyncio.run(go()) == (0, "", "")
    other.close()


def test_a_button_of_the_desktop_reaches_the_diary_through_watch(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)

    async def go():
        async with NotificationService() as service, started(tmp_path) as process:
            arrived = await service.until(1)
            await until(lambda: logged(tmp_path, "Sent: Stir CARA-01"))
            service.press(0, "stirred")
            await until(lambda: logged(tmp_path, "Stirred, by the notification: CARA-01."))
            assert await terminated(process) == (0, "", "")
            return arrived

    with desktop(tmp_path, monkeypatch):
        assert asyncio.run(go())["title"] == "Stir CARA-01"
    stir = value(tmp_path, "jar", "CARA-01")["diary"][-1]
    assert (stir["kind"], stir["source"]) == ("stir", "notification")


@pytest.mark.usefixtures("no_desktop")
def test_a_second_watch_is_told_who_watches_and_ends_with_3(tmp_path):
    with watching(tmp_path) as process:
        code, out, err = called(tmp_path)
        assert keeps(tmp_path, process)
    assert (code, out) == (3, "")
    (line,) = err.splitlines()
    assert line == (
        f"Reminders for this shelf are already kept by process {process.pid}. Leave them to it, or "
        "end it first."
    )


@pytest.mark.usefixtures("no_desktop")
def test_a_killed_watch_frees_the_shelf_for_the_next_at_once(tmp_path):
    with watching(tmp_path) as first:
        first.kill()
        first.wait()
        (tmp_path / "reminders.log").unlink()  # so that the next one's greeting is awaited
        with watching(tmp_path) as second:
            assert keeps(tmp_path, second)
