"""Keeps the reminders while the board is open, as long as no other process wants to."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from steepboard.cli.opening import bring_up
from steepboard.cli.reminding import Teller, log_to, reminder_loop
from steepboard.daemon.lock import held_lock, holder
from steepboard.daemon.notify import DesktopNotifier
from steepboard.daemon.run import State, Status
from steepboard.errors import AlreadyRunning, RecordUnusable
from steepboard.tui.keeper import STARTING

if TYPE_CHECKING:
    from steepboard.daemon.notify import Notifier
    from steepboard.daemon.run import ReminderLoop
    from steepboard.domain.notices import Notice
    from steepboard.paths import Home
    from steepboard.services.desk import Desk

# Short, for the board's first line has to hold them on 80 columns.
_STATES = {
    State.SENDING: "reminders: this board",
    State.NO_SERVICE: "no notification service",
    State.NO_RECORD: "reminders: no record",
}


class BoardKeeper:
    """The board's own reminder service: it gives way to `watch`, and takes over when that ends."""

    def __init__(
        self,
        home: Home,
        desk: Desk,
        clock: Callable[[], datetime],
        renew: Callable[[Desk], Desk],
        notifier: Notifier | None = None,
        look_s: float = 2.0,  # five may pass until another keeps them; a last send takes one
    ) -> None:
        self.state = STARTING
        self._home, self._desk, self._clock, self._renew = home, desk, clock, renew
        self._notifier, self._look_s = notifier, look_s

    async def run(
        self, on_change: Callable[[str], None], on_undelivered: Callable[[str, str], None]
    ) -> None:
        """Keep the reminders, or say who does and look again, until cancelled."""

        def change(state: str) -> None:
            if state != self.state:
                self.state = state
                on_change(state)

        while True:
            try:
                await self._keep(change, on_undelivered)
            except AlreadyRunning as held:
                change(f"reminders: process {held.pid}")
            except (RecordUnusable, OSError):
                change(_STATES[State.NO_RECORD])
            await asyncio.sleep(self._look_s)

    async def _keep(
        self, change: Callable[[str], None], on_undelivered: Callable[[str, str], None]
    ) -> None:
        """Keep the reminders until a service wants to; raises AlreadyRunning then."""
        self._leave_to_service()
        with held_lock(self._home.lock), self._desk.opened_again() as desk:
            log = log_to(
                self._home.log,
                lambda: self._clock().astimezone(self._desk.zone),
                partial(on_undelivered, "Reminders"),
            )
            teller = _BoardTeller(log, change, on_undelivered)
            notifier = self._notifier or DesktopNotifier()
            opener = partial(bring_up, self._home)
            loop = reminder_loop(desk, self._clock, teller, notifier, self._renewed, opener)
            giving_way = asyncio.create_task(self._give_way(loop))
            try:
                await loop.run()
            finally:
                giving_way.cancel()
        self._leave_to_service()

    def _renewed(self, desk: Desk) -> Desk:
        """Bring the loop's desk up to date, and with it the one that a later loop begins with."""
        fresh = self._renew(desk)
        if fresh is not desk:
            self._desk = replace(self._desk, settings=fresh.settings, zone=fresh.zone)
        return fresh

    async def _give_way(self, loop: ReminderLoop) -> None:
        while holder(self._home.service_lock) is None:
            await asyncio.sleep(self._look_s)
        loop.stop()

    def _leave_to_service(self) -> None:
        if (pid := holder(self._home.service_lock)) is not None:
            raise AlreadyRunning(pid)


class _BoardTeller(Teller):
    """Writes to the log and tells the board."""

    def __init__(
        self,
        write: Callable[[str], None],
        change: Callable[[str], None],
        undelivered: Callable[[str, str], None],
    ) -> None:
        super().__init__(write)
        self._change, self._undelivered = change, undelivered

    def status(self, status: Status) -> None:
        """Tell the board who keeps the reminders, and whether they can be shown."""
        super().status(status)
        if status.state in _STATES:
            self._change(_STATES[status.state])

    def not_shown(self, notice: Notice, reason: str) -> None:
        """Let the board show what the desktop could not."""
        super().not_shown(notice, reason)
        self._undelivered(notice.title, notice.body)
