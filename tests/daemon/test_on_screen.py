"""What stands on the screen, and what a pressed button does."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import date

import pytest

from steepboard.daemon import run
from steepboard.daemon.run import State
from steepboard.domain.notices import ANSWER, Notice
from steepboard.errors import RecordUnusable
from tests.daemon.bench import Bench, leap, looked, running
from tests.daemon.test_tick import AFTER_NINE, ORANGE, ROSE
from tests.fakes import steep, utc


def test_a_pressed_button_reaches_the_record():
    bench = Bench(ROSE, ORANGE)

    async def go():
        async with running(bench.loop()):
            await bench.notifier.until(1)
            bench.notifier.press(0, "something else")
            bench.notifier.press(0, "all-stirred")
            await bench.heard.until(lambda heard: len(heard.codes) == 2)

    asyncio.run(go())
    assert [pressed for _, pressed in bench.reminders.answers] == ["something else", "all-stirred"]
    assert bench.heard.codes == [(), ("ORAN-02", "ROSE-01")]


def seen(bench, steps, *, seconds=60.0):
    """Run the loop, take each step after some time has passed, and return what was on the screen.

    The first picture is that before any step.
    """
    pictures = []

    async def go():
        async with running(bench.loop(look=20, watch=1)):
            for step in (lambda: None, *steps):
                step()
                await asyncio.sleep(seconds)
                pictures.append({slot: one.title for slot, one in bench.notifier.on_screen.items()})

    leap(go())
    return pictures


def test_a_notice_is_taken_off_the_screen_once_all_of_it_was_done_elsewhere():
    bench = Bench(ROSE, ORANGE)
    today = frozenset({date(2026, 11, 25)})

    def stirred(jar):
        return lambda: bench.shelf.put(replace(jar, stirred_on=today))

    both = {"stir": "Stir 2 jars"}
    assert seen(bench, [stirred(ROSE), stirred(ORANGE)]) == [both, both, {}]


def test_a_notice_is_taken_off_the_screen_when_its_day_is_over(monkeypatch):
    monkeypatch.setattr(run, "_LONGEST_REST_S", 0.0)  # looked for every few minutes, here at once
    bench = Bench(ROSE, now=utc("2026-11-25T22:58"))
    (before, after) = seen(bench, [lambda: bench.clock.forward(minutes=2)])  # midnight in Berlin
    assert (before, after) == ({"stir": "Stir ROSE-01"}, {})


def test_after_a_long_sleep_one_digest_stands_in_the_place_of_the_former_notices():
    eve = steep(5, "LIME-05", "Lime peel", date(2026, 11, 12), date(2026, 11, 26))
    bench = Bench(ROSE, eve, now=utc("2026-11-25T19:00"))  # 20:00 in Berlin
    evening, morning = seen(bench, [lambda: bench.clock.forward(hours=17)])
    assert evening == {"digest": "3 things to do, first: get ready to strain LIME-05"}
    assert morning == {"digest": "3 things to do, first: strain LIME-05"}


def test_a_digest_takes_the_notices_off_that_it_takes_up():
    eve = steep(5, "LIME-05", "Lime peel", date(2026, 11, 12), date(2026, 11, 26))
    bench = Bench(eve, now=utc("2026-11-25T08:00"))
    nine, evening, noon = seen(
        bench,
        [lambda: bench.clock.forward(hours=11), lambda: bench.clock.forward(hours=16)],
    )
    assert nine == {"stir": "Stir LIME-05"}
    assert evening == {"stir": "Stir LIME-05", "get-ready": "Get ready to strain LIME-05"}
    assert noon == {"digest": "2 things to do, first: strain LIME-05"}


def test_what_the_record_answers_is_said_back():
    bench = Bench(ROSE)
    reply = Notice(ANSWER, AFTER_NINE, "Put off: ROSE-01", "Again at 10:05.")

    async def go():
        async with running(bench.loop()):
            await bench.notifier.until(1)
            bench.reminders.reply = reply
            bench.notifier.press(0, "later")
            await bench.notifier.until(2)
            bench.notifier.press(1, "tonight")
            await bench.notifier.until(3)

    asyncio.run(go())
    assert bench.heard.replies == [reply, reply]
    assert bench.reminders.answers[-1] == (reply, "tonight")
    assert bench.notifier.shown[1:] == [reply, reply]


@pytest.mark.parametrize(("refusal", "said"), [("No terminal was found.", 1), ("", 0)])
def test_open_is_left_to_its_owner_and_a_refusal_is_said(refusal, said):
    bench = Bench(ROSE)
    opened = []

    def opener():
        opened.append(True)
        return refusal

    async def go():
        async with running(bench.loop(opener=opener)):
            await bench.notifier.until(1)
            bench.notifier.press(0, "open")
            bench.notifier.press(0, "stirred")  # answered after the other
            await bench.heard.until(lambda heard: heard.codes)

    asyncio.run(go())
    assert opened == [True]
    assert [notice.body for notice in bench.notifier.shown[1:]] == [refusal] * said
    assert [pressed for _, pressed in bench.reminders.answers] == ["stirred"]


def test_a_button_is_heard_while_a_send_hangs():
    bench = Bench(ROSE)

    async def go():
        async with running(bench.loop(watch=0.01)):
            await bench.notifier.until(1)
            bench.notifier.hold = asyncio.Event()
            bench.shelf.put(ORANGE)
            bench.notifier.press(0, "stirred")
            await bench.heard.until(lambda heard: heard.codes)

    asyncio.run(go())
    assert bench.heard.codes == [("ROSE-01",)]


def test_an_unusable_record_is_told_and_no_answer_is_lost():
    bench = Bench(ROSE)

    async def go():
        loop = bench.loop(look=0.01, watch=0.01)
        async with running(loop):
            await bench.notifier.until(1)
            bench.reminders.fault = RecordUnusable("The disk has gone.")
            bench.notifier.press(0, "stirred")
            await bench.heard.until(lambda heard: State.NO_RECORD in heard.states)
            assert loop.status.detail == "The disk has gone."
            bench.reminders.fault = None
            await bench.heard.until(lambda heard: heard.codes)
            await bench.heard.until(lambda heard: heard.states[-1] is State.SENDING)

    asyncio.run(go())
    assert bench.heard.codes == [("ROSE-01",)]


def test_a_record_that_can_only_be_read_is_not_said_to_be_well(monkeypatch):
    bench = Bench(ROSE)

    def locked(notice, identifier, now):
        raise RecordUnusable("Another program writes.")

    async def go():
        loop = bench.loop(look=0.01, watch=0.01)
        async with running(loop):
            await bench.notifier.until(1)
            with monkeypatch.context() as patch:
                patch.setattr(bench.reminders, "answer", locked)
                bench.notifier.press(0, "stirred")
                await bench.heard.until(lambda heard: State.NO_RECORD in heard.states)
                await looked(bench, bench.reminders.looks + 3)
                assert bench.heard.states[-1] is State.NO_RECORD
            await bench.heard.until(lambda heard: heard.states[-1] is State.SENDING)

    asyncio.run(go())
    assert bench.heard.states.count(State.NO_RECORD) == 1
    assert bench.heard.codes == [("ROSE-01",)]
