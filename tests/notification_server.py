"""A session bus of our own and a notification service on it, for tests; no screen needed.

Method signatures of the bus are read from the annotations, so these are not postponed here.
"""

import asyncio
import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from dbus_fast import BusType, DBusError, ErrorType, NameFlag
from dbus_fast.aio import MessageBus
from dbus_fast.service import ServiceInterface, dbus_method, dbus_signal

NAME = "org.freedesktop.Notifications"
PATH = "/org/freedesktop/Notifications"
# The bus may start nothing by itself: a machine's own notification service stays out of it.
CONFIG = """<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN"
 "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig><type>session</type><listen>{address}</listen>
<policy context="default"><allow send_destination="*"/><allow receive_sender="*"/><allow own="*"/>
</policy></busconfig>
"""


def need(*programs: str) -> None:
    """Skip where one of `programs` is missing; fail instead in CI, which must have them."""
    missing = [program for program in programs if shutil.which(program) is None]
    if missing and os.environ.get("CI"):
        pytest.fail(f"not installed: {', '.join(missing)}")
    if missing:
        pytest.skip(f"not installed: {', '.join(missing)}")


@contextmanager
def session_bus(folder: Path, address: str = "unix:tmpdir=/tmp") -> Iterator[str]:
    """Run a bus while the block runs and give its address; a fixed one can be used again."""
    need("dbus-daemon")
    config = folder / "bus.conf"
    config.write_text(CONFIG.format(address=address), encoding="utf-8")
    command = ["dbus-daemon", f"--config-file={config}", "--print-address=1", "--nofork"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    ) as bus:
        try:
            yield bus.stdout.readline().strip()
        finally:
            bus.kill()


class NotificationService(ServiceInterface):
    """Takes notifications from the bus, keeps their texts and presses their buttons."""

    def __init__(self, *capabilities: str) -> None:
        super().__init__(NAME)
        self.shown: list[dict] = []
        """All that arrived; the first has number 1."""
        self.closed: list[int] = []
        """The numbers that a program asked to close, also such as were never shown."""
        self.gone: set[int] = set()
        self.hangs = False
        self.refuses = False
        self.keeps = False
        """It does not answer when asked to close something."""
        self._capabilities = list(capabilities or ("body", "actions", "body-markup"))
        self._arrived = asyncio.Condition()

    async def __aenter__(self):
        self._bus = await MessageBus(bus_type=BusType.SESSION).connect()
        self._bus.export(PATH, self)
        await self._bus.request_name(NAME, NameFlag.REPLACE_EXISTING | NameFlag.DO_NOT_QUEUE)
        return self

    async def __aexit__(self, *fault):
        if self._bus.connected:
            await self._bus.release_name(NAME)
            self._bus.disconnect()

    async def until(self, count: int) -> dict:
        """Wait until `count` notifications have arrived and return that one."""
        async with self._arrived:
            await asyncio.wait_for(self._arrived.wait_for(lambda: len(self.shown) >= count), 5)
        return self.shown[count - 1]

    def on_screen(self) -> list[dict]:
        """Return what was neither closed nor pressed."""
        return [one for number, one in enumerate(self.shown, 1) if number not in self.gone]

    def press(self, index: int, identifier: str) -> None:
        """Do what a click on a button does, or with `default` one on the words."""
        self.ActionInvoked(index + 1, identifier)
        self.dismiss(index)

    def dismiss(self, index: int) -> None:
        """Do what a person does who closes a notification."""
        self.gone.add(index + 1)
        self.NotificationClosed(index + 1, 2)  # 2: closed by the person, as the standard counts

    @dbus_method()
    async def Notify(  # noqa: N802 the standard's name and arguments
        self,
        app: "s",  # noqa: F821 a type of the bus, not of Python
        replaces: "u",  # noqa: F821
        icon: "s",  # noqa: F821
        title: "s",  # noqa: F821
        body: "s",  # noqa: F821
        actions: "as",  # noqa: F722
        hints: "a{sv}",  # noqa: F722
        expire: "i",  # noqa: F821
    ) -> "u":  # noqa: F821
        if self.refuses:
            raise DBusError(ErrorType.FAILED, "not now")
        buttons = dict(zip(actions[::2], actions[1::2], strict=True))
        urgency = hints["urgency"].value  # 0 low, 1 normal, 2 critical, by the standard
        told = {"app": app, "title": title, "body": body, "buttons": buttons, "urgency": urgency}
        self.shown.append(told)
        async with self._arrived:
            self._arrived.notify_all()
        return len(self.shown)

    @dbus_method()
    async def GetCapabilities(self) -> "as":  # noqa: F722, N802
        if self.hangs:
            await asyncio.Event().wait()
        return self._capabilities

    @dbus_method()
    def GetServerInformation(self) -> "ssss":  # noqa: F821, N802
        return ["for tests", "steepboard", "1", "1.2"]

    @dbus_method()
    async def CloseNotification(self, number: "u"):  # noqa: F821, N802
        if self.keeps:
            await asyncio.Event().wait()
        self.closed.append(number)
        self.gone.add(number)
        self.NotificationClosed(number, 3)  # 3: closed because a program asked

    @dbus_signal()
    def ActionInvoked(self, number, identifier) -> "us":  # noqa: F821, N802
        return [number, identifier]

    @dbus_signal()
    def NotificationClosed(self, number, reason) -> "uu":  # noqa: F821, N802
        return [number, reason]
