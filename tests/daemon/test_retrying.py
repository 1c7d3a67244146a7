"""What the loop does while nothing can be shown."""

from __future__ import annotations

import asyncio
from datetime import date
from itertools import pairwise

from steepboard.daemon.run import State
from tests.daemon.bench import BEFORE_NINE, Bench, leap, running
from tests.daemon.test_tick import ORANGE, ROSE
from tests.fakes import steep, utc


def test_what_failed_is_tried_again_on_the_beat_and_told_once():
    bench = Bench(ROSE)
    bench.notifier.refusals = 3

    async def go():
        async with running(bench.loop(look=0.01, watch=0.01)):
            await bench.notifier.until(4)

    asyncio.run(go())
    assert len(bench.notifier.shown) == 1
    assert bench.heard.unshown == [("Stir ROSE-01", "refused")]


async def tried(bench, tries):
    """Let time pass until so many notices were tried, and return the seconds so far."""
    while bench.notifier.tries < tries:
        await asyncio.sleep(1)
    return asyncio.get_running_loop().time()


def test_the_wait_between_two_tries_doubles_from_the_beat_to_fifteen_minutes():
    bench = Bench(ROSE)
    bench.notifier.refusals = 99

    async def go():
        async with running(bench.loop(look=20, watch=1)):
            return [await tried(bench, tries) for tries in range(1, 10)]

    at = leap(go())
    waits = [round((later - sooner) / 20) * 20 for sooner, later in pairwise(at)]
    assert waits == [20, 40, 80, 160, 320, 640, 900, 900]
    assert bench.heard.unshown == [("Stir ROSE-01", "refused")]


def test_the_wait_is_short_again_after_something_was_shown():
    bench = Bench(ROSE)
    bench.notifier.refusals = 4

    async def go():
        async with running(bench.loop(look=20, watch=1)):
            await tried(bench, 5)
            bench.notifier.refusals = 2
            bench.shelf.put(ORANGE)
            first, second = await tried(bench, 6), await tried(bench, 7)
            assert second - first < 60  # not the 320 s of the former row of failures

    leap(go())


def test_something_newly_due_is_tried_at_once_while_the_rest_waits():
    bench = Bench(ROSE)
    bench.notifier.refusals = 4

    async def go():
        async with running(bench.loop(look=20, watch=1)):
            before = await tried(bench, 3)  # the next try would be 80 s later
            bench.shelf.put(steep(3, "MINT-03", "Mint", date(2026, 11, 25), date(2026, 12, 4)))
            await asyncio.sleep(5)
            assert bench.notifier.tries == 3  # not due yet: it changes nothing
            bench.shelf.put(ORANGE)
            assert await tried(bench, 4) - before < 10

    leap(go())
    assert bench.notifier.shown == []


def test_something_newly_due_that_fails_too_does_not_put_off_the_next_try():
    bench = Bench(ROSE)
    bench.notifier.refusals = 99

    async def go():
        async with running(bench.loop(look=20, watch=1)):
            first = await tried(bench, 1)
            for number in (2, 3, 4):
                bench.shelf.put(
                    steep(number, f"MINT-0{number}", "Mint", date(2026, 11, 20), date(2026, 12, 4))
                )
                await tried(bench, number)
            assert await tried(bench, 5) - first < 25

    leap(go())


def test_everything_is_sent_once_the_service_is_back():
    bench = Bench(ROSE)
    bench.notifier.broken = "nothing answers"
    late = steep(4, "ANIS-04", "Anise", date(2026, 11, 10), date(2026, 11, 20))

    async def go():
        async with running(bench.loop(look=20, watch=1)):
            await asyncio.sleep(70)
            bench.shelf.put(ORANGE)
            await asyncio.sleep(300)
            bench.shelf.put(late)
            await asyncio.sleep(30)
            bench.notifier.broken = ""
            await asyncio.sleep(901)

    leap(go())
    (notice,) = bench.notifier.shown
    assert notice.slot == "digest"
    assert bench.shelf.delivered.issuperset(notice.keys)
    assert {task.jar_id for task in notice.tasks} == {1, 2, 4}


def test_a_missing_service_is_said_before_anything_is_due():
    bench = Bench(ROSE, now=BEFORE_NINE)
    bench.notifier.broken = "nothing answers"

    async def go():
        loop = bench.loop()
        async with running(loop):
            await bench.heard.until(lambda heard: heard.states)
            assert loop.status.state is State.NO_SERVICE
            assert loop.status.detail == "nothing answers"
            assert loop.status.next_wake == utc("2026-11-25T08:00")

    asyncio.run(go())


def test_without_a_service_what_is_due_is_told_once_and_sent_when_it_comes():
    bench = Bench(ROSE)
    bench.notifier.broken = "nothing answers"

    async def go():
        async with running(bench.loop(look=0.01, watch=0.01)):
            await bench.heard.until(lambda heard: heard.unshown)
            bench.notifier.broken = ""
            await bench.heard.until(lambda heard: State.SENDING in heard.states)

    asyncio.run(go())
    assert bench.heard.unshown == [("Stir ROSE-01", "nothing answers")]
    assert len(bench.notifier.shown) == 1
    assert bench.heard.states == [State.NO_SERVICE, State.SENDING, State.STOPPED]
