"""Showing a notice on the desktop, and being honest about whether it was shown."""

from __future__ import annotations

import asyncio
import html
import logging
import os
from collections.abc import Awaitable, Callable, Coroutine
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from steepboard.domain.notices import LONGEST_BODY, OPEN
from steepboard.text import visible

if TYPE_CHECKING:
    from dbus_fast import Message
    from dbus_fast.aio import MessageBus
    from desktop_notifier import DesktopNotifier as Library

    from steepboard.domain.notices import Notice

_BUS, _SERVICE = "org.freedesktop.DBus", "org.freedesktop.Notifications"
_NUMBERS = "_platform_to_interface_notification_identifier"  # of the library's for Linux


@dataclass(frozen=True, slots=True)
class Sent:
    """Whether a notification service took a notice; where it did not, why in plain words."""

    shown: bool
    reason: str = ""


class Notifier(Protocol):
    """Something that can show notices; it never raises because a service is missing."""

    async def check(self) -> Sent:
        """Say whether a notice sent now would be taken."""

    async def send(self, notice: Notice, on_answer: Callable[[str], None]) -> Sent:
        """Show `notice` in place of the former one of its slot.

        A pressed button, or a click that is meant to open the board, later calls `on_answer` with
        the identifier of the button.
        """

    async def withdraw(self, slot: str) -> None:
        """Take what was shown in a slot off the screen, as far as it is still there."""

    async def close(self) -> None:
        """Let go of the service; buttons of notices still on the screen do nothing then."""


class DesktopNotifier:
    """Shows notices through the notification service of the desktop.

    The library reports success even when nothing was shown, never ends a call to a service that
    hangs, and stays broken after a restart of the session bus. So each call has a time limit, the
    service is asked what it can do, only its receipt counts, and after a failure the connection
    is made anew.
    """

    def __init__(self, app_name: str = "Steepboard", limit_s: float = 5.0) -> None:
        self._app_name = app_name
        self._limit_s = limit_s  # assumed: a living service answers in milliseconds
        self._library: Library | None = None
        self._takes_markup = False
        # Two calls at once would each make a connection, or one would close that of the other.
        self._one_at_a_time = asyncio.Lock()
        self._tasks: set[asyncio.Future[None]] = set()
        self._shown: dict[str, str] = {}
        """From each slot to what the library calls the notification that was shown in it."""
        # The library logs failures with a traceback; without a handler they reach the terminal.
        logging.getLogger("desktop_notifier").addHandler(logging.NullHandler())

    async def check(self) -> Sent:
        """Say whether a notification service answers."""
        async with self._one_at_a_time:
            return await self._limited(self._connected)

    async def send(self, notice: Notice, on_answer: Callable[[str], None]) -> Sent:
        """Show `notice`; True only when the service confirmed that it took it."""
        async with self._one_at_a_time:
            former = self._shown.get(notice.slot)
            sent = await self._limited(lambda: self._send(notice, on_answer))
            if sent.shown:  # with a limit of its own: what was taken stays taken
                await self._clear(former)
            return sent

    async def withdraw(self, slot: str) -> None:
        """Close the notification of a slot; one that the person closed is gone already."""
        await self._clear(self._shown.pop(slot, None))

    async def close(self) -> None:
        """Disconnect from the session bus."""
        bus, self._library = self._bus(), None
        self._shown.clear()
        if bus is None:
            return
        bus.disconnect()  # otherwise each new try would leave an open socket behind
        with suppress(Exception):  # why the bus went is of no interest, but wants to be heard
            async with asyncio.timeout(self._limit_s):
                await bus.wait_for_disconnect()  # type: ignore[no-untyped-call]

    def _bus(self) -> MessageBus | None:
        return getattr(self._library and self._library._backend, "bus", None)

    async def _limited(self, act: Callable[[], Awaitable[Sent]]) -> Sent:
        try:
            async with asyncio.timeout(self._limit_s):
                sent = await act()
        except TimeoutError:
            sent = Sent(False, f"The notification service did not answer for {self._limit_s:g} s.")
        except Exception:  # no bus, no service on it, or one that broke off: all the same here
            sent = Sent(False, "No notification service can be reached.")
        if not sent.shown:
            await self.close()
        return sent

    async def _connected(self) -> Sent:
        bus = self._bus()
        if bus is not None and not bus.connected:
            await self.close()
        fresh = self._library is None
        if self._library is None:
            from desktop_notifier import DesktopNotifier as Library

            session_bus_found()
            self._library = Library(self._app_name, app_icon=None)
        if not await self._library.get_capabilities():
            return Sent(False, "This Python cannot show notifications on this system.")
        interface = getattr(self._library._backend, "interface", None)
        if interface is not None:
            if fresh:
                interface.bus.add_message_handler(partial(self._heard, self._library))
            # Asked each time: the service may have been replaced by one that differs.
            self._takes_markup = "body-markup" in await interface.call_get_capabilities()
        return Sent(True)

    def _heard(self, library: Library, message: Message) -> None:
        """Start anew where the service went: the next one may give its numbers to others."""
        changed = (message.sender, message.member) == (_BUS, "NameOwnerChanged")
        if changed and message.body[0] == _SERVICE and message.body[1] and library is self._library:
            self._later(self.close())

    async def _send(self, notice: Notice, on_answer: Callable[[str], None]) -> Sent:
        from desktop_notifier import Button, Urgency

        ready = await self._connected()
        if self._library is None or not ready.shown:
            return ready
        soon = asyncio.get_running_loop().call_soon_threadsafe
        numbers: list[int] = []

        def answer(identifier: str) -> None:
            soon(on_answer, identifier)
            soon(self._put_away, numbers)

        taken = asyncio.Event()
        body = visible(notice.body)[:LONGEST_BODY]
        shown = await self._library.send(
            visible(notice.title),
            html.escape(body, quote=False) if self._takes_markup else body,
            urgency=Urgency.Critical if notice.loud else Urgency.Normal,
            buttons=[
                Button(b.label, partial(answer, b.identifier), b.identifier) for b in notice.buttons
            ],
            on_dispatched=taken.set,
            on_clicked=partial(answer, OPEN.identifier) if OPEN in notice.buttons else None,
        )
        if not taken.is_set():
            return Sent(False, "The notification service did not take the notification.")
        known = getattr(self._library._backend, _NUMBERS, {})
        numbers += [number for number, identifier in known.items() if identifier == shown]
        self._shown[notice.slot] = shown
        return Sent(True)

    def _put_away(self, numbers: list[int]) -> None:
        """Close what was pressed: some services leave it, and the library knows it no more."""
        interface = getattr(self._library and self._library._backend, "interface", None)
        if interface is not None:
            for number in numbers:
                closing = interface.call_close_notification(number)
                self._later(self._quietly(closing))

    def _later(self, work: Coroutine[object, object, None]) -> None:
        """Do something beside all else; asyncio itself would forget it."""
        task = asyncio.ensure_future(work)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _clear(self, identifier: str | None) -> None:
        if identifier is None or self._library is None:
            return
        await self._quietly(self._library.clear(identifier))

    async def _quietly(self, closing: Awaitable[object]) -> None:
        with suppress(Exception):  # closed by the person, or the service went: it is gone anyway
            async with asyncio.timeout(self._limit_s):
                await closing


def session_bus_found() -> bool:
    """Say whether a session bus is named; the usual one is, where only the surroundings forgot.

    So it is under cron or ssh. Only Linux has such a bus.
    """
    usual = Path(os.environ.get("XDG_RUNTIME_DIR") or "/nonexistent", "bus")
    if not os.environ.get("DBUS_SESSION_BUS_ADDRESS") and usual.is_socket():
        os.environ["DBUS_SESSION_BUS_ADDRESS"] = f"unix:path={usual}"
    return bool(os.environ.get("DBUS_SESSION_BUS_ADDRESS"))
