"""One pass over what is due: claim, send, and write down what came of it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Protocol

from steepboard.daemon.notify import Notifier, Sent
from steepboard.domain.notices import Notice


class Answer(Protocol):
    """What came of a pressed button."""

    @property
    def stirred(self) -> tuple[str, ...]:
        """Codes of the jars that were written down as stirred."""

    @property
    def reply(self) -> Notice | None:
        """What is to be said back, if anything."""


class Reminders(Protocol):
    """The record, as far as the reminder service needs it; `now` is aware, in UTC."""

    def due(self, now: datetime) -> tuple[Notice, ...]:
        """Return what is due and was not delivered yet, grouped."""

    def over(self, notices: Collection[Notice], now: datetime) -> tuple[Notice, ...]:
        """Return those of `notices` of which nothing is left to be done."""

    def claim(self, notice: Notice, now: datetime) -> bool:
        """Say whether this process won all keys; claims older than 60 s may be taken over."""

    def delivered(self, notice: Notice, now: datetime, token: str = "") -> None:
        """Write down that the notice was shown, and its token, where it can be found again."""

    def on_screen(self) -> Mapping[str, Notice]:
        """Return by its token what stood on the screen when it was last heard of."""

    def gone(self, slots: Collection[str]) -> None:
        """Write down that nothing stands in these slots any more."""

    def failed(self, notice: Notice, now: datetime, reason: str) -> None:
        """Give the claim back: the notice stays due."""

    def next_wake(self, now: datetime) -> datetime | None:
        """Return the next instant after `now` at which something may become due."""

    def answer(self, notice: Notice, identifier: str, now: datetime) -> Answer:
        """Do what a pressed button asks for; what does not fit any more writes nothing."""

    def changed(self) -> bool:
        """Say whether anything that matters changed since the last look; cheap."""


@dataclass(frozen=True, slots=True)
class Attempt:
    """One notice and what came of sending it."""

    notice: Notice
    sent: Sent


async def tick(
    reminders: Reminders,
    notifier: Notifier,
    clock: Callable[[], datetime],
    on_answer: Callable[[Notice, str], None],
    leave: Collection[str] = (),
) -> tuple[Attempt, ...]:
    """Send every due notice that can be claimed; notices with no key outside `leave` wait.

    A process that dies between sending and writing it down leaves its claim to go stale, so the
    notice is repeated once and never lost.
    """
    attempts = []
    for notice in reminders.due(clock()):
        if all(key in leave for key in notice.keys) or not reminders.claim(notice, clock()):
            continue
        sent = await notifier.send(notice, partial(on_answer, notice))
        if sent.shown:
            reminders.delivered(notice, clock(), sent.token)
        else:
            reminders.failed(notice, clock(), sent.reason)
        attempts.append(Attempt(notice, sent))
    return tuple(attempts)
