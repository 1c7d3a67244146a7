from __future__ import annotations

import asyncio
import os
import signal
from contextlib import asynccontextmanager, suppress
from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from steepboard.cli.keeper import BoardKeeper
from steepboard.daemon.lock import held_lock
from steepboard.domain.records import Kind, Source
from steepboard.errors import AlreadyRunning
from steepboard.paths import Home
from steepboard.services import acts, views
from tests.cli.watching import started, until
from tests.fakes import Clock, FakeNotifier
from tests.shelves import MORNING, desk_at, order

NEXT_NINE = datetime(2026, 3, 3, 8, 0, tzinfo=UTC)  # 09:00 in Vienna on the day after charging


WITHIN_S = 5.0  # as promised
STARTS_WITHIN_S = 20.0  # a process on a busy test machine


class Board:
    """What a board hears of its keeper."""

    def __init__(self):
        self.states, self.undelivered = [], []
        self._heard = asyncio.Condition()

    def change(self, state):
        self.states.append(state)
        self._wake()

    def not_delivered(self, title, body):
        self.undelivered.append((title, body))
        self._wake()

    async def until(self, what):
        async with self._heard:
            await asyncio.wait_for(self._heard.wait_for(what), WITHIN_S)

    def _wake(self):
        async def wake():
            async with self._heard:
                self._heard.notify_all()

        self._waking = asyncio.ensure_future(wake())


@asynccontextmanager
async def kept(tmp_path, notifier, **changes):
    """Run a keeper over the shelf in `tmp_path` and yield it with what its board hears."""
    renew = changes.pop("renew", lambda desk: desk)
    fast = {"look_s": 0.01, **changes}
    desk, board = desk_at(tmp_path, source=Source.BOARD), Board()
    keeper = BoardKeeper(Home(tmp_path), desk, Clock(NEXT_NINE), renew, notifier, **fast)
    running = asyncio.create_task(keeper.run(board.change, board.not_delivered))
    try:
        yield keeper, board
    finally:
        running.cancel()
        with suppress(asyncio.CancelledError):
            await running


def test_the_board_keeps_the_reminders_when_nobody_else_does(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(), MORNING)
    notifier = FakeNotifier()

    async def go():
        async with kept(tmp_path, notifier) as (keeper, board):
            await notifier.until(1)
            await board.until(lambda: keeper.state == "reminders: this board")
            with pytest.raises(AlreadyRunning), held_lock(tmp_path / "reminders.lock"):
                pass
            notifier.press(0, "stirred")
            await asyncio.wait_for(stirred(desk, jar), 10)

    asyncio.run(go())
    assert notifier.shown[0].title == f"Stir {jar.code}"
    assert f"Sent: Stir {jar.code}" in (tmp_path / "reminders.log").read_text(encoding="utf-8")
    with held_lock(tmp_path / "reminders.lock"):  # it was let go
        pass


async def stirred(desk, jar):
    while not any(entry.kind is Kind.STIR for entry in views.diary(desk, jar)):
        await asyncio.sleep(0.01)


def test_a_log_that_cannot_be_written_is_told_once_and_stops_no_reminder(tmp_path):
    first = acts.charge(desk_at(tmp_path), order(), MORNING)
    notifier = FakeNotifier()
    (tmp_path / "reminders.log").mkdir()

    async def go():
        async with kept(tmp_path, notifier) as (_, board):
            await notifier.until(1)
            notifier.press(0, "stirred")
            await asyncio.wait_for(stirred(desk_at(tmp_path), first), 10)
            await board.until(lambda: board.undelivered)
            assert len(board.undelivered) == 1
            assert "reminders.log cannot be written" in board.undelivered[0][1]

    asyncio.run(go())


def test_what_could_not_be_shown_is_told_to_the_board(tmp_path):
    jar = acts.charge(desk_at(tmp_path), order(), MORNING)
    notifier = FakeNotifier()
    notifier.broken = "no service"

    async def go():
        async with kept(tmp_path, notifier) as (keeper, board):
            await board.until(lambda: board.undelivered)
            await board.until(lambda: keeper.state == "no notification service")
            assert board.undelivered == [(f"Stir {jar.code}", "Caraway seed")]

    asyncio.run(go())


def test_the_board_says_who_watches_and_takes_over_when_that_ends(tmp_path):
    acts.charge(desk_at(tmp_path), order(), MORNING)
    notifier = FakeNotifier()

    async def go():
        lock = held_lock(tmp_path / "reminders.lock")
        with lock:
            (tmp_path / "reminders.lock").write_text("4711\n")
            async with kept(tmp_path, notifier) as (keeper, board):
                await board.until(lambda: keeper.state == "reminders: process 4711")
                assert notifier.tries == 0
                lock.__exit__(None, None, None)
                await board.until(lambda: keeper.state == "reminders: this board")
                await notifier.until(1)

    asyncio.run(go())


def test_two_boards_do_not_keep_the_same_reminders(tmp_path):
    async def go():
        async with kept(tmp_path, FakeNotifier()) as (first, board):
            await board.until(lambda: first.state == "reminders: this board")
            async with kept(tmp_path, FakeNotifier()) as (second, other):
                await other.until(lambda: second.state == f"reminders: process {os.getpid()}")
                assert first.state == "reminders: this board"

    asyncio.run(go())


def test_a_board_leaves_the_reminders_to_a_service_that_has_not_got_them_yet(tmp_path):
    notifier = FakeNotifier()

    async def go():
        with held_lock(tmp_path / "service.lock"):
            async with kept(tmp_path, notifier) as (keeper, board):
                await board.until(lambda: keeper.state == f"reminders: process {os.getpid()}")
                with held_lock(tmp_path / "reminders.lock"):  # nobody holds it
                    assert notifier.tries == 0

    asyncio.run(go())


@pytest.mark.parametrize("ending", [signal.SIGTERM, signal.SIGKILL])
def test_a_board_gives_way_to_a_service_and_takes_over_when_it_ends(tmp_path, monkeypatch, ending):
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", f"unix:path={tmp_path}/no-bus")
    acts.charge(desk_at(tmp_path), order(), MORNING)

    async def go():
        # Looking as seldom as a real board does.
        async with kept(tmp_path, FakeNotifier(), look_s=2.0) as (keeper, board):
            await board.until(lambda: keeper.state == "reminders: this board")
            async with started(tmp_path, "--verbose") as watch:
                said = await asyncio.wait_for(watch.stdout.readline(), STARTS_WITHIN_S)
                assert b"are kept here" in said
                await board.until(lambda: keeper.state == f"reminders: process {watch.pid}")
                watch.send_signal(ending)
                await board.until(lambda: keeper.state == "reminders: this board")

    asyncio.run(go())


def test_a_zone_changed_while_the_board_is_open_moves_the_log(tmp_path):
    notifier, jars = FakeNotifier(), desk_at(tmp_path)
    acts.charge(jars, order(), MORNING)
    zone = jars.zone

    def renew(desk):
        return desk if desk.zone == zone else replace(desk, zone=zone)

    async def go():
        nonlocal zone
        async with kept(tmp_path, notifier, renew=renew) as (_, board):
            await board.until(lambda: "reminders: this board" in board.states)
            zone = ZoneInfo("Asia/Kathmandu")
            acts.charge(jars, order(), MORNING)
            await notifier.until(2)
            await until(lambda: sent() == ["09:00", "13:45"])

    def sent():
        lines = (tmp_path / "reminders.log").read_text(encoding="utf-8").splitlines()
        return [line[11:16] for line in lines if "Sent: " in line]

    asyncio.run(go())
