"""From a charged jar to the stir in the diary, with nothing in between that is not real."""

from __future__ import annotations

import asyncio
from datetime import UTC, datetime, timedelta

import pytest

from steepboard.daemon.notify import DesktopNotifier
from steepboard.daemon.run import ReminderLoop, State
from steepboard.domain.bottles import Purpose
from steepboard.domain.records import Kind, Source
from steepboard.services import acts, bottle_shelf, bottles, bottling
from steepboard.services.reminders import RecordReminders
from steepboard.services.starts import starts
from steepboard.store import jars
from tests.bottled import NEXT, drawn, full, strained
from tests.daemon.bench import Heard, running
from tests.fakes import Clock, FakeNotifier
from tests.notification_server import NotificationService
from tests.shelves import MORNING, VIENNA, desk_at, order

DAY = timedelta(days=1)
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


@pytest.fixture
def bar(tmp_path):
    """Give a desk with 250 mL of caraway, of which 5 mL went on each of 20 days, and the last."""
    desk = desk_at(tmp_path)
    bottling.fill(desk, strained(desk, 252).code, [full(150), full(100)], NEXT)
    for days in range(20):
        draw(desk, 5, NEXT + days * DAY)
    return desk, NEXT + 19 * DAY


def draw(desk, ml, at):
    bottles.draw(desk, "CARA-01-A", drawn(ml), Purpose.DOSE, at)


def start_notice(folder, now, meanwhile=lambda: None):
    """Return what arrives first from a service that runs from `now`, and what came beside it."""

    async def go():
        reminders = RecordReminders(desk_at(folder, source=Source.NOTIFICATION))
        heard = Heard()
        loop = ReminderLoop(reminders, DesktopNotifier(), Clock(now), heard, look_every_s=0.05)
        async with NotificationService() as service, running(loop):
            await heard.until(lambda heard: heard.states)
            quiet = not service.shown
            meanwhile()
            await service.until(1)
            return quiet, service.shown

    return asyncio.run(go())


@pytest.mark.usefixtures("bus")
def test_the_day_by_which_to_start_anew_is_said_on_the_desktop_before_a_bottle_runs_dry(
    bar, tmp_path
):
    desk, evening = bar
    ten = evening.astimezone(VIENNA).replace(hour=10) + DAY
    while starts(desk, ten)[0].day > ten.date():
        draw(desk, 5, ten + timedelta(hours=3))
        ten += DAY
    assert bottle_shelf.bottle(desk, "CARA-01-A").left_ml > 0
    _, shown = start_notice(tmp_path, ten)
    assert shown == [
        {
            "app": "Steepboard",
            "title": "Start the next CARA-01",
            "body": "Caraway seed. Else the bottle runs dry before the next one is ready.",
            "buttons": {"default": "", "later": "Later", "open": "Open"},
            "urgency": 1,
        }
    ]


@pytest.mark.usefixtures("bus")
def test_a_draw_that_leaves_too_little_has_it_said_at_once(bar, tmp_path):
    desk, evening = bar
    quiet, shown = start_notice(tmp_path, evening, lambda: draw(desk, 45, evening))
    assert quiet
    assert [one["title"] for one in shown] == ["Start the next CARA-01"]


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
