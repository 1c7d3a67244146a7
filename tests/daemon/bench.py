"""A reminder loop with everything around it in memory, and what it told."""

from __future__ import annotations

import asyncio
from contextlib import asynccontextmanager

from steepboard.daemon.run import Listener, ReminderLoop
from tests.daemon.test_tick import AFTER_NINE, shelf_of
from tests.fakes import Clock, FakeNotifier, FakeReminders, LeapingLoop, utc

NEVER_S = 3600.0
BEFORE_NINE = utc("2026-11-25T07:00")


class Heard(Listener):
    """Keeps what the loop told, and lets a test wait for it."""

    def __init__(self):
        self.states, self.unshown, self.codes, self.replies = [], [], [], []
        self._told = asyncio.Event()

    def status(self, status):
        self.states.append(status.state)
        self._told.set()

    def not_shown(self, notice, reason):
        self.unshown.append((notice.title, reason))
        self._told.set()

    def stirred(self, codes):
        self.codes.append(codes)
        self._told.set()

    def replied(self, notice):
        self.replies.append(notice)
        self._told.set()

    async def until(self, what):
        async with asyncio.timeout(5):
            while not what(self):
                self._told.clear()
                await self._told.wait()


class Bench:
    """A loop with everything around it in memory."""

    def __init__(self, *steeps, now=AFTER_NINE):
        self.shelf = shelf_of(*steeps)
        self.reminders = FakeReminders(self.shelf)
        self.notifier = FakeNotifier()
        self.clock = Clock(now)
        self.heard = Heard()

    def loop(self, *, look=NEVER_S, watch=NEVER_S, clock=None, opener=lambda: ""):
        return ReminderLoop(
            self.reminders,
            self.notifier,
            clock or self.clock,
            self.heard,
            opener=opener,
            look_every_s=look,
            watch_every_s=watch,
        )


async def looked(bench, times):
    """Wait until the loop has looked so many times."""
    async with asyncio.timeout(5):
        while bench.reminders.looks < times:
            await asyncio.sleep(0)


@asynccontextmanager
async def running(loop):
    task = asyncio.create_task(loop.run())
    try:
        yield task
    finally:
        loop.stop()
        await asyncio.wait_for(asyncio.gather(task, return_exceptions=True), 5)


def leap(go):
    """Run `go` where waiting takes no time."""
    with asyncio.Runner(loop_factory=LeapingLoop) as runner:
        return runner.run(go)
