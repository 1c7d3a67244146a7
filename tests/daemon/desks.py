"""Two desks for tests of notifiers, one in memory and one with a real bus, and notices for them."""

from __future__ import annotations

import html
from contextlib import asynccontextmanager
from dataclasses import replace

from steepboard.daemon.notify import DesktopNotifier
from steepboard.domain.notices import OPEN, STIRRED, Notice, Task
from steepboard.domain.schedule import ReminderKind
from tests.fakes import FakeNotifier, utc
from tests.notification_server import NotificationService

NOTICE = Notice(
    "stir",
    utc("2026-11-25T08:00"),
    "Stir ROSE-01",
    "Rose, night bar",
    ("stir/1/2026-11-25",),
    (Task(ReminderKind.STIR, 1),),
    (STIRRED, OPEN),
)
STRAIN = replace(NOTICE, slot="strain", title="Strain SAGE-01 today", body="Sage", buttons=(OPEN,))


def tell(answers, who, pressed):
    answers.put_nowait((who, pressed))


class FakeDesk:
    """A desk with the service in memory."""

    def __init__(self):
        self.notifier = FakeNotifier()

    def texts(self):
        return [(notice.title, notice.body) for notice in self.notifier.shown]

    def on_screen(self):
        return sorted(notice.title for notice in self.notifier.on_screen.values())

    def loud(self):
        return [notice.loud for notice in self.notifier.shown]

    def press(self, index, identifier):
        self.notifier.press(index, identifier)

    def click(self, index):
        self.notifier.press(index, "open")

    async def lose_service(self):
        self.notifier.broken = "gone"

    async def regain_service(self):
        self.notifier.broken, self.notifier.service = "", "another"

    async def succeed(self):
        self.notifier = self.notifier.successor()


class RealDesk:
    """A desk with a real bus and a real service."""

    def __init__(self):
        self.notifier = DesktopNotifier()

    def texts(self):
        return [(n["title"], html.unescape(n["body"])) for n in self.service.shown]

    def on_screen(self):
        return sorted(n["title"] for n in self.service.on_screen())

    def loud(self):
        return [n["urgency"] == 2 for n in self.service.shown]

    def press(self, index, identifier):
        self.service.press(index, identifier)

    def click(self, index):
        self.service.press(index, "default")  # so the standard calls a click on the words

    async def lose_service(self):
        await self.service.__aexit__()

    async def regain_service(self):
        self.service = await NotificationService().__aenter__()

    async def succeed(self):
        """Go on as another process would."""
        await self.notifier.close()
        self.notifier = DesktopNotifier()


@asynccontextmanager
async def fake_desk():
    yield FakeDesk()


@asynccontextmanager
async def real_desk():
    desk = RealDesk()
    await desk.regain_service()
    yield desk
    await desk.notifier.close()
    await desk.lose_service()
