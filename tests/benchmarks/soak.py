"""`steepboard watch` under load, for as long as is asked: `python -m tests.benchmarks.soak 30`.

1,000 jars, a moment put off to every second, and every second somebody stirs, undoes, puts off,
charges, strains or moves; now and then the notification service takes nothing for a while, and the
service itself is killed. A finding is a reminder that was lost, more repeats than kills, an end
that is no clean one, or memory and open files that grow.
"""

from __future__ import annotations

import asyncio
import os
import random
import sys
import tempfile
from collections import Counter
from contextlib import AsyncExitStack
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from steepboard.domain.schedule import ReminderKind
from steepboard.errors import SteepboardError
from steepboard.services import acts, reminder_acts
from steepboard.store import deliveries, jars
from steepboard.store.connect import Store
from tests.benchmarks.at_once import SETTINGS
from tests.benchmarks.big_record import fill
from tests.benchmarks.idle import resident_mb
from tests.notification_server import NotificationService, session_bus
from tests.shelves import desk_at, mute, order

JARS = 1000
# How often what befalls the service, in seconds; assumed, to happen several times in half an hour.
KILL_EVERY, SERVICE_GOES_EVERY = 170, 230


class Arrivals(list):
    """Notifications, each with the keys that were claimed for it: its claim is the latest open."""

    def __init__(self, store: Store) -> None:
        super().__init__()
        self._store = store

    def append(self, notification: dict) -> None:
        """Keep one that arrived now, before its keys can be marked as delivered."""
        sql = """select key from delivery where delivered_at is null and claimed_at =
                 (select max(claimed_at) from delivery where delivered_at is null)"""
        keys = {row["key"] for row in self._store.rows(sql)}
        super().append(notification | {"keys": keys})

    def repeats(self) -> int:
        """Return how many told something that another one had told before."""
        seen: set[str] = set()
        count = 0
        for one in self:
            count += not seen.isdisjoint(one["keys"])
            seen |= one["keys"]
        return count


class Soak:
    """One run: the shelf, the service as a process, and what was seen."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.chance = folder, random.Random(1)
        self.desk = desk_at(folder)
        self.expected: list[str] = []
        """The key of each reminder that was put off; nothing else happens to its jar."""
        self.kills = 0
        self.faults: Counter[str] = Counter()

    async def start(self) -> asyncio.subprocess.Process:
        """Start the service."""
        command = [sys.executable, "-m", "steepboard", "--home", str(self.folder), "watch"]
        return await asyncio.create_subprocess_exec(*command)

    def put_off_next(self, active: list, number: int) -> None:
        """Let the stir of a jar become due in a few seconds."""
        jar = active[number % len(active)]
        at = datetime.now(UTC) + timedelta(seconds=5)
        with self.desk.store.writing() as db:
            deliveries.snooze(db, ((jar.id, ReminderKind.STIR, at),))
        self.expected.append(f"stir/{jar.id}/{at.date()}/{at.isoformat()}")

    def act(self, others: list) -> None:
        """Do something that people do, to a jar that is not waited for."""
        jar = self.chance.choice(others)
        now = datetime.now(UTC)
        day = date.today() + timedelta(days=self.chance.randint(1, 9))  # noqa: DTZ011
        later = reminder_acts.Later.TOMORROW
        what = self.chance.choice(
            [
                lambda: acts.stir(self.desk, (jar.code,), now),
                lambda: acts.undo(self.desk, jar.code, now),
                lambda: acts.taste(self.desk, jar.code, "round", now),
                lambda: acts.move(self.desk, jar.code, day, "try", now),
                lambda: acts.strain(self.desk, jar.code, (), now),
                lambda: acts.charge(self.desk, order(), now),
                lambda: mute(self.desk, jar.code, day, now),
                lambda: reminder_acts.later(self.desk, jar.code, later, now),
            ]
        )
        try:
            what()
        except SteepboardError as refusal:  # the act does not fit the jar as it is by now
            self.faults[type(refusal).__name__] += 1


async def run(folder: Path, minutes: float) -> list[str]:
    """Return the findings."""
    soak = Soak(folder)
    found = list(jars.active(soak.desk.store))
    waited_for, others = found[: JARS // 2], found[JARS // 2 :]
    clock = asyncio.get_running_loop().time
    ends = clock() + 60 * minutes
    shown = Arrivals(soak.desk.store)
    async with AsyncExitStack() as stack:
        service = await stack.enter_async_context(NotificationService())
        service.shown = shown
        watch = await soak.start()
        await asyncio.sleep(8)
        memory, number = resident_mb(watch.pid), 0
        while clock() < ends:
            number += 1
            soak.put_off_next(waited_for, number)
            soak.act(others)
            if number % KILL_EVERY == 0:
                watch.kill()
                await watch.wait()
                soak.kills += 1
                watch = await soak.start()
            if number % SERVICE_GOES_EVERY == 0:
                service.refuses = True
                await asyncio.sleep(12)
                service.refuses = False
            await asyncio.sleep(1)
        await asyncio.sleep(70)  # past every claim of the killed and every wait after a failure
        grown = resident_mb(watch.pid) - memory
        files = len(os.listdir(f"/proc/{watch.pid}/fd"))  # noqa: PTH208
        watch.terminate()
        code = await watch.wait()
    return findings(soak, shown, grown, files, code)


def findings(soak: Soak, shown: Arrivals, grown: float, files: int, code: int) -> list[str]:
    """Return what should not be, in plain lines."""
    told = {key for one in shown for key in one["keys"]}
    known = deliveries.taken(soak.desk.store, soak.expected, datetime.now(UTC), timedelta(0))
    lost = [key for key in soak.expected if not (known.get(key) and key in told)]
    repeats = shown.repeats()
    sys.stdout.write(
        f"{len(shown)} notifications, {len(soak.expected)} put off, {soak.kills} kills, "
        f"{repeats} repeats, "
        f"memory {grown:+.1f} MB, {files} open files, ended with {code}\n"
        f"refused acts: {dict(soak.faults)}\n"
    )
    out = [f"lost: {key}" for key in lost]
    if repeats > soak.kills:
        out.append(f"{repeats} repeats after {soak.kills} kills")
    if grown > 10:  # MB; assumed
        out.append(f"memory grew by {grown:.1f} MB")
    if files > 40:  # assumed
        out.append(f"{files} open files")
    if code != 0:
        out.append(f"ended with {code}")
    return out


def main() -> None:
    """Print what was seen, then each finding; exit 1 where there is one."""
    minutes = float(sys.argv[1]) if len(sys.argv) > 1 else 30.0
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        fill(folder, datetime.now(UTC), active=JARS)
        (folder / "settings.toml").write_text(SETTINGS + "look_every_seconds = 5\n")
        with session_bus(folder) as address:
            os.environ["DBUS_SESSION_BUS_ADDRESS"] = address
            found = asyncio.run(run(folder, minutes))
    for line in found or ["no finding"]:
        sys.stdout.write(line + "\n")
    sys.exit(bool(found))


if __name__ == "__main__":
    main()
