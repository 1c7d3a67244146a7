"""Services that live until they are killed, forked on request over a busy shelf.

A fork takes milliseconds where a fresh Python takes a second. For each line on its standard input,
the seconds by which the clock is ahead, one service is started and its process number printed.
"""

from __future__ import annotations

import asyncio
import os
import signal
import sys
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import apscheduler.schedulers.asyncio
import desktop_notifier
import sqlite_utils

from steepboard.daemon.notify import DesktopNotifier
from steepboard.daemon.run import ReminderLoop
from steepboard.services.reminders import RecordReminders
from steepboard.settings import load
from tests.shelves import desk_at

LOADED = (apscheduler.schedulers.asyncio, desktop_notifier, sqlite_utils)


def busy_desk(home: Path):
    """Return a desk where a stir may be due at any moment of the day, each by itself."""
    house = load()
    times = {"stir_at": time(0), "quiet_from": time(0), "quiet_to": time(0), "group_minutes": 0}
    reminders = replace(house.reminders, **times)
    return desk_at(home, zone=UTC, settings=replace(house, reminders=reminders))


class Naming(DesktopNotifier):
    """Shows the keys of a notice as its title, so that the desktop can tell what it got."""

    async def send(self, notice, on_answer):
        return await super().send(replace(notice, title=" ".join(notice.keys)), on_answer)


def serve(home: Path, ahead: timedelta) -> None:
    reminders = RecordReminders(busy_desk(home))
    loop = ReminderLoop(reminders, Naming(), lambda: datetime.now(UTC) + ahead)
    asyncio.run(loop.run())


def main() -> None:
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody waits for the dead
    for line in sys.stdin:
        if child := os.fork():
            sys.stdout.write(f"{child}\n")
            sys.stdout.flush()
        else:
            serve(Path(sys.argv[1]), timedelta(seconds=float(line)))


if __name__ == "__main__":
    main()
