"""A service killed again and again in the midst of its work, on a real bus and a real record."""

from __future__ import annotations

import asyncio
import os
import random
import signal
import sys
from collections import Counter
from datetime import UTC, datetime, timedelta

import pytest

from steepboard.domain.schedule import ReminderKind
from steepboard.services import acts
from steepboard.services.reminders import RecordReminders
from steepboard.store import deliveries
from tests.daemon.short_lived import busy_desk
from tests.notification_server import NotificationService
from tests.shelves import order

KILLS, JARS = 200, 400
APART = timedelta(milliseconds=40)
LIVES_S = (0.04, 0.36)  # from before the first look to some notices later, on most machines


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
    started = datetime.now(UTC)
    noon = started.replace(hour=12, minute=0, second=0, microsecond=0)  # far from any midnight
    ahead = noon - started
    jars = fill(tmp_path, noon)
    after = RecordReminders(busy_desk(tmp_path))

    async def go():
        async with NotificationService() as service:
            forks = await asyncio.create_subprocess_exec(
                *(sys.executable, "-m", "tests.daemon.short_lived", str(tmp_path)),
                stdin=asyncio.subprocess.PIPE,
                stdout=asyncio.subprocess.PIPE,
            )

            async def start(ahead):
                forks.stdin.write(f"{ahead.total_seconds()}\n".encode())
                return int(await forks.stdout.readline())

            for _ in range(KILLS):
                victim = await start(ahead)
                await asyncio.sleep(chance.uniform(*LIVES_S))  # the moment is what is tried
                os.kill(victim, signal.SIGKILL)
            said_by_victims = len(service.shown)
            later = ahead + timedelta(hours=1)  # by then every claim of the dead is stale
            last = await start(later)
            async with asyncio.timeout(30):
                # Asked for two minutes on, when no claim hides what was not delivered.
                while after.due(datetime.now(UTC) + later + timedelta(minutes=2)):
                    await asyncio.sleep(0.05)
            os.kill(last, signal.SIGKILL)
            forks.stdin.close()
            await forks.wait()
            assert said_by_victims > 20  # of some 150: the victims worked before they died
            return Counter(key for shown in service.shown for key in shown["title"].split())

    shown = asyncio.run(go())
    wanted = {f"stir/{jar.id}/{noon.date()}" for jar in jars}
    put_off = {key.rpartition("/")[0] for key in shown if key.count("/") == 3}
    assert put_off >= wanted
    assert set(shown.values()) <= {1, 2}
    assert sum(count - 1 for count in shown.values()) <= KILLS
