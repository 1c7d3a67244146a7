"""What `watch` makes of its surroundings: the desktop, a bare terminal, the zone of the machine."""

from __future__ import annotations

import asyncio
import os
import pty
import subprocess
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import vobject

from tests.cli.running import done
from tests.cli.test_board import read_until
from tests.cli.test_watching import charge_a_jar_to_be_stirred
from tests.cli.watching import desktop, ended, logged, started, terminated, until, watching, words
from tests.notification_server import NotificationService, session_bus

YESTERDAY = datetime.now(UTC) - timedelta(days=1)
APIA = ZoneInfo("Pacific/Apia")  # half a day from UTC


@pytest.fixture
def no_bus(tmp_path, monkeypatch):
    """Leave the processes of a test without any sign of a session bus."""
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS", raising=False)
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))


@contextmanager
def on_bare_terminal(home, *options):
    terminal, inside = pty.openpty()
    with subprocess.Popen(
        words(home, *options), stdin=inside, stdout=inside, stderr=inside
    ) as process:
        os.close(inside)
        try:
            yield process, terminal
        finally:
            process.kill()
            os.close(terminal)


@pytest.mark.usefixtures("no_bus")
def test_without_a_desktop_the_terminal_rings_and_gets_a_line(tmp_path):
    charge_a_jar_to_be_stirred(tmp_path)
    with on_bare_terminal(tmp_path) as (process, terminal):
        assert read_until(terminal, "\n") == "\aStir CARA-01: Caraway seed. Due since 0:00.\r\n"
        asyncio.run(until(lambda: logged(tmp_path, "Sent: Stir CARA-01")))
        process.terminate()
        assert process.wait(5) == 0


@pytest.mark.usefixtures("no_bus")
def test_on_a_bare_terminal_each_reminder_stands_once_however_much_is_told(tmp_path):
    charge_a_jar_to_be_stirred(tmp_path)
    with on_bare_terminal(tmp_path, "--verbose") as (process, terminal):
        asyncio.run(until(lambda: logged(tmp_path, "Sent: Stir CARA-01")))
        process.terminate()
        assert read_until(terminal, "has ended.").count("Stir CARA-01") == 1


def test_what_could_not_be_shown_stands_once_on_the_terminal(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)
    with (
        desktop(tmp_path, monkeypatch),
        on_bare_terminal(tmp_path, "--verbose") as (process, terminal),
    ):
        asyncio.run(until(lambda: logged(tmp_path, "Not shown: Stir CARA-01")))
        process.terminate()
        told = read_until(terminal, "has ended.")
    assert (told.count("Stir CARA-01"), told.count("\a")) == (1, 1)


@pytest.mark.usefixtures("no_bus")
def test_without_a_desktop_and_a_terminal_what_is_due_stays_due(tmp_path):
    charge_a_jar_to_be_stirred(tmp_path)
    with watching(tmp_path) as process:
        asyncio.run(until(lambda: logged(tmp_path, "Not shown: Stir CARA-01")))
        code, out, err = ended(process)
    assert (code, out) == (0, "")
    assert err.startswith("What is due stays due.")


@pytest.mark.parametrize("pressed", ["open", "default"])  # the second: a click on the words
def test_open_and_a_click_open_the_board_in_a_terminal(tmp_path, monkeypatch, pressed):
    charge_a_jar_to_be_stirred(tmp_path)
    program, told = tmp_path / "lantern", tmp_path / "words"
    program.write_text(
        f"#!/bin/sh\nprintf '%s\\n' \"$@\" > '{told}.new'; mv '{told}.new' '{told}'\n"
    )
    program.chmod(0o700)
    monkeypatch.setenv("TERMINAL", str(program))
    monkeypatch.setenv("DISPLAY", ":99")

    async def go():
        async with NotificationService() as service, started(tmp_path):
            await until(lambda: logged(tmp_path, "Sent: Stir CARA-01"))
            service.press(0, pressed)
            await until(told.exists)

    with desktop(tmp_path, monkeypatch):
        asyncio.run(go())
    assert told.read_text().splitlines()[-2:] == ["--home", str(tmp_path)]


def test_what_kept_the_board_from_opening_is_said_in_a_notification(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)

    async def go():
        async with NotificationService() as service, started(tmp_path):
            await until(lambda: logged(tmp_path, "Sent: Stir CARA-01"))
            service.press(0, "open")
            return await service.until(2)

    with desktop(tmp_path, monkeypatch):
        told = asyncio.run(go())
    assert told["title"] == "Not opened"
    assert "Open a terminal and run `steepboard --home" in told["body"]


def test_a_zone_changed_meanwhile_moves_the_log(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)
    settings = tmp_path / "settings.toml"

    async def go():
        async with NotificationService() as service, started(tmp_path):
            await service.until(1)
            settings.write_text(settings.read_text().replace('"UTC"', '"Pacific/Apia"'))
            before = datetime.now(APIA) - timedelta(days=2)
            done(tmp_path, "charge", "fennel", "40g", "300ml", "45%", now=before)
            await until(lambda: logged(tmp_path, "FENN-01"))

    with desktop(tmp_path, monkeypatch):
        asyncio.run(go())
    log = (tmp_path / "reminders.log").read_text(encoding="utf-8").splitlines()
    (line,) = (line for line in log if "FENN-01" in line)
    written = datetime.fromisoformat(line[:19]).replace(tzinfo=APIA)
    assert abs(written - datetime.now(APIA)) < timedelta(hours=1)


def test_the_calendar_is_kept_fresh_and_whole_while_watch_runs(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)
    out = tmp_path / "synced" / "jars.ics"

    def summaries():
        events = vobject.readOne(out.read_text(encoding="utf-8")).vevent_list
        return {(event.summary.value, event.status.value) for event in events}

    async def go():
        async with NotificationService(), started(tmp_path, "--calendar", str(out)) as watch:
            await until(lambda: logged(tmp_path, "The calendar is not written."))
            out.parent.mkdir()
            await until(out.exists)
            assert ("Stir CARA-01 Caraway seed", "CONFIRMED") in summaries()
            done(tmp_path, "charge", "fennel", "40g", "300ml", "45%", now=datetime.now(UTC))
            await until(lambda: any("FENN-01" in summary for summary, _ in summaries()))
            done(tmp_path, "undo", "FENN-01", now=datetime.now(UTC))
            await until(lambda: any(status == "CANCELLED" for _, status in summaries()))
            assert [path.name for path in out.parent.iterdir()] == ["jars.ics"]
            return await terminated(watch)

    with desktop(tmp_path, monkeypatch):
        code, stdout, stderr = asyncio.run(go())
    assert (code, stdout, stderr.count("The calendar is not written.")) == (0, "", 1)


def test_with_a_bus_but_no_service_the_terminal_rings_and_the_reminder_stays_due(
    tmp_path, monkeypatch
):
    charge_a_jar_to_be_stirred(tmp_path)
    with desktop(tmp_path, monkeypatch), on_bare_terminal(tmp_path) as (process, terminal):
        assert "\aStir CARA-01" in read_until(terminal, "Stir CARA-01")
        asyncio.run(until(lambda: logged(tmp_path, "Not shown: Stir CARA-01")))
        process.terminate()
        assert process.wait(5) == 0


def test_a_bus_killed_and_started_anew_under_the_running_service_is_used_again(
    tmp_path, monkeypatch
):
    charge_a_jar_to_be_stirred(tmp_path)
    settings = tmp_path / "settings.toml"
    settings.write_text(settings.read_text() + "look_every_seconds = 1\n")
    address = f"unix:path={tmp_path / 'bus'}"
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)

    async def first():
        async with NotificationService() as service:
            await until(lambda: service.shown)

    async def second():
        done(tmp_path, "charge", "fennel", "40g", "300ml", "45%", now=YESTERDAY)
        async with NotificationService() as service:
            await until(lambda: [one for one in service.shown if "FENN-01" in one["body"]])

    with subprocess.Popen(words(tmp_path)) as process:
        try:
            for part in (first, second):
                with session_bus(tmp_path, address):
                    asyncio.run(part())
            process.terminate()
            assert process.wait(5) == 0
        finally:
            process.kill()
