"""Keep the reminders in the foreground."""

from __future__ import annotations

import asyncio
import os
import sys
from contextlib import suppress
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steepboard.cli.agenda import keep_fresh
from steepboard.cli.opening import bring_up
from steepboard.cli.place import Place
from steepboard.cli.reminding import Teller, log_to, reminder_loop
from steepboard.cli.render import say
from steepboard.daemon.foreground import until_cancelled, until_signal
from steepboard.daemon.lock import holder, lock_when_free
from steepboard.daemon.notify import DesktopNotifier, Notifier, session_bus_found
from steepboard.daemon.terminal import TerminalNotifier
from steepboard.text import visible

if TYPE_CHECKING:
    from steepboard.services.desk import Desk

# A board that looks whether the lock is free holds it for less than a millisecond. Assumed.
_LOCK_PATIENCE_S = 0.5
_BOARD_GIVES_WAY_S = 5.0  # what a board promises; one that is stopped does not keep to it


@click.command()
@click.option("--verbose", is_flag=True, help="Write on the terminal what goes into the log.")
@click.option(
    "--calendar",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Keep the calendar file fresh, for a phone to subscribe to.",
)
@click.pass_obj
def watch(place: Place, verbose: bool, calendar: Path | None) -> None:
    """Keep the reminders of a shelf until stopped.

    It says nothing while all is well; what it does stands in reminders.log beside the record. It
    ends with 3 where another one already keeps these reminders.

    Example: steepboard watch --verbose
    """
    watching = _Watch(place, calendar, verbose=verbose)
    ended = until_signal(watching.keep)
    watching.note("This `steepboard watch` has ended.")
    if not ended:
        os._exit(0)  # the thread left behind may not hold up the end


class _Watch:
    """One `watch`: what it does, and where it says so."""

    def __init__(self, place: Place, calendar: Path | None, *, verbose: bool) -> None:
        self._place, self._calendar, self._verbose = place, calendar, verbose
        self._home, self._local = place.home.make(), _LocalTime(place)
        self._log = log_to(self._home.log, self._local.now, _warn)

    async def keep(self) -> None:
        """Keep the reminders once no board does; AlreadyRunning where another `watch` does."""
        home, place = self._home, self._place
        async with lock_when_free(home.service_lock, _LOCK_PATIENCE_S):  # a board gives way to it
            running = asyncio.get_running_loop()
            complaint = running.call_later(_BOARD_GIVES_WAY_S, self._complain)
            async with lock_when_free(home.lock):
                complaint.cancel()
                with place.desk() as desk:
                    self.note(f"Reminders for {home.root} are kept here.")
                    await self._keep_with(desk)

    async def _keep_with(self, desk: Desk) -> None:
        place, notifier = self._place, _notifier()
        # What is written on the terminal as a reminder need not stand there once more.
        sent = self._log if isinstance(notifier, TerminalNotifier) else self.note
        teller = Teller(self.note, self._warn, self._ring if sys.stdout.isatty() else None, sent)
        opener = partial(bring_up, self._home)
        loop = reminder_loop(desk, place.clock, teller, notifier, self._local.renewed, opener)
        fresh = asyncio.create_task(self._keep_calendar(desk))
        try:
            await until_cancelled(loop)
        finally:
            fresh.cancel()

    async def _keep_calendar(self, desk: Desk) -> None:
        if self._calendar:
            place = self._place
            await keep_fresh(self._calendar, desk, place.clock, place.renewal(), self._warn)

    def note(self, text: str) -> None:
        """Write down what is of use to whoever looks for it."""
        self._log(text)
        if self._verbose:
            with suppress(OSError):  # nobody reads: no reason to end the reminders
                say(text)

    def _warn(self, text: str) -> None:
        self._log(text)
        _warn(text)

    def _ring(self, text: str) -> None:
        with suppress(OSError):
            _write("\a" if self._verbose else f"\a{visible(text)}\n")  # then it was noted

    def _complain(self) -> None:
        pid = holder(self._home.lock) or "unknown"
        self._warn(f"Process {pid} does not let go of the reminders. They start here once it ends.")


class _LocalTime:
    """The time of day for the log, in the zone that the reminders go by."""

    def __init__(self, place: Place) -> None:
        self._renew = place.renewal()  # before the zone is read, so that no change is missed
        self._clock, self._zone = place.clock, place.zone

    def now(self) -> datetime:
        return self._clock().astimezone(self._zone)

    def renewed(self, desk: Desk) -> Desk:
        """Bring a desk up to date and go by its zone."""
        desk = self._renew(desk)
        self._zone = desk.zone
        return desk


def _notifier() -> Notifier:
    """Return what shows the reminders: the desktop, or this terminal where there is none."""
    if sys.platform != "linux" or session_bus_found() or not sys.stdout.isatty():
        return DesktopNotifier()
    return TerminalNotifier(_write)


def _write(text: str) -> None:
    """Write on the terminal at once; a fault is not kept for the next write, as a file would."""
    os.write(sys.stdout.fileno(), text.encode(sys.stdout.encoding, "replace"))


def _warn(text: str) -> None:
    with suppress(OSError):
        say(text, to_stderr=True)
