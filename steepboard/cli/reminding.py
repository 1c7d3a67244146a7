"""The reminder loop as `watch` and the board run it, and what it says of itself."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from steepboard.daemon.notify import DesktopNotifier, Notifier
from steepboard.daemon.run import Listener, ReminderLoop, State, Status
from steepboard.errors import RecordUnusable
from steepboard.paths import private_file
from steepboard.services.reminders import RecordReminders
from steepboard.text import visible

if TYPE_CHECKING:
    from pathlib import Path

    from steepboard.domain.schedule import Notice
    from steepboard.services.desk import Desk


class Teller(Listener):
    """Turns what the loop did into plain lines."""

    def __init__(self, write: Callable[[str], None]) -> None:
        self.write = write
        self._state = State.STARTING

    def status(self, status: Status) -> None:
        """Tell when nothing can be shown, and when it can again."""
        before, self._state = self._state, status.state
        if status.state is before:
            return
        if status.state is State.NO_SERVICE:
            self.write(f"What is due stays due. {status.detail}")
        elif status.state is State.NO_RECORD:
            self.write(status.detail)
        elif status.state is State.SENDING and before is State.NO_RECORD:
            self.write("The record can be used again.")
        elif status.state is State.SENDING and before is State.NO_SERVICE:
            self.write("Notifications are shown again.")

    def shown(self, notice: Notice) -> None:
        """Tell what was shown."""
        self.write(f"Sent: {notice.title}: {notice.body}")

    def not_shown(self, notice: Notice, reason: str) -> None:
        """Tell what is due and could not be shown."""
        self.write(f"Not shown: {notice.title}: {notice.body} ({reason})")

    def stirred(self, codes: tuple[str, ...]) -> None:
        """Tell what a button wrote into the diary."""
        if codes:
            self.write(f"Stirred, by the notification: {', '.join(codes)}.")


def reminder_loop(
    desk: Desk, clock: Callable[[], datetime], teller: Teller, notifier: Notifier | None = None
) -> ReminderLoop:
    """Return the loop over a desk that has a connection of its own."""
    return ReminderLoop(
        RecordReminders(desk),
        notifier or DesktopNotifier(),
        clock,
        teller,
        look_every_s=desk.settings.reminders.look_every_seconds,
    )


def log_to(
    path: Path, desk: Desk, clock: Callable[[], datetime], lost: Callable[[str], None]
) -> Callable[[str], None]:
    """Return a function that adds a line, with its local time, to a file for its owner alone.

    It never raises: why a line is missing from the log is told to `lost`, once.
    """
    complaints: list[str] = []

    def write(text: str) -> None:
        line = f"{clock().astimezone(desk.zone):%Y-%m-%d %H:%M:%S} {visible(text)}\n"
        try:
            with private_file(path).open("a", encoding="utf-8") as log:
                log.write(line)
        except (RecordUnusable, OSError) as fault:
            if not complaints:
                complaints.append(str(fault))
                lost(f"The reminders go on without their log. {fault}")

    return write
