"""From the due moment to the Notify call on a real session bus, against a bare asyncio timer.

`steepboard watch` runs as a process of its own over 1,000 jars; 500 of them were put off to
moments a tenth of a second apart, since *Later* alone gives moments finer than a minute.
"""

from __future__ import annotations

import asyncio
import os
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import quantiles

from steepboard.domain.schedule import ReminderKind
from steepboard.store import deliveries, jars
from tests.benchmarks.at_once import SETTINGS
from tests.benchmarks.big_record import fill
from tests.notification_server import NotificationService, session_bus
from tests.shelves import desk_at

JARS, MOMENTS, APART_S = 1000, 500, 0.1
START_S = 6.0  # for the process to start and to say what else is due


class Arrivals(list):
    """Notifications, each with the moment it arrived."""

    def append(self, notification: dict) -> None:
        """Keep one that arrived now."""
        super().append(notification | {"at": time.time()})


async def measure(folder: Path) -> tuple[list[float], list[float]]:
    """Return the lags of the service and of bare timers, in ms."""
    desk = desk_at(folder)
    first = datetime.now(UTC) + timedelta(seconds=START_S)
    chosen = jars.active(desk.store)[:MOMENTS]
    moments = {jar: first + n * timedelta(seconds=APART_S) for n, jar in enumerate(chosen)}
    with desk.store.writing() as db:
        stirs = ((jar.id, ReminderKind.STIR, at) for jar, at in moments.items())
        deliveries.snooze(db, stirs)
    desk.store.close()
    timers: list[float] = []
    running = asyncio.get_running_loop()
    async with NotificationService() as service:
        service.shown = Arrivals()
        command = [sys.executable, "-m", "steepboard", "--home", str(folder), "watch"]
        watch = await asyncio.create_subprocess_exec(*command)
        for at in moments.values():
            due = at.timestamp()
            running.call_later(due - time.time(), lambda due=due: timers.append(time.time() - due))
        await asyncio.sleep(START_S + MOMENTS * APART_S + 3)
        watch.terminate()
        await watch.wait()
        told = [(jars_named(one["title"]), one["at"]) for one in service.shown]
        others = JARS - MOMENTS  # due at the start, and named again each time
        lags = [
            next(there for named, there in told if named > others + n) - at.timestamp()
            for n, at in enumerate(moments.values())
        ]
    return [1000 * lag for lag in lags], [1000 * lag for lag in timers]


def jars_named(title: str) -> int:
    """Return how many jars a title says are to be stirred."""
    words = title.split()
    return int(words[1]) if words[0] == "Stir" and words[1].isdigit() else 0


def main() -> None:
    """Print p50 and p99 of both, and their ratios."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        fill(folder, datetime.now(UTC), active=JARS)
        (folder / "settings.toml").write_text(SETTINGS)
        with session_bus(folder) as address:
            os.environ["DBUS_SESSION_BUS_ADDRESS"] = address
            lags, timers = asyncio.run(measure(folder))
    for name, part in (("p50", 49), ("p99", 98)):
        ours, floor = quantiles(lags, n=100)[part], quantiles(timers, n=100)[part]
        sys.stdout.write(
            f"{name}: {ours:6.2f} ms from due to Notify, {ours / floor:.1f} × a bare timer "
            f"({floor:.2f} ms); {len(lags)} moments, {JARS:,} jars\n"
        )


if __name__ == "__main__":
    main()
