"""How long what one side writes takes to reach the other, against the second that is promised.

A stir on the board takes the notification off the screen; a pressed button shows on a board.
`steepboard watch` runs as a process of its own on a real session bus.
"""

from __future__ import annotations

import asyncio
import os
import random
import sys
import tempfile
import time
from collections.abc import AsyncIterator, Iterable
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median

from steepboard.domain.records import Jar, Source
from steepboard.domain.schedule import ReminderKind
from steepboard.services import acts
from steepboard.services.desk import Desk
from steepboard.store import deliveries, jars
from steepboard.tui.app import SteepBoard
from tests.benchmarks.at_once import SETTINGS
from tests.benchmarks.big_record import fill
from tests.notification_server import NotificationService, session_bus
from tests.shelves import desk_at

RUNS, PROMISED_S = 15, 1.0


async def measure(folder: Path) -> tuple[list[float], list[float]]:
    """Return the seconds from a button to the board, and from the board to the notification."""
    desk, chance = desk_at(folder, zone=UTC, source=Source.BOARD), random.Random(1)
    board = SteepBoard(desk, lambda: datetime.now(UTC))
    to_board: list[float] = []
    to_desktop: list[float] = []
    async with NotificationService() as service, board.run_test(), watching(folder):
        await until(lambda: service.shown)  # all that is due at the start, as one
        active = jars.active(desk.store)
        put_off(desk, active, timedelta(days=1))  # so that each notice asks for one jar
        await until(lambda: service.closed)
        for number, jar in enumerate(active):
            before = len(service.shown)
            put_off(desk, [jar], timedelta(seconds=1))
            await until(lambda before=before: len(service.shown) > before)
            await asyncio.sleep(0.5 + chance.random())  # so that no run is in step with a watch
            start = time.perf_counter()
            if number % 2:
                service.press(len(service.shown) - 1, "stirred")
                await until(lambda jar=jar: jar.code in stirred(board))
                to_board.append(time.perf_counter() - start)
            else:
                acts.stir(desk, (jar.code,), datetime.now(UTC))
                await until(lambda: len(service.shown) in service.closed)
                to_desktop.append(time.perf_counter() - start)
    return to_board, to_desktop


@asynccontextmanager
async def watching(folder: Path) -> AsyncIterator[None]:
    """Keep the reminders of a shelf in a process of its own."""
    command = [sys.executable, "-m", "steepboard", "--home", str(folder), "watch"]
    watch = await asyncio.create_subprocess_exec(*command)
    try:
        yield
    finally:
        watch.terminate()
        await watch.wait()


def put_off(desk: Desk, some: Iterable[Jar], by: timedelta) -> None:
    """Put off the stir of some jars."""
    until_then = datetime.now(UTC) + by
    with desk.store.writing() as db:
        deliveries.snooze(db, [(jar.id, ReminderKind.STIR, until_then) for jar in some])


def stirred(board: SteepBoard) -> set[str]:
    """Return the codes of the jars that the board shows as stirred."""
    return {row.jar.code for row in board.view.rows if row.jar.stirred_at}


async def until(what) -> None:
    """Wait until something is so, closely enough for what is measured."""
    async with asyncio.timeout(20):
        while not what():
            await asyncio.sleep(0.002)


def main() -> None:
    """Print the median and the longest of both, and their ratios to what is promised."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        fill(folder, datetime.now(UTC), active=2 * RUNS)
        (folder / "settings.toml").write_text(SETTINGS)
        with session_bus(folder) as address:
            os.environ["DBUS_SESSION_BUS_ADDRESS"] = address
            to_board, to_desktop = asyncio.run(measure(folder))
    for name, taken in (("button to board", to_board), ("board to desktop", to_desktop)):
        sys.stdout.write(
            f"{name}: {1000 * median(taken):.0f} ms, at most {1000 * max(taken):.0f} ms: "
            f"{max(taken) / PROMISED_S:.2f} × the second that is promised\n"
        )


if __name__ == "__main__":
    main()
