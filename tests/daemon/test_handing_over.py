"""What one process showed, and the next one answers for."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import date, time

import pytest

from steepboard.daemon.notify import DesktopNotifier
from steepboard.daemon.run import ReminderLoop, State
from steepboard.daemon.terminal import TerminalNotifier
from steepboard.domain.notices import ANSWER, Notice
from steepboard.errors import RecordUnusable
from steepboard.services import acts
from steepboard.services.reminders import RecordReminders
from tests.daemon.bench import Bench, Heard, leap, running
from tests.daemon.test_end_to_end import NEXT_NINE, stirs
from tests.daemon.test_tick import AFTER_NINE, ORANGE, ROSE
from tests.fakes import Clock, steep, utc
from tests.notification_server import NotificationService
from tests.shelves import MORNING, desk_at, order


async def lived(bench, seconds=60.0, step=lambda: None):
    """Let one process keep the reminders for a while, and the next one come after it."""
    async with running(bench.loop(look=20, watch=1)):
        await asyncio.sleep(seconds / 2)
        step()
        await asyncio.sleep(seconds / 2)
    bench.notifier = bench.notifier.successor()


def test_a_button_of_a_former_process_reaches_the_record():
    bench = Bench(ROSE)

    async def go():
        await lived(bench)
        await lived(bench, step=lambda: bench.notifier.press(0, "stirred"))

    leap(go())
    assert bench.reminders.answers == [(bench.notifier.shown[0], "stirred")]
    assert len(bench.notifier.shown) == 1


def test_a_terminal_in_between_leaves_what_stands_on_the_desktop_to_the_next():
    bench = Bench(ROSE)

    async def go():
        await lived(bench)
        desktop, bench.notifier = bench.notifier, TerminalNotifier(lambda text: None)
        async with running(bench.loop(look=20, watch=1)):
            await asyncio.sleep(60)
        bench.notifier = desktop
        await lived(bench, step=lambda: bench.notifier.press(0, "stirred"))

    leap(go())
    assert bench.reminders.answers == [(bench.notifier.shown[0], "stirred")]
    assert bench.shelf.on_screen == {}


def test_what_was_done_while_nobody_kept_the_reminders_is_taken_off_the_screen():
    bench = Bench(ROSE)
    screens = []

    async def go():
        await lived(bench)
        bench.shelf.put(replace(ROSE, stirred_on=frozenset({date(2026, 11, 25)})))
        current = bench.notifier
        await lived(bench)
        screens.append(current.on_screen)

    leap(go())
    assert screens == [{}]
    assert bench.shelf.on_screen == {}


def test_a_new_notice_takes_the_place_of_that_of_a_former_process():
    bench = Bench(ROSE)

    async def go():
        await lived(bench)
        bench.shelf.put(ORANGE)
        await lived(bench)

    leap(go())
    ((_, notice),) = bench.shelf.on_screen.values()
    assert notice is bench.notifier.shown[-1]


def test_what_a_person_closed_is_forgotten():
    bench = Bench(ROSE)
    leap(lived(bench, step=bench.notifier.on_screen.clear))
    assert bench.shelf.on_screen == {}


def test_what_went_with_its_service_is_forgotten():
    bench = Bench(ROSE)

    async def go():
        await lived(bench)
        assert list(bench.shelf.on_screen) == ["stir"]
        bench.notifier.service = "another"
        await lived(bench)

    leap(go())
    assert bench.shelf.on_screen == {}
    assert len(bench.notifier.shown) == 1


def test_what_was_said_back_by_a_former_process_is_answered_too():
    bench = Bench(ROSE)
    bench.reminders.reply = reply = Notice(ANSWER, AFTER_NINE, "Put off: ROSE-01", "Or later:")

    async def go():
        await lived(bench, step=lambda: bench.notifier.press(0, "later"))
        await lived(bench, step=lambda: bench.notifier.press(1, "tonight"))

    leap(go())
    assert bench.reminders.answers == [(bench.notifier.shown[0], "later"), (reply, "tonight")]


def test_a_record_that_cannot_be_read_at_the_start_is_read_later(monkeypatch):
    bench = Bench(ROSE)

    def locked():
        raise RecordUnusable("Another program writes.")

    async def go():
        await lived(bench)
        with monkeypatch.context() as patch:
            patch.setattr(bench.reminders, "on_screen", locked)
            async with running(bench.loop(look=20, watch=1)):
                await bench.heard.until(lambda heard: heard.states[-1] is State.NO_RECORD)
                patch.undo()
                await asyncio.sleep(60)
                bench.notifier.press(0, "stirred")
                await bench.heard.until(lambda heard: heard.codes)

    leap(go())
    assert bench.heard.codes == [("ROSE-01",)]


def test_what_was_shown_before_the_record_failed_is_taken_off_when_done_elsewhere(monkeypatch):
    charged, strain_on = date(2026, 11, 12), date(2026, 11, 25)
    eve = steep(5, "LIME-05", "Lime peel", charged, strain_on, stir_at=time(10))
    bench = Bench(eve, now=utc("2026-11-25T09:00"))  # 10:00 in Berlin
    claim = bench.reminders.claim

    def locked_after_the_first(notice, now):
        if bench.notifier.shown:
            raise RecordUnusable("Another program writes.")
        return claim(notice, now)

    async def go():
        async with running(bench.loop(look=20, watch=1)):
            with monkeypatch.context() as patch:
                patch.setattr(bench.reminders, "claim", locked_after_the_first)
                await bench.heard.until(lambda heard: State.NO_RECORD in heard.states)
            await asyncio.sleep(60)
            assert list(bench.notifier.on_screen) == ["strain", "stir"]
            del bench.shelf.steeps[5]
            bench.shelf.revision += 1
            await asyncio.sleep(60)

    leap(go())
    assert bench.notifier.on_screen == {}
    assert bench.shelf.on_screen == {}


def test_while_nothing_happens_nothing_is_written(monkeypatch):
    bench = Bench(ROSE)
    written = []
    monkeypatch.setattr(bench.reminders, "gone", written.append)
    monkeypatch.setattr(bench.reminders, "delivered", lambda *told: written.append(told))
    bench.notifier.after = lambda notice: bench.shelf.delivered.update(notice.keys)
    leap(lived(bench, seconds=3000))
    ((notice, at, token),) = written
    assert (notice.title, at, token) == ("Stir ROSE-01", AFTER_NINE, "first 0")


@pytest.mark.usefixtures("bus")
def test_the_button_of_a_former_process_writes_the_stir_into_the_diary(tmp_path):
    board, clock, heard = desk_at(tmp_path), Clock(NEXT_NINE), Heard()
    jar = acts.charge(board, order(), MORNING)

    def loop():
        return ReminderLoop(RecordReminders(desk_at(tmp_path)), DesktopNotifier(), clock, heard)

    async def go():
        async with NotificationService() as service:
            for times in (1, 2):
                async with running(loop()):
                    await heard.until(lambda heard, n=times: heard.states.count("sending") == n)
                    if times == 2:
                        service.press(0, "stirred")
                        await heard.until(lambda heard: heard.codes)
            assert len(service.shown) == 1

    asyncio.run(go())
    assert heard.codes == [(jar.code,)]
    assert len(stirs(board, jar)) == 1
