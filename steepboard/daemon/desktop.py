"""Who shows the notifications of this desktop, and what it can do."""

from __future__ import annotations

import asyncio
import os
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from steepboard.daemon.notify import DesktopNotifier, session_bus_found
from steepboard.text import visible

if TYPE_CHECKING:
    from dbus_fast.aio import MessageBus

_NAME = "org.freedesktop.Notifications"


@dataclass(frozen=True, slots=True)
class Server:
    """A notification service, by its own words."""

    name: str
    version: str
    abilities: frozenset[str]


@dataclass(frozen=True, slots=True)
class Missing:
    """Why none answers, and what to do, in plain words."""

    told: str
    advice: str
    is_fault: bool = True
    """Whether a desktop is there that ought to show them."""


_NO_BUS = Missing(
    "No desktop session can be reached: there is no session bus.",
    "Run this in a terminal on the desktop, not over ssh or as another user.",
)
_NO_DESKTOP = Missing(
    "There is no desktop here that could show notifications.",
    "Leave the board or `steepboard watch` open in a terminal, or let `steepboard watch --calendar "
    "FILE` keep a calendar for your phone.",
    is_fault=False,
)
_NO_SERVER = Missing(
    "The session bus answers, but nothing on it shows notifications.",
    "Start the notification service of your desktop, or install one, such as dunst.",
)
_ELSEWHERE = Missing(
    "Notifications cannot be shown with this Python on this system.",
    "Leave the board open: it shows what is due.",
)


async def server(limit_s: float = 5.0) -> Server | Missing | None:
    """Return the notification service, or why there is none; None where no name can be asked for.

    The time limit is assumed: a living service answers in milliseconds.
    """
    if sys.platform != "linux":  # never tried there
        notifier = DesktopNotifier()
        sent = await notifier.check()
        await notifier.close()
        return None if sent.shown else _ELSEWHERE
    session_bus_found()
    try:
        async with asyncio.timeout(limit_s):
            return await _asked()
    except TimeoutError:
        return Missing(
            f"The notification service did not answer for {limit_s:g} s.",
            "End the notification service of your desktop and start it again, or log in anew.",
        )
    except Exception:  # no address, no socket, no right to it: all the same to a person
        signs = ("DBUS_SESSION_BUS_ADDRESS", "DISPLAY", "WAYLAND_DISPLAY")
        return _NO_BUS if any(map(os.environ.get, signs)) else _NO_DESKTOP


async def _asked() -> Server | Missing:
    from dbus_fast import BusType
    from dbus_fast.aio import MessageBus

    bus = await MessageBus(bus_type=BusType.SESSION).connect()
    try:
        about, can = await _call(bus, "GetServerInformation"), await _call(bus, "GetCapabilities")
    finally:
        bus.disconnect()
    if about is None or can is None:
        return _NO_SERVER
    name, _, version, _ = about
    return Server(visible(name), visible(version), frozenset(can[0]))


async def _call(bus: MessageBus, member: str) -> list[Any] | None:
    """Return what the service answers, None where there is none; the bus may start one."""
    from dbus_fast import Message, MessageType

    path = f"/{_NAME.replace('.', '/')}"
    answer = await bus.call(Message(_NAME, path, _NAME, member))
    if answer is None or answer.message_type is MessageType.ERROR:
        return None
    return answer.body
