"""Showing a notice on the desktop, and being honest about whether it was shown."""

from __future__ import annotations

import asyncio
import html
import logging
import os
from collections.abc import Awaitable, Callable, Collection, Coroutine
from contextlib import suppress
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Protocol
from uuid import uuid4

from steepboard.daemon.owner import BUS, SERVICE, hear_again, identity
from steepboard.domain.notices import LONGEST_BODY, OPEN
from steepboard.text import visible

if TYPE_CHECKING:
    from dbus_fast import Message
    from dbus_fast.aio import MessageBus
    from dbus_fast.aio.proxy_object import ProxyInterface
    from desktop_notifier import DesktopNotifier as Library
    from desktop_notifier import Notification

    from steepboard.domain.notices import Notice

_NUMBERS = "_platform_to_interface_notification_identifier"  # of the library's for Linux


@dataclass(frozen=True, slots=True)
class Sent:
    """Whether a notification service took a notice; where it did not, why in plain words."""

    shown: bool
    reason: str = ""
    token: str = ""
    """By what a later process may `adopt` it; empty where it cannot."""


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
        """Take what was shown in a slot off the screen, as far as it is there and can be reached.

        What could not be reached is still `standing`.
        """

    def adopt(self, notice: Notice, token: str, on_answer: Callable[[str], None]) -> None:
        """Answer for what another process showed, as if it had been sent here.

        For the time before the first check: then it is known whether the same service still runs.
        """

    def standing(self) -> Collection[str]:
        """Return the slots of what was sent or adopted and, as far as is known, still stands."""

    async def close(self) -> None:
        """Let go of the service; what is on the screen stays there, for others to adopt."""


@dataclass(slots=True, eq=False)
class _Shown:
    """A notice on the screen, and what the library and the service call it.

    The number is known once the service has taken it.
    """

    notice: Notice
    on_answer: Callable[[str], None]
    service: str = ""
    number: int = 0
    identifier: str = field(default_factory=lambda: str(uuid4()))

    @property
    def token(self) -> str:
        return f"{self.service} {self.number}" if self.number else ""


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
        self._service = ""  # as long as there is a connection to it
        # Two calls at once would each make a connection, or one would close that of the other.
        self._one_at_a_time = asyncio.Lock()
        self._tasks: set[asyncio.Future[None]] = set()
        self._shown: dict[str, _Shown] = {}
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
        """Close the notification of a slot; while nothing is connected it goes on standing."""
        if self._library is not None:
            await self._clear(self._shown.pop(slot, None))

    def adopt(self, notice: Notice, token: str, on_answer: Callable[[str], None]) -> None:
        """Keep it until a connection shows whether the service that took it is still there."""
        service, _, number = token.rpartition(" ")
        self._shown[notice.slot] = _Shown(notice, on_answer, service, int(number))

    def standing(self) -> frozenset[str]:
        """Return the slots of what was not pressed, withdrawn or heard to be closed."""
        return frozenset(self._shown)

    async def close(self) -> None:
        """Disconnect from the session bus."""
        self._shown.clear()
        await self._disconnect()

    async def _disconnect(self) -> None:
        bus, self._library, self._service = self._bus(), None, ""
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
            await self._disconnect()
        return sent

    async def _connected(self) -> Sent:
        bus = self._bus()
        if bus is not None and not bus.connected:
            await self._disconnect()
        fresh = self._library is None
        if self._library is None:
            from desktop_notifier import DesktopNotifier as Library

            session_bus_found()
            self._library = Library(self._app_name, app_icon=None)
        if not await self._library.get_capabilities():
            return Sent(False, "This Python cannot show notifications on this system.")
        interface = getattr(self._library._backend, "interface", None)
        if interface is not None:
            # Asked each time: the service may have been replaced by one that differs.
            self._takes_markup = "body-markup" in await interface.call_get_capabilities()
            if fresh:
                await self._begin(self._library, interface)
        return Sent(True)

    async def _begin(self, library: Library, interface: ProxyInterface) -> None:
        """Take over what stands there already; what another service showed went with it."""
        interface.bus.add_message_handler(partial(self._heard, library))
        self._service = await identity(interface.bus)
        known = self._shown.items()
        self._shown = {slot: one for slot, one in known if one.service == self._service}
        ours = {shown.number: self._made(shown) for shown in self._shown.values()}
        for number, notification in ours.items():
            getattr(library._backend, _NUMBERS)[number] = notification.identifier
            library._backend._notification_cache[notification.identifier] = notification
        if ours:
            for gone in await hear_again(interface.bus, interface, self._app_name, ours):
                self._forget(gone)

    def _heard(self, library: Library, message: Message) -> None:
        """Start anew where the service went: the next one may give its numbers to others."""
        if library is not self._library:
            return
        if (message.sender, message.member) == (BUS, "NameOwnerChanged"):
            if message.body[0] == SERVICE and message.body[1]:
                self._later(self._disconnect())
        elif (message.interface, message.member) == (SERVICE, "NotificationClosed"):
            self._forget(message.body[0])

    def _forget(self, number: int) -> None:
        self._shown = {slot: one for slot, one in self._shown.items() if one.number != number}

    async def _send(self, notice: Notice, on_answer: Callable[[str], None]) -> Sent:
        ready = await self._connected()
        if self._library is None or not ready.shown:
            return ready
        shown = _Shown(notice, on_answer, self._service)
        taken = asyncio.Event()
        await self._library.send_notification(self._made(shown, taken.set))
        if not taken.is_set():
            return Sent(False, "The notification service did not take the notification.")
        known = getattr(self._library._backend, _NUMBERS, {})
        for number, identifier in known.items():
            if identifier == shown.identifier:
                shown.number = number
        self._shown[notice.slot] = shown
        return Sent(True, token=shown.token)

    def _made(self, shown: _Shown, taken: Callable[[], None] = lambda: None) -> Notification:
        from desktop_notifier import Button, Notification, Urgency

        notice, soon = shown.notice, asyncio.get_running_loop().call_soon_threadsafe

        def answer(identifier: str) -> None:
            soon(shown.on_answer, identifier)
            soon(self._put_away, shown)

        body = visible(notice.body)[:LONGEST_BODY]
        buttons = [
            Button(b.label, partial(answer, b.identifier), b.identifier) for b in notice.buttons
        ]
        return Notification(
            visible(notice.title),
            html.escape(body, quote=False) if self._takes_markup else body,
            urgency=Urgency.Critical if notice.loud else Urgency.Normal,
            buttons=tuple(buttons),
            on_dispatched=taken,
            on_clicked=partial(answer, OPEN.identifier) if OPEN in notice.buttons else None,
            identifier=shown.identifier,
        )

    def _put_away(self, shown: _Shown) -> None:
        """Close what was pressed: some services leave it, and the library knows it no more."""
        if self._shown.get(shown.notice.slot) is shown:
            del self._shown[shown.notice.slot]
        interface = getattr(self._library and self._library._backend, "interface", None)
        if interface is not None and shown.number and shown.service == self._service:
            self._later(self._quietly(interface.call_close_notification(shown.number)))

    def _later(self, work: Coroutine[object, object, None]) -> None:
        """Do something beside all else; asyncio itself would forget it."""
        task = asyncio.ensure_future(work)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _clear(self, shown: _Shown | None) -> None:
        if shown is not None and self._library is not None:
            await self._quietly(self._library.clear(shown.identifier))

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
