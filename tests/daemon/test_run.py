"""When the loop looks, and how it ends."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from steepboard.daemon.run import State
from tests.daemon.bench import BEFORE_NINE, Bench, looked, running
from tests.daemon.test_tick import ROSE
from tests.fakes import FakeReminders, utc


def without_alarm(loop):
    """Return a loop whose scheduler, which goes by the real clock, gives no alarm."""
    loop._scheduler.add_job = lambda *_args, **_more: None
    return loop


def test_what_came_due_while_nothing_ran_is_sent_at_the_start():
    bench = Bench(ROSE)

    async def go():
        async with running(bench.loop()):
            await bench.heard.until(lambda heard: State.SENDING in heard.states)

    asyncio.run(go())
    assert [notice.title for notice in bench.notifier.shown] == ["Stir ROSE-01"]
    assert bench.heard.states == [State.SENDING, State.STOPPED]
    assert bench.notifier.closed


def test_the_alarm_goes_off_at_the_due_moment_by_itself():
    bench = Bench(ROSE)
    nine = utc("2026-11-25T08:00")
    offset = datetime.now(UTC) - nine + timedelta(milliseconds=300)

    class Soon(FakeReminders):
        """Gives the alarm in real time: the scheduler has a clock of its own."""

        def next_wake(self, now):
            wake = super().next_wake(now)
            return wake and wake + offset

    bench.reminders = Soon(bench.shelf)

    async def go():
        async with running(bench.loop(clock=lambda: datetime.now(UTC) - offset)):
            await bench.notifier.until(1)

    asyncio.run(go())
    assert bench.notifier.shown[0].due == nine


def test_what_comes_due_while_the_clock_leaps_in_a_send_is_said_at_the_next_look():
    """Else the alarm would be reckoned from after the leap, past what came due in it."""
    bench = Bench(ROSE)

    def sleep_on(notice):
        if len(bench.notifier.shown) == 1:
            bench.clock.forward(hours=24)

    bench.notifier.after = sleep_on

    async def go():
        async with running(without_alarm(bench.loop(watch=0.001))):
            await bench.notifier.until(2)

    asyncio.run(go())
    assert [shown.due for shown in bench.notifier.shown] == [
        utc("2026-11-25T08:00"),
        utc("2026-11-26T08:00"),
    ]


def test_a_clock_that_is_set_back_is_looked_at_at_once():
    bench = Bench(ROSE)

    async def go():
        loop = without_alarm(bench.loop(watch=0.001))
        async with running(loop):
            await bench.heard.until(lambda heard: State.SENDING in heard.states)
            assert loop.status.next_wake == utc("2026-11-26T08:00")
            before = bench.reminders.looks
            bench.clock.forward(hours=-2)
            await looked(bench, before + 1)
            await bench.heard.until(lambda _: loop.status.next_wake == utc("2026-11-25T08:00"))

    asyncio.run(go())


def test_a_change_by_somebody_else_moves_the_next_wake():
    bench = Bench(now=BEFORE_NINE)

    async def go():
        loop = bench.loop(watch=0.01)
        async with running(loop):
            await bench.heard.until(lambda heard: heard.states == [State.SENDING])
            assert loop.status.next_wake is None
            bench.shelf.put(ROSE)
            await bench.heard.until(lambda heard: len(heard.states) == 2)
            assert loop.status.next_wake == utc("2026-11-25T08:00")

    asyncio.run(go())


def test_an_alarm_that_comes_late_is_not_dropped():
    long_ago = replace(ROSE, charged_on=date(2020, 1, 1), strain_on=date(2020, 1, 15))
    bench = Bench(long_ago, now=utc("2020-01-02T07:00"))

    async def go():
        async with running(bench.loop()):
            await looked(bench, 2)  # the second look is the alarm's, years behind the real clock

    asyncio.run(go())


def test_an_alarm_that_slept_with_the_machine_is_made_up_for():
    # So far ahead that the alarm, which goes by the real clock, stays silent.
    far = replace(ROSE, charged_on=date(2096, 1, 1), strain_on=date(2096, 1, 15))
    bench = Bench(far, now=utc("2096-01-02T07:00"))

    async def go():
        async with running(bench.loop(watch=0.01)):
            await bench.heard.until(lambda heard: heard.states == [State.SENDING])
            bench.clock.forward(hours=30)
            await bench.notifier.until(1)

    asyncio.run(go())
    assert [notice.keys for notice in bench.notifier.shown] == [("stir/1/2096-01-03",)]


def test_a_clock_set_back_stops_neither_beat_nor_sending():
    bench = Bench(ROSE, now=BEFORE_NINE)

    async def go():
        async with running(bench.loop(look=0.01, watch=0.01)):
            await bench.heard.until(lambda heard: heard.states == [State.SENDING])
            bench.clock.forward(days=-1)
            await looked(bench, bench.reminders.looks + 2)
            bench.clock.forward(days=1, hours=2)
            await bench.notifier.until(1)

    asyncio.run(go())


def test_stopping_lets_a_notice_on_its_way_arrive_and_be_written_down():
    bench = Bench(ROSE)

    async def go():
        sending = asyncio.Event()
        bench.notifier.before = lambda notice: sending.set()
        bench.notifier.hold = asyncio.Event()
        loop = bench.loop()
        async with running(loop):
            await sending.wait()
            loop.stop()
            asyncio.get_running_loop().call_later(0.05, bench.notifier.hold.set)

    asyncio.run(go())
    assert bench.shelf.delivered == {"stir/1/2026-11-25"}


def test_stopping_does_not_wait_for_a_service_that_hangs():
    bench = Bench(ROSE)

    async def go():
        sending = asyncio.Event()
        bench.notifier.before = lambda notice: sending.set()
        bench.notifier.hold = asyncio.Event()  # never set
        loop = bench.loop()
        async with running(loop) as task:
            await sending.wait()
            loop.stop()
            await asyncio.wait_for(task, 5)

    asyncio.run(go())
    assert bench.shelf.delivered == set()
    assert bench.heard.states[-1] is State.STOPPED


def test_a_cancelled_loop_lets_go_of_the_service():
    bench = Bench(ROSE)

    async def go():
        async with running(bench.loop()) as task:
            await bench.notifier.until(1)
            task.cancel()
            await asyncio.gather(task, return_exceptions=True)
            assert task.cancelled()

    asyncio.run(go())
    assert bench.notifier.closed


def test_a_mistake_in_the_program_is_not_swallowed():
    bench = Bench(ROSE)
    bench.reminders.fault = ZeroDivisionError()

    async def go():
        async with running(bench.loop()) as task:
            await asyncio.wait((task,), timeout=5)
            assert isinstance(task.exception(), ZeroDivisionError)

    asyncio.run(go())
