"""`steepboard watch` in a process of its own, and waiting for what it does."""

from __future__ import annotations

import asyncio
import signal
import subprocess
import sys
from contextlib import asynccontextmanager, contextmanager
from pathlib import Path

from steepboard.daemon.lock import holder
from tests.notification_server import NotificationService, session_bus

ENDS_WITHIN_S = 4.0  # two seconds are promised; a busy test machine gets as much again
LONG_S = 30.0  # whatever takes longer has failed


def words(home, *rest):
    """Return the command line of `watch` over the shelf in `home`."""
    return [sys.executable, "-u", "-m", "steepboard", "--home", str(home), "watch", *rest]


@contextmanager
def watching(home, *rest):
    """Run `watch` from the moment when it keeps the reminders."""
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    with subprocess.Popen(words(home, *rest), **pipes) as process:
        try:
            asyncio.run(until(lambda: logged(home, "are kept here")))
            yield process
        finally:
            process.kill()


def ended(process, asked=signal.SIGTERM):
    """Ask a process to end and return its exit code and what it had said."""
    process.send_signal(asked)
    out, err = process.communicate(timeout=ENDS_WITHIN_S)
    return process.returncode, out, err


def logged(home, text):
    """Say whether a text stands in the log."""
    log = Path(home, "reminders.log")
    return log.is_file() and text in log.read_text(encoding="utf-8")


def keeps(home, process):
    """Say whether a process holds both locks."""
    locks = (Path(home, name) for name in ("service.lock", "reminders.lock"))
    return all(holder(lock) == str(process.pid) for lock in locks)


async def until(what):
    """Wait until `what()` is true; what does not come true in time has failed."""
    async with asyncio.timeout(LONG_S):
        while not what():
            await asyncio.sleep(0.02)


@asynccontextmanager
async def started(home, *rest):
    """Run `watch` beside what else the test's own loop does."""
    pipe = asyncio.subprocess.PIPE
    process = await asyncio.create_subprocess_exec(*words(home, *rest), stdout=pipe, stderr=pipe)
    try:
        yield process
    finally:
        if process.returncode is None:
            process.kill()
            await process.wait()


async def terminated(process):
    """Ask a process to end and return its exit code and what it had said."""
    process.terminate()
    out, err = await asyncio.wait_for(process.communicate(), ENDS_WITHIN_S)
    return process.returncode, out.decode(), err.decode()


@contextmanager
def desktop(home, monkeypatch):
    """Give the processes of a test a session bus of their own, with no service on it yet."""
    with session_bus(home) as address:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        yield NotificationService
