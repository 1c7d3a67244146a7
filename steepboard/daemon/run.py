"""The loop that keeps the reminders: it looks when something may be due, and hears the answers.

The record says what is due. An alarm at the next due moment, a steady beat on the monotonic clock
(which a clock change cannot stop) and a watch over the record only say when to look.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from functools import partial

from steepboard.daemon.notify import Notifier, Sent
from steepboard.daemon.tick import Attempt, Reminders, tick
from steepboard.domain.notices import ANSWER, OPEN, Notice
from steepboard.errors import SteepboardError

_LAST_SEND_S = 1.0  # assumed: a living service takes a notice in milliseconds
_LONGEST_WAIT_S = 900.0  # between two tries to reach the service; assumed
_LONGEST_REST_S = 300.0  # assumed: what lapses by itself, at midnight say, stands so long at most


class State(StrEnum):
    """How the reminders stand."""

    STARTING = "starting"
    SENDING = "sending"
    NO_SERVICE = "no notification service"
    """Nothing can be shown; what is due stays due."""
    NO_RECORD = "record cannot be used"
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True)
class Status:
    """How the reminders stand, why, and when the loop means to look next."""

    state: State
    detail: str = ""
    next_wake: datetime | None = None


class Listener:
    """What the loop tells its owner; override what is of use. Called in the loop's own thread."""

    def status(self, status: Status) -> None:
        """Hear that the status changed."""

    def shown(self, notice: Notice) -> None:
        """Hear that a notice was shown."""

    def not_shown(self, notice: Notice, reason: str) -> None:
        """Hear, once, that a due notice could not be shown; the loop goes on trying."""

    def stirred(self, codes: tuple[str, ...]) -> None:
        """Hear which jars a pressed button wrote down as stirred; perhaps none."""

    def replied(self, notice: Notice) -> None:
        """Hear what was said back to a pressed button."""


class ReminderLoop:
    """Keeps the reminders of one shelf inside a running asyncio loop, until `stop`; runs once.

    `look_every_s` is the steady beat, which while all is well mostly asks for the service. What
    failed is tried again after one beat, then after twice as long each time, up to fifteen minutes;
    something newly due is tried at once. `watch_every_s` is how often the record is asked whether
    somebody else wrote. `opener` does what the button *Open* asks for and returns why it could not,
    or nothing.
    """

    def __init__(
        self,
        reminders: Reminders,
        notifier: Notifier,
        clock: Callable[[], datetime],
        listener: Listener | None = None,
        *,
        opener: Callable[[], str] = lambda: "",
        look_every_s: float = 20.0,
        watch_every_s: float = 0.8,  # what others write is to be seen within a second
    ) -> None:
        from apscheduler.schedulers.asyncio import AsyncIOScheduler

        self.status = Status(State.STARTING)
        self._reminders, self._notifier, self._clock = reminders, notifier, clock
        self._listener, self._opener = listener or Listener(), opener
        self._look_every_s, self._watch_every_s = look_every_s, watch_every_s
        # In UTC, since the default zone is not readable on every machine.
        self._scheduler = AsyncIOScheduler(timezone=UTC)
        self._wake, self._stopping = asyncio.Event(), asyncio.Event()
        self._answers: asyncio.Queue[tuple[Notice, str]] = asyncio.Queue()
        self._failed: frozenset[str] = frozenset()
        self._service = Sent(False)
        self._retry_at, self._wait_s = 0.0, look_every_s
        self._look_at, self._seen_at = 0.0, clock()
        self._on_screen: dict[str, Notice] = {}
        self._screen_known = False
        self._unwritten = ""
        """Why an answer cannot be written down, as long as it cannot."""

    async def run(self) -> None:
        """Keep the reminders until `stop` is called or the task is cancelled."""
        self._scheduler.start()
        looking = asyncio.create_task(self._keep_looking())
        answering = asyncio.create_task(self._keep_answering())
        stopping = asyncio.create_task(self._stopping.wait())
        tasks = (looking, answering, stopping)
        try:
            await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
            await asyncio.wait((looking,), timeout=_LAST_SEND_S)
        finally:
            for task in tasks:
                task.cancel()
            ends = await asyncio.gather(*tasks, return_exceptions=True)
            self._scheduler.shutdown(wait=False)
            await self._notifier.close()
            self._tell(State.STOPPED)
        for end in ends:
            if isinstance(end, Exception):
                raise end

    def stop(self) -> None:
        """End `run` soon; a notice on its way gets a second to arrive and be written down."""
        self._stopping.set()
        self._wake.set()

    async def _keep_looking(self) -> None:
        beat_at = self._monotonic()
        while not self._stopping.is_set():
            beat = self._monotonic() >= beat_at
            if beat:
                beat_at = self._monotonic() + self._look_every_s
            try:
                # First, since it takes over a zone that changed while the machine slept.
                called = self._reminders.changed() or self._wake.is_set() or self._clock_jumped()
                self._wake.clear()
                if beat and not called and self._at_rest():
                    await self._ask_service()
                elif beat or called:
                    await self._look(again=beat and self._monotonic() >= self._retry_at)
            except SteepboardError as fault:
                self._screen_known = False  # what was shown just before is not noted yet
                self._tell(State.NO_RECORD, str(fault))
            with suppress(TimeoutError):
                async with asyncio.timeout(self._watch_every_s):
                    await self._wake.wait()

    async def _keep_answering(self) -> None:
        while True:
            notice, identifier = await self._answers.get()
            if identifier == OPEN.identifier:
                self._wake.set()  # the screen has changed
                if refusal := await asyncio.to_thread(self._opener):
                    await self._reply(Notice(ANSWER, self._clock(), "Not opened", refusal))
                continue
            try:
                answer = self._reminders.answer(notice, identifier, self._clock())
            except SteepboardError as fault:
                self._unwritten = str(fault)
                self._tell(State.NO_RECORD, self._unwritten, self.status.next_wake)
                await asyncio.sleep(self._watch_every_s)
                self._answers.put_nowait((notice, identifier))
                continue
            self._unwritten = ""
            self._listener.stirred(answer.stirred)
            self._wake.set()
            if answer.reply:
                await self._reply(answer.reply)

    async def _reply(self, reply: Notice) -> None:
        self._listener.replied(reply)
        sent = await self._notifier.send(reply, partial(self._on_answer, reply))
        if sent.shown:
            self._on_screen[reply.slot] = reply
            with suppress(SteepboardError):  # it was said; only another process will not know
                self._reminders.delivered(reply, self._clock(), sent.token)

    def _at_rest(self) -> bool:
        """Say whether a beat need not look: all was well the last time, not long ago."""
        well = self.status.state is State.SENDING and not self._failed
        return well and self._monotonic() < self._look_at

    async def _ask_service(self) -> None:
        self._service = await self._notifier.check()
        self._forget_gone()
        if not self._service.shown:
            self._tell(State.NO_SERVICE, self._service.reason, self.status.next_wake)
            self._plan_retry()

    async def _look(self, *, again: bool) -> None:
        """Send what is due; only `again` also tries what failed before."""
        looked_at = self._clock()  # the clock may jump while something is sent
        self._know_screen()
        if again:
            self._service = await self._notifier.check()
        if self._service.shown or not again:
            leave = () if again else self._failed
            attempts = await tick(
                self._reminders, self._notifier, self._clock, self._on_answer, leave
            )
        else:
            due = self._reminders.due(self._clock())
            attempts = tuple(Attempt(notice, self._service) for notice in due)
        self._note_failures(attempts, again=again)
        for attempt in attempts:
            self._service = attempt.sent
            if attempt.sent.shown:
                self._on_screen[attempt.notice.slot] = attempt.notice
                self._listener.shown(attempt.notice)
        await self._withdraw_what_is_over()
        next_wake = self._reminders.next_wake(looked_at)
        self._set_alarm(next_wake)
        self._look_at = self._monotonic() + _LONGEST_REST_S
        if self._unwritten:
            self._tell(State.NO_RECORD, self._unwritten, next_wake)
        elif self._service.shown:
            self._tell(State.SENDING, "", next_wake)
        else:
            self._tell(State.NO_SERVICE, self._service.reason, next_wake)
        if again or (attempts and (self._service.shown or not self._retry_at)):
            self._plan_retry()

    def _know_screen(self) -> None:
        """Answer for what an earlier process left on the screen, or a look that a fault ended."""
        if not self._screen_known:
            for token, notice in self._reminders.on_screen().items():
                if notice.slot not in self._notifier.standing():
                    self._notifier.adopt(notice, token, partial(self._on_answer, notice))
                self._on_screen.setdefault(notice.slot, notice)
            self._screen_known = True

    async def _withdraw_what_is_over(self) -> None:
        asking = [notice for slot, notice in self._on_screen.items() if slot != ANSWER]
        for over in self._reminders.over(asking, self._clock()):
            await self._notifier.withdraw(over.slot)
        self._forget_gone()

    def _forget_gone(self) -> None:
        """Forget what was withdrawn, pressed or closed, or went with its service."""
        if gone := self._on_screen.keys() - self._notifier.standing():
            self._reminders.gone(gone)
            for slot in gone:
                del self._on_screen[slot]

    def _plan_retry(self) -> None:
        """Wait longer after each failure, and not at all once something was shown."""
        if self._service.shown:
            self._retry_at, self._wait_s = 0.0, self._look_every_s
        else:
            self._retry_at = self._monotonic() + self._wait_s
            self._wait_s = min(2 * self._wait_s, _LONGEST_WAIT_S)

    def _note_failures(self, attempts: Sequence[Attempt], *, again: bool) -> None:
        known = self._failed
        failures = [attempt for attempt in attempts if not attempt.sent.shown]
        self._failed = frozenset(key for f in failures for key in f.notice.keys)
        if not again:
            self._failed |= known
        for failure in failures:
            if not known.issuperset(failure.notice.keys):
                self._listener.not_shown(failure.notice, failure.sent.reason)

    def _on_answer(self, notice: Notice, identifier: str) -> None:
        self._answers.put_nowait((notice, identifier))

    def _set_alarm(self, at: datetime | None) -> None:
        if at is None:
            self._scheduler.remove_all_jobs()
        elif at != self.status.next_wake:
            # Without a limit on lateness: by default a date one second past is dropped.
            self._scheduler.add_job(
                self._alarm,
                "date",
                run_date=at,
                id="next due",
                replace_existing=True,
                misfire_grace_time=None,
            )

    async def _alarm(self) -> None:  # only a flag, so that a slow look never loses an alarm
        self._wake.set()

    def _tell(self, state: State, detail: str = "", next_wake: datetime | None = None) -> None:
        status = Status(state, detail, next_wake)
        if status != self.status:
            self.status = status
            self._listener.status(status)

    def _monotonic(self) -> float:
        """Return the seconds of a clock that no change of the time of day moves."""
        return asyncio.get_running_loop().time()

    def _clock_jumped(self) -> bool:
        """Say whether the clock was set back, or went past an alarm that slept with the machine."""
        now, next_wake = self._clock(), self.status.next_wake
        back, self._seen_at = now < self._seen_at, now
        return back or (next_wake is not None and now >= next_wake)
