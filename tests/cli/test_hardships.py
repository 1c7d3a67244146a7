"""`steepboard watch` through what befalls a machine: its clock, its sleep, its session bus."""

from __future__ import annotations

import asyncio
import subprocess
from datetime import UTC, date, datetime, time, timedelta
from itertools import count
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from steepboard.domain.records import Habit
from steepboard.services import acts, reminder_acts
from tests.cli.watching import logged, started, terminated, until
from tests.notification_server import NotificationService, need, session_bus
from tests.shelves import desk_at, order

BERLIN = ZoneInfo("Europe/Berlin")
SETTINGS = """[clock]
zone = "Europe/Berlin"
[reminders]
stir_at = "{stir_at}"
taste_from_day = 90
quiet_from = "00:00"
quiet_to = "00:00"
look_every_seconds = 1
"""


def shelf(home, charged, stir_at="09:00"):
    """Keep a jar that is to be stirred daily, as clocks in Berlin show."""
    (home / "settings.toml").write_text(SETTINGS.format(stir_at=stir_at))
    desk = desk_at(home, zone=BERLIN)
    jar = acts.charge(desk, order("orris root"), charged)
    desk.store.close()
    return jar


class FakedClock:
    """The wall clock of the processes that are started; their monotonic clock goes on as it is.

    That is what a sleep and a change of the clock look like to a process.
    """

    def __init__(self, folder: Path, monkeypatch) -> None:
        need("faketime")
        self._file, self._numbers = folder / "clock", count()
        listed = subprocess.run(
            ["faketime", "now", "printenv", "LD_PRELOAD"],
            check=True,
            capture_output=True,
            text=True,
        )
        monkeypatch.setenv("LD_PRELOAD", listed.stdout.strip())
        monkeypatch.setenv("FAKETIME_TIMESTAMP_FILE", str(self._file))
        monkeypatch.setenv("FAKETIME_NO_CACHE", "1")
        monkeypatch.setenv("FAKETIME_DONT_FAKE_MONOTONIC", "1")
        monkeypatch.setenv("TZ", "UTC")  # in which faketime reads what is written

    def set(self, at: datetime, speed: int = 1) -> None:
        """Let the clock show `at` now, and run so many times as fast from there."""
        new = self._file.with_suffix(f".{next(self._numbers)}")
        new.write_text(f"@{at.astimezone(UTC):%Y-%m-%d %H:%M:%S} x{speed}\n")
        new.replace(self._file)


@pytest.fixture
def bus(tmp_path, monkeypatch):
    with session_bus(tmp_path) as address:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        yield


@pytest.fixture
def clock(tmp_path, monkeypatch, bus):
    return FakedClock(tmp_path, monkeypatch)


def titles(service):
    return [shown["title"] for shown in service.shown]


@pytest.mark.parametrize(
    ("night", "from_utc", "passed", "said_at"),
    [
        # Directive 2000/84/EC: at 01:00 UTC on the last Sundays of March and October.
        (date(2026, 3, 29), "00:50", time(3, 50), "03:"),  # 02:30 does not exist
        (date(2026, 10, 25), "00:20", time(3, 10), "02:"),  # 02:30 comes twice
    ],
)
def test_a_stir_in_the_night_the_clocks_change_is_said_once(
    tmp_path, clock, night, from_utc, passed, said_at
):
    start = datetime.fromisoformat(f"{night}T{from_utc}:00+00:00")
    before = start - timedelta(days=1, hours=2)
    jar, marker = shelf(tmp_path, before, stir_at="02:30"), shelf(tmp_path, before, stir_at="02:30")
    desk = desk_at(tmp_path, zone=BERLIN)
    reminder_acts.remind(desk, marker.code, Habit(stir_at=passed), before)
    # Ten minutes of the faked clock pass in a second, so that the service looks every ten minutes.
    clock.set(start, speed=600)

    async def go():
        async with NotificationService() as service, started(tmp_path) as watch:
            await until(lambda: len(service.shown) == 2)
            return titles(service), await terminated(watch)

    said, (code, out, err) = asyncio.run(go())
    assert said == [f"Stir {jar.code}", "Stir 2 jars"]  # the other one at its own time
    assert (code, out, err) == (0, "", "")
    log = (tmp_path / "reminders.log").read_text()
    assert f"{night} {said_at}" in next(line for line in log.splitlines() if jar.code in line)


def test_after_a_night_of_sleep_only_what_is_still_to_be_done_is_said_at_once(tmp_path, clock):
    evening = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)
    jar, stirred = shelf(tmp_path, evening), shelf(tmp_path, evening)
    clock.set(evening)

    async def go():
        async with NotificationService() as service, started(tmp_path) as watch:
            await until(lambda: logged(tmp_path, "are kept here"))
            morning = evening + timedelta(hours=14)
            acts.stir(desk_at(tmp_path, zone=BERLIN), (stirred.code,), morning)
            clock.set(morning)
            await until(lambda: service.shown)
            return service.shown, await terminated(watch)

    (shown,), ended = asyncio.run(go())
    assert (shown["title"], shown["body"]) == (f"Stir {jar.code}", "Orris root. Due since 9:00.")
    assert ended == (0, "", "")


def test_after_three_weeks_of_sleep_one_digest_says_what_hurts_most_first(tmp_path, clock):
    start = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
    short, strained = shelf(tmp_path, start), shelf(tmp_path, start)
    desk = desk_at(tmp_path, zone=BERLIN)
    long = acts.charge(desk, order("orris root", days=60), start)
    clock.set(start)

    async def go():
        async with NotificationService() as service, started(tmp_path) as watch:
            await until(lambda: logged(tmp_path, "are kept here"))
            woken = start + timedelta(days=21)
            acts.strain(desk, strained.code, (), woken - timedelta(hours=1))
            clock.set(woken)
            await until(lambda: service.shown)
            return service.shown, await terminated(watch)

    (shown,), ended = asyncio.run(go())
    assert shown["title"] == f"3 things to do, first: strain {short.code}"
    late = f"Strain: {short.code} (7 days late)."
    assert shown["body"] == f"{late} Taste: {long.code}. Stir: {long.code}."
    assert ended == (0, "", "")


def test_a_clock_set_back_and_far_forward_and_back_again_loses_and_repeats_nothing(tmp_path, clock):
    nine = datetime(2026, 11, 26, 8, 0, tzinfo=UTC)
    before = nine - timedelta(days=1)
    jar, early, late = (shelf(tmp_path, before) for _ in range(3))
    desk = desk_at(tmp_path, zone=BERLIN)
    # These two show that the service has looked while the clock was back.
    reminder_acts.remind(desk, early.code, Habit(stir_at=time(12)), before)
    reminder_acts.remind(desk, late.code, Habit(stir_at=time(12)), before)
    clock.set(nine)

    async def go():
        async with NotificationService() as service, started(tmp_path) as watch:
            await until(lambda: len(service.shown) == 1)
            clock.set(nine - timedelta(hours=1))
            reminder_acts.remind(desk, early.code, Habit(stir_at=time(8)), before)
            await until(lambda: len(service.shown) == 2)
            clock.set(nine + timedelta(days=30))
            await until(lambda: len(service.shown) == 3)
            clock.set(nine + timedelta(minutes=5))
            reminder_acts.remind(desk, late.code, Habit(stir_at=time(9, 5)), before)
            await until(lambda: len(service.shown) == 4)
            clock.set(nine + timedelta(days=1))
            await until(lambda: len(service.shown) == 5)
            return titles(service), await terminated(watch)

    said, ended = asyncio.run(go())
    assert said == [
        f"Stir {jar.code}",
        f"Stir {early.code}",
        "Strain 3 jars today",
        "Stir 3 jars",
        "Stir 3 jars",
    ]
    assert ended == (0, "", "")
