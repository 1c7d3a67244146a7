from __future__ import annotations

import asyncio
import os
import signal
import threading

import pytest

from steepboard.daemon.foreground import until_cancelled, until_signal
from steepboard.errors import RecordUnusable


def ask_to_end(number=signal.SIGTERM):
    os.kill(os.getpid(), number)


def test_work_that_ends_by_itself_ends_the_waiting():
    done = []

    async def work():
        done.append(threading.current_thread() is threading.main_thread())

    assert until_signal(work)
    assert done == [False]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_cancels_the_work_which_may_tidy_up(number):
    tidied = []

    async def work():
        asyncio.get_running_loop().call_soon(ask_to_end, number)
        try:
            await asyncio.Event().wait()
        finally:
            await asyncio.sleep(0)
            tidied.append(True)

    assert until_signal(work)
    assert tidied == [True]


def test_work_that_is_stuck_outside_of_the_loop_is_left_behind():
    free = threading.Event()

    async def work():
        ask_to_end()
        free.wait(60)  # as a database does that somebody else keeps locked

    assert not until_signal(work)
    free.set()


def test_what_the_work_raises_is_raised():
    async def work():
        raise RecordUnusable("no record")

    with pytest.raises(RecordUnusable, match="no record"):
        until_signal(work)


def test_a_refusal_after_the_signal_is_not_raised():
    async def work():
        asyncio.get_running_loop().call_soon(ask_to_end)
        try:
            await asyncio.Event().wait()
        finally:
            raise RecordUnusable("still locked")

    assert until_signal(work)


def test_a_mistake_of_the_program_is_raised_even_after_the_signal():
    async def work():
        asyncio.get_running_loop().call_soon(ask_to_end)
        try:
            await asyncio.Event().wait()
        finally:
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        until_signal(work)


def test_afterwards_signals_do_what_they_did_before():
    async def work():
        pass

    before = signal.getsignal(signal.SIGTERM), signal.getsignal(signal.SIGINT)
    until_signal(work)
    assert (signal.getsignal(signal.SIGTERM), signal.getsignal(signal.SIGINT)) == before


class Loop:
    """A loop that has a notice on its way when it is told to stop."""

    def __init__(self):
        self.stopped, self.arrived = asyncio.Event(), False

    async def run(self):
        await self.stopped.wait()
        await asyncio.sleep(0)
        self.arrived = True

    def stop(self):
        self.stopped.set()


def test_a_notice_on_its_way_still_arrives():
    async def go():
        loop = Loop()
        keeping = asyncio.create_task(until_cancelled(loop))
        await asyncio.sleep(0)
        keeping.cancel()
        with pytest.raises(asyncio.CancelledError):
            await keeping
        return loop.arrived

    assert asyncio.run(go())
