"""Stand-ins for the clock, the notification service and the record."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Collection
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from steepboard.daemon.notify import Sent
from steepboard.domain.notices import Notice, notices
from steepboard.domain.quiet import Quiet
from steepboard.domain.schedule import ReminderKind, Rhythm, Series, Steep, due, next_wake, standing
from steepboard.services.answers import Answer

BERLIN = ZoneInfo("Europe/Berlin")
# Times of the day as a small bar might set them, without tasting in the first weeks; invented.
RHYTHM = Rhythm(1, time(9), 40, 3, time(17), time(20), time(10))
ALWAYS = Quiet(time(0), time(0), time(9))
GROUP_MINUTES = 10
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


class LeapingLoop(asyncio.SelectorEventLoop):
    """An event loop whose time leaps to the next timer once there is nothing else to do."""

    def __init__(self) -> None:
        super().__init__()
        self._seconds = 0.0
        look = self._selector.select
        self._selector.select = lambda wait=None: look(wait and self._leap(wait))

    def time(self) -> float:
        return self._seconds

    def _leap(self, wait: float) -> float:
        self._seconds = round(self._seconds + max(wait, 0), 6)
        return 0


class FakeNotifier:
    """A notification service in memory; `broken` is the reason why it shows nothing."""

    def __init__(self) -> None:
        self.broken = ""
        self.service = "first"
        """Another name stands for a service that was started anew."""
        self.refusals = 0
        """So many notices are refused, although the check succeeds."""
        self.shown: list[Notice] = []
        self.on_screen: dict[str, Notice] = {}
        """What stands on the screen now, by slot."""
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
            self.on_screen[notice.slot] = notice
            self._answers.append(on_answer)
            sent = Sent(True, token=f"{self.service} {len(self.shown) - 1}")
        async with self._tried:
            self._tried.notify_all()
        self.after(notice)
        return sent

    async def withdraw(self, slot: str) -> None:
        self.on_screen.pop(slot, None)

    def adopt(self, notice: Notice, token: str, on_answer: Callable[[str], None]) -> None:
        service, index = token.split()
        if service == self.service:
            self._answers[int(index)] = on_answer
            self.on_screen[notice.slot] = self.shown[int(index)]

    def standing(self) -> frozenset[str]:
        return frozenset(self.on_screen)

    def successor(self) -> FakeNotifier:
        """Return the notifier of a process that comes after this one, at the same service."""
        later = FakeNotifier()
        later.service, later.shown = self.service, self.shown
        later._answers = [lambda identifier: None for _ in self.shown]
        return later

    async def close(self) -> None:
        self.closed = True

    def press(self, index: int, identifier: str) -> None:
        asyncio.get_running_loop().call_soon(self._answers[index], identifier)
        pressed = self.shown[index]
        if self.on_screen.get(pressed.slot) is pressed:
            del self.on_screen[pressed.slot]  # a desktop closes what was pressed

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
    on_screen: dict[str, tuple[str, Notice]] = field(default_factory=dict)
    revision: int = 0

    def put(self, steep: Steep) -> None:
        self.steeps[steep.jar_id] = steep
        self.revision += 1


def steep(jar_id: int, code: str, name: str, charged_on: date, strain_on: date, **rhythm) -> Steep:
    """Return a steeping jar with the rhythm above but for what is said."""
    return Steep(jar_id, code, name, charged_on, strain_on, replace(RHYTHM, **rhythm))


class FakeReminders:
    """The reminders port of one process over a shared `FakeShelf`."""

    def __init__(self, shelf: FakeShelf) -> None:
        self.shelf = shelf
        self.fault: Exception | None = None
        self.looks = 0
        self.answers: list[tuple[Notice, str]] = []
        self.reply: Notice | None = None
        self._seen = shelf.revision

    def due(self, now: datetime) -> tuple[Notice, ...]:
        self.looks += 1
        if self.fault:
            raise self.fault
        said = self.shelf.delivered
        waiting = [r for r in due(self._series, ALWAYS, BERLIN, now) if r.key not in said]
        return notices(waiting, GROUP_MINUTES, BERLIN, now, said)

    def over(self, notices: Collection[Notice], now: datetime) -> tuple[Notice, ...]:
        left = {reminder.key for reminder in standing(self._series, ALWAYS, BERLIN, now)}
        return tuple(notice for notice in notices if left.isdisjoint(notice.keys))

    def claim(self, notice: Notice, now: datetime) -> bool:
        claims = self.shelf.claims
        held = (abs(now - claims[key]) <= STALE for key in notice.keys if key in claims)
        if any(held) or self.shelf.delivered.intersection(notice.keys):
            return False
        claims.update(dict.fromkeys(notice.keys, now))
        return True

    def delivered(self, notice: Notice, now: datetime, token: str = "") -> None:
        self.shelf.delivered.update(notice.keys)
        self.shelf.on_screen[notice.slot] = token, notice

    def on_screen(self) -> dict[str, Notice]:
        return dict(self.shelf.on_screen.values())

    def gone(self, slots: Collection[str]) -> None:
        for slot in slots:
            del self.shelf.on_screen[slot]

    def failed(self, notice: Notice, now: datetime, reason: str) -> None:
        self.shelf.failures.append(reason)
        for key in notice.keys:
            del self.shelf.claims[key]

    def next_wake(self, now: datetime) -> datetime | None:
        return next_wake(self._series, ALWAYS, BERLIN, now)

    def answer(self, notice: Notice, identifier: str, now: datetime) -> Answer:
        if self.fault:
            raise self.fault
        self.answers.append((notice, identifier))
        if not identifier.endswith("stirred"):
            return Answer(reply=self.reply)
        stirs = (task.jar_id for task in notice.tasks if task.kind is ReminderKind.STIR)
        return Answer(tuple(self.shelf.steeps[jar].code for jar in stirs), self.reply)

    def changed(self) -> bool:
        before, self._seen = self._seen, self.shelf.revision
        return before != self._seen

    @property
    def _series(self) -> list[Series]:
        return [one for steep in self.shelf.steeps.values() for one in steep.series()]
