"""From a charged jar to the stir in the diary, with nothing in between that is not real."""

from __future__ import annotations

import asyncio
from datetime import UTC, datetime, timedelta

import pytest

from steepboard.daemon.notify import DesktopNotifier
from steepboard.daemon.run import ReminderLoop, State
from steepboard.domain.records import Kind, Source
from steepboard.services import acts
from steepboard.services.reminders import RecordReminders
from steepboard.store import jars
from tests.daemon.bench import Heard, running
from tests.fakes import Clock, FakeNotifier
from tests.notification_server import NotificationService
from tests.shelves import MORNING, desk_at, order

NEXT_NINE = datetime(2026, 3, 3, 8, 0, tzinfo=UTC)  # 09:00 in Vienna on the day after charging


def stirs(desk, jar):
    return [entry for entry in jars.diary(desk.store, jar.id) if entry.kind is Kind.STIR]


@pytest.mark.usefixtures("bus")
def test_the_button_of_a_notification_writes_the_stir_into_the_diary(tmp_path):
    board = desk_at(tmp_path)
    jar = acts.charge(board, order(), MORNING)
    clock, heard = Clock(NEXT_NINE), Heard()
    reminders = RecordReminders(desk_at(tmp_path, source=Source.NOTIFICATION))

    async def go():
        async with (
            NotificationService() as service,
            running(ReminderLoop(reminders, DesktopNotifier(), clock, heard)),
        ):
            arrived = await service.until(1)
            await heard.until(lambda heard: heard.states)  # nobody presses before it is shown
            assert arrived["title"] == f"Stir {jar.code}"
            clock.forward(minutes=5)
            service.press(0, "stirred")
            await heard.until(lambda heard: heard.codes)
            assert len(service.shown) == 1

    asyncio.run(go())
    assert heard.codes == [(jar.code,)]
    (stir,) = stirs(board, jar)
    assert (stir.source, stir.at) == (Source.NOTIFICATION, NEXT_NINE + timedelta(minutes=5))


@pytest.mark.usefixtures("bus")
def test_a_press_for_a_jar_stirred_elsewhere_writes_nothing(tmp_path):
    board = desk_at(tmp_path)
    jar = acts.charge(board, order(), MORNING)
    heard = Heard()
    reminders = RecordReminders(desk_at(tmp_path))

    async def go():
        async with (
            NotificationService() as service,
            running(ReminderLoop(reminders, DesktopNotifier(), Clock(NEXT_NINE), heard)),
        ):
            await service.until(1)
            await heard.until(lambda heard: heard.states)
            acts.stir(board, (jar.code,), NEXT_NINE)
            service.press(0, "stirred")
            await heard.until(lambda heard: heard.codes)

    asyncio.run(go())
    assert heard.codes == [()]
    assert len(stirs(board, jar)) == 1


def test_a_jar_charged_elsewhere_moves_the_next_wake(tmp_path):
    loop = ReminderLoop(RecordReminders(desk_at(tmp_path)), FakeNotifier(), Clock(MORNING))

    async def go():
        async with running(loop), asyncio.timeout(5):
            while loop.status.state is not State.SENDING:
                await asyncio.sleep(0)
            assert loop.status.next_wake is None
            acts.charge(desk_at(tmp_path), order(), MORNING)
            while loop.status.next_wake is None:
                await asyncio.sleep(0.01)
            assert loop.status.next_wake == NEXT_NINE

    asyncio.run(go())
