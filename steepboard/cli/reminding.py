"""The reminder loop as `watch` and the board run it, and what it says of itself."""

from __future__ import annotations

import logging
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import TYPE_CHECKING

from steepboard.daemon.run import Listener, ReminderLoop, State, Status
from steepboard.domain.records import Source
from steepboard.paths import private_file
from steepboard.services.reminders import RecordReminders
from steepboard.text import visible

if TYPE_CHECKING:
    from io import TextIOWrapper

    from steepboard.daemon.notify import Notifier
    from steepboard.domain.notices import Notice
    from steepboard.services.desk import Desk

# A line takes about 80 bytes and a bar some twenty a day, so that this holds years. Assumed.
_LOG_BYTES, _LOGS_KEPT = 250_000, 4


class Teller(Listener):
    """Turns what the loop did into plain lines."""

    def __init__(
        self,
        write: Callable[[str], None],
        warn: Callable[[str], None] | None = None,
        ring: Callable[[str], None] | None = None,
        sent: Callable[[str], None] | None = None,
    ) -> None:
        self.write = write
        self._sent = sent or write
        """For what was shown."""
        self.warn = warn or write
        """For what a person should hear of: trouble, and its end."""
        self._ring = ring
        """For what is due and could not be shown, where somebody may sit at a terminal."""
        self._state = State.STARTING

    def status(self, status: Status) -> None:
        """Tell when nothing can be shown, and when it can again."""
        before, self._state = self._state, status.state
        if status.state is before:
            return
        if status.state is State.NO_SERVICE:
            self.warn(f"What is due stays due. {status.detail}")
        elif status.state is State.NO_RECORD:
            self.warn(status.detail)
        elif status.state is State.SENDING and before is State.NO_RECORD:
            self.warn("The reminders go on.")
        elif status.state is State.SENDING and before is State.NO_SERVICE:
            self.warn("Notifications are shown again.")

    def shown(self, notice: Notice) -> None:
        """Tell what was shown."""
        self._sent(f"Sent: {notice.title}: {notice.body}")

    def not_shown(self, notice: Notice, reason: str) -> None:
        """Tell what is due and could not be shown."""
        self.write(f"Not shown: {notice.title}: {notice.body} ({reason})")
        if self._ring:
            self._ring(f"{notice.title}: {notice.body}")

    def stirred(self, codes: tuple[str, ...]) -> None:
        """Tell what a button wrote into the diary."""
        if codes:
            self.write(f"Stirred, by the notification: {', '.join(codes)}.")

    def replied(self, notice: Notice) -> None:
        """Tell what was said back to a pressed button."""
        self.write(f"Answered: {notice.title}: {notice.body}")


def reminder_loop(
    desk: Desk,
    clock: Callable[[], datetime],
    teller: Teller,
    notifier: Notifier,
    renew: Callable[[Desk], Desk],
    opener: Callable[[], str],
) -> ReminderLoop:
    """Return the loop over a desk that has a connection of its own."""
    return ReminderLoop(
        RecordReminders(replace(desk, source=Source.NOTIFICATION), renew),
        notifier,
        clock,
        teller,
        opener=opener,
        look_every_s=desk.settings.reminders.look_every_seconds,
    )


def log_to(
    path: Path, local_now: Callable[[], datetime], lost: Callable[[str], None]
) -> Callable[[str], None]:
    """Return a function that adds a line, with its local time, to a file for its owner alone.

    A file that is full is put aside, and the oldest is dropped. It never raises: why a line is
    missing from the log is told to `lost`, once.
    """
    log = _Log(path, lost)

    def write(text: str) -> None:
        line = f"{local_now():%Y-%m-%d %H:%M:%S} {visible(text)}"
        log.handle(logging.makeLogRecord({"msg": line}))
        log.close()  # the next line opens it again, wherever it is by then

    return write


class _Log(RotatingFileHandler):
    """The rotating file, for its owner alone, and what becomes of a line it cannot take."""

    def __init__(self, path: Path, lost: Callable[[str], None]) -> None:
        super().__init__(
            path, maxBytes=_LOG_BYTES, backupCount=_LOGS_KEPT, encoding="utf-8", delay=True
        )
        self._lost, self._complained = lost, False

    def _open(self) -> TextIOWrapper:
        return private_file(Path(self.baseFilename)).open("a", encoding="utf-8")

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: ARG002, N802
        if not self._complained:
            self._complained = True
            self._lost(f"The reminders go on without their log. {sys.exception()}")
