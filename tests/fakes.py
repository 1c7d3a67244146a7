"""Stand-ins for the clock, the notification service and the record."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from steepboard.daemon.notify import Sent
from steepboard.domain.schedule import Notice, Steep, Times, due, group, next_wake

BERLIN = ZoneInfo("Europe/Berlin")
# Times of the day as a small bar might set them; invented.
TIMES = Times(time(9), time(20), time(10), group_minutes=10)
# From the port's contract: an older claim may be taken over; so may one from the future, which a
# clock that was set back leaves behind.
STALE = timedelta(seconds=60)


def utc(text: str) -> datetime:
    """Return the UTC instant that `text` writes, say `2026-03-28T08:00`."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


@dataclass
class Clock:
    """A clock that moves only when told to."""

    now: datetime

    def __call__(self) -> datetime:
        return self.now

    def forward(self, **by: float) -> None:
        self.now += timedelta(**by)


class FakeNotifier:
    """A notification service in memory; `broken` is the reason why it shows nothing."""

    def __init__(self) -> None:
        self.broken = ""
        self.refusals = 0
        """So many notices are refused, although the check succeeds."""
        self.shown: list[Notice] = []
        self.tries = 0
        self.closed = False
        self.hold: asyncio.Event | None = None
        """When set, a notice arrives only after this event."""
        self.before: Callable[[Notice], None] = lambda notice: None
        self.after: Callable[[Notice], None] = lambda notice: None
        self._answers: list[Callable[[str], None]] = []
        self._tried = asyncio.Condition()

    async def check(self) -> Sent:
        return Sent(not self.broken, self.broken)

    async def send(self, notice: Notice, on_answer: Callable[[str], None]) -> Sent:
        self.before(notice)
        if self.hold is not None:
            await self.hold.wait()
        self.tries += 1
        sent = Sent(False, "refused") if self.refusals else await self.check()
        self.refusals = max(self.refusals - 1, 0)
        if sent.shown:
            self.shown.append(notice)
            self._answers.append(on_answer)
        async with self._tried:
            self._tried.notify_all()
        self.after(notice)
        return sent

    async def close(self) -> None:
        self.closed = True

    def press(self, index: int, identifier: str) -> None:
        asyncio.get_running_loop().call_soon(self._answers[index], identifier)

    async def until(self, tries: int) -> None:
        """Wait until `send` was called so many times."""
        async with self._tried:
            await asyncio.wait_for(self._tried.wait_for(lambda: self.tries >= tries), 5)


@dataclass
class FakeShelf:
    """What processes share: the steeping jars and what was claimed and delivered."""

    steeps: dict[int, Steep] = field(default_factory=dict)
    claims: dict[str, datetime] = field(default_factory=dict)
    delivered: set[str] = field(default_factory=set)
    failures: list[str] = field(default_factory=list)
    revision: int = 0

    def put(self, steep: Steep) -> None:
        self.steeps[steep.jar_id] = steep
        self.revision += 1


class FakeReminders:
    """The reminders port of one process over a shared `FakeShelf`."""

    def __init__(self, shelf: FakeShelf) -> None:
        self.shelf = shelf
        self.fault: Exception | None = None
        self.looks = 0
        self.stirs: list[tuple[int, ...]] = []
        self._seen = shelf.revision

    def due(self, now: datetime) -> tuple[Notice, ...]:
        self.looks += 1
        if self.fault:
            raise self.fault
        reminders = due(self.shelf.steeps.values(), TIMES, BERLIN, now)
        waiting = [r for r in reminders if r.key not in self.shelf.delivered]
        return group(waiting, TIMES.group_minutes)

    def claim(self, notice: Notice, now: datetime) -> bool:
        claims = self.shelf.claims
        held = (abs(now - claims[key]) <= STALE for key in notice.keys if key in claims)
        if any(held) or self.shelf.delivered.intersection(notice.keys):
            return False
        claims.update(dict.fromkeys(notice.keys, now))
        return True

    def delivered(self, notice: Notice, now: datetime) -> None:
        self.shelf.delivered.update(notice.keys)

    def failed(self, notice: Notice, now: datetime, reason: str) -> None:
        self.shelf.failures.append(reason)
        for key in notice.keys:
            del self.shelf.claims[key]

    def next_wake(self, now: datetime) -> datetime | None:
        return next_wake(self.shelf.steeps.values(), TIMES, BERLIN, now)

    def stirred(self, jar_ids: tuple[int, ...], now: datetime) -> tuple[str, ...]:
        if self.fault:
            raise self.fault
        self.stirs.append(jar_ids)
        return tuple(self.shelf.steeps[jar].code for jar in jar_ids)

    def changed(self) -> bool:
        before, self._seen = self._seen, self.shelf.revision
        return before != self._seen
