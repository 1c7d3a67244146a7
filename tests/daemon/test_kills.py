"""A service killed again and again in the midst of its work, on a real bus and a real record."""

from __future__ import annotations

import asyncio
import os
import random
import signal
import sys
import time
from datetime import UTC, datetime, timedelta

import pytest

from steepboard.domain.schedule import ReminderKind
from steepboard.services import acts
from steepboard.services.reminders import RecordReminders
from steepboard.store import deliveries
from tests.daemon.short_lived import busy_desk
from tests.notification_server import NotificationService
from tests.shelves import order

KILLS, SPARED = 200, 5
"""Every fifth lives until its notice came; how long that took times the four after it."""
ANEW, APART = 2, timedelta(milliseconds=500)
JARS = ANEW * KILLS + 40  # so many are due anew for each, and some for the last that lives on
LIVES = (0.1, 2.0)  # times as long as a notice takes: from before the first look to after it


def fill(folder, now):
    """Charge jars to be stirred at moments of their own, close after one another; return them."""
    desk = busy_desk(folder)
    jars = [acts.charge(desk, order(), now - timedelta(days=2)) for _ in range(JARS)]
    with desk.store.writing() as db:
        moments = ((jar.id, ReminderKind.STIR, now + n * APART) for n, jar in enumerate(jars))
        deliveries.snooze(db, moments)
    desk.store.close()
    return jars


@pytest.mark.usefixtures("bus")
def test_two_hundred_kills_lose_no_claim_and_repeat_a_notice_at_most_once_each(tmp_path):
    chance = random.Random(4)
    # Far from any midnight; the clock of each victim begins where two jars more are due.
    noon = datetime.now(UTC).replace(hour=12, minute=0, second=0, microsecond=0)
    jars = fill(tmp_path, noon)
    after = RecordReminders(busy_desk(tmp_path))

    async def go():
        async with NotificationService() as service:
            forks = await asyncio.create_subprocess_exec(
                *(sys.executable, "-m", "tests.daemon.short_lived", str(tmp_path)),
                stdin=asyncio.subprocess.PIPE,
                stdout=asyncio.subprocess.PIPE,
            )

            async def start(at):
                forks.stdin.write(f"{(at - datetime.now(UTC)).total_seconds()}\n".encode())
                return int(await forks.stdout.readline())

            async def until_it_says(more_than):
                began = time.monotonic()
                async with asyncio.timeout(60):
                    while len(service.shown) == more_than:
                        await asyncio.sleep(0.005)
                return time.monotonic() - began

            for n in range(KILLS):
                before, victim = len(service.shown), await start(noon + n * ANEW * APART)
                if n % SPARED == 0:
                    takes_s = await until_it_says(before)
                else:  # the moment is what is tried
                    await asyncio.sleep(takes_s * chance.uniform(*LIVES))
                os.kill(victim, signal.SIGKILL)
            said_by_victims = len(service.shown)
            later = noon + timedelta(hours=1)  # by then every claim of the dead is stale
            last = await start(later)
            async with asyncio.timeout(30):
                # Asked for minutes on, when no claim hides what was not delivered.
                while after.due(later + timedelta(minutes=5)):
                    await asyncio.sleep(0.05)
            os.kill(last, signal.SIGKILL)
            forks.stdin.close()
            await forks.wait()
            # Some of those killed at any moment had said something, too: of 160 about half do.
            assert said_by_victims > KILLS // SPARED
            return [shown["title"].split() for shown in service.shown]

    notices = asyncio.run(go())
    shown = {key for keys in notices for key in keys}
    wanted = {f"stir/{jar.id}/{noon.date()}" for jar in jars}
    put_off = {key.rpartition("/")[0] for key in shown if key.count("/") == 3}
    assert put_off >= wanted
    assert repeats(notices) <= KILLS


def repeats(notices):
    """Return how many notices say again what was said before."""
    told, again = set(), 0
    for keys in notices:
        again += not told.isdisjoint(keys)
        told.update(keys)
    return again
