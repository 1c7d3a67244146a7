"""What a `watch` that is no more left on the screen, and the next one makes of it."""

from __future__ import annotations

import asyncio
import signal
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta

import pytest

from steepboard.store import on_screen
from steepboard.store.connect import Store
from tests.cli.running import done
from tests.cli.test_watching import charge_a_jar_to_be_stirred
from tests.cli.watching import desktop, logged, started, until
from tests.notification_server import NotificationService

YESTERDAY = datetime.now(UTC) - timedelta(days=1)


@asynccontextmanager
async def lived(home, end=signal.SIGKILL):
    """Run a `watch` until the block is over, and then for no longer."""
    async with started(home) as process:
        yield
        process.send_signal(end)
        await process.wait()


async def shows(service, *titles):
    await until(lambda: [one["title"] for one in service.on_screen()] == list(titles))


def make_a_tasting_due(home):
    """Make something due beside the stir, so that a `watch` shows when it is ready."""
    done(home, "remind", "CARA-01", "--taste-from", "1", "--taste-at", "00:00", now=YESTERDAY)


def charge_another(home, name, code):
    done(home, "charge", name, "40g", "300ml", "45%", now=YESTERDAY)
    done(home, "remind", code, "--taste-from", "90", now=YESTERDAY)


@pytest.mark.parametrize("end", [signal.SIGKILL, signal.SIGTERM])
def test_what_a_former_watch_showed_is_answered_withdrawn_and_replaced(tmp_path, monkeypatch, end):
    charge_a_jar_to_be_stirred(tmp_path)

    async def go():
        async with NotificationService() as service:
            async with lived(tmp_path, end):
                await until(lambda: logged(tmp_path, "Sent: Stir CARA-01"))
            make_a_tasting_due(tmp_path)
            async with lived(tmp_path, end):
                await until(lambda: logged(tmp_path, "Sent: Taste CARA-01"))
                service.press(0, "stirred")
                await until(lambda: logged(tmp_path, "Stirred, by the notification: CARA-01."))
                await shows(service, "Taste CARA-01")
            charge_another(tmp_path, "fennel", "FENN-01")
            async with lived(tmp_path, end):
                await until(lambda: logged(tmp_path, "Sent: Stir FENN-01"))
                done(tmp_path, "strain", "CARA-01", now=datetime.now(UTC))
                await shows(service, "Stir FENN-01")
            charge_another(tmp_path, "mint", "MINT-01")
            async with lived(tmp_path, end):
                await shows(service, "Stir 2 jars")
            assert len(service.shown) == 4

    with desktop(tmp_path, monkeypatch):
        asyncio.run(go())


def test_what_stood_with_a_notification_service_that_went_is_forgotten(tmp_path, monkeypatch):
    charge_a_jar_to_be_stirred(tmp_path)

    async def go():
        async with NotificationService(), lived(tmp_path):
            await until(lambda: logged(tmp_path, "Sent: Stir CARA-01"))
        make_a_tasting_due(tmp_path)
        async with NotificationService() as service, lived(tmp_path):
            await until(lambda: logged(tmp_path, "Sent: Taste CARA-01"))
            store = Store(tmp_path / "shelf.db")
            await until(lambda: [one.slot for one in on_screen.every(store).values()] == ["taste"])
            store.close()
            done(tmp_path, "stir", "CARA-01", now=datetime.now(UTC))
            service.press(0, "later")  # it has the number that the stir had
            await service.until(2)
            assert service.shown[1]["title"] == "Put off: CARA-01"
            assert service.closed == [1]

    with desktop(tmp_path, monkeypatch):
        asyncio.run(go())
