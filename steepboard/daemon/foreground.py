"""Keeping the reminders until a signal asks to end, whatever they are waiting for."""

from __future__ import annotations

import asyncio
import signal
import sys
import threading
from collections.abc import Callable, Coroutine, Iterator
from contextlib import contextmanager, suppress
from queue import Empty, SimpleQueue
from typing import TYPE_CHECKING, Any

from steepboard.errors import SteepboardError

if TYPE_CHECKING:
    from steepboard.daemon.run import ReminderLoop

# Two seconds are promised from the signal to the end; the rest is for Python to leave. Assumed.
_LAST_S = 1.5
# On Windows a wait without an end hears no Ctrl+C; never run there.
_LISTEN_EVERY_S = 0.5 if sys.platform == "win32" else None


def until_signal(work: Callable[[], Coroutine[Any, Any, None]]) -> bool:
    """Run `work` until it ends by itself or SIGTERM or SIGINT cancels it; raise what it raises.

    A refusal that comes after the signal is of no interest any more, and not raised. The work runs
    in a thread of its own, since a record that another program keeps locked holds it up for
    seconds. False says that it did not end in time: then the process must be left without it,
    which record and locks are made for.
    """
    heard: SimpleQueue[bool] = SimpleQueue()  # a signal handler may put into this kind
    faults: list[BaseException] = []
    loop = asyncio.new_event_loop()
    task = loop.create_task(work())

    async def outcome() -> None:
        await task

    def run() -> None:
        try:
            with asyncio.Runner(loop_factory=lambda: loop) as runner:
                runner.run(outcome())
        except asyncio.CancelledError:
            pass
        except BaseException as fault:
            faults.append(fault)
        finally:
            heard.put(False)

    thread = threading.Thread(target=run, daemon=True)
    with _signals(lambda: heard.put(True)):
        thread.start()
        asked = _wait(heard)
        with suppress(RuntimeError):  # the loop is closed: it ended by itself
            loop.call_soon_threadsafe(task.cancel)
        thread.join(_LAST_S)
    for fault in faults:
        if not (asked and isinstance(fault, SteepboardError)):
            raise fault
    return not thread.is_alive()


async def until_cancelled(reminder_loop: ReminderLoop) -> None:
    """Keep the reminders until cancelled; a notice on its way may still arrive."""
    running = asyncio.create_task(reminder_loop.run())
    try:
        await asyncio.shield(running)
    except asyncio.CancelledError:
        reminder_loop.stop()
        await running
        raise


@contextmanager
def _signals(heard: Callable[[], None]) -> Iterator[None]:
    asked = (signal.SIGTERM, signal.SIGINT)
    before = [signal.signal(number, lambda *_: heard()) for number in asked]
    try:
        yield
    finally:
        for number, handler in zip(asked, before, strict=True):
            signal.signal(number, handler)


def _wait(heard: SimpleQueue[bool]) -> bool:
    """Say, once one of the two has come, whether it was a signal."""
    while True:
        with suppress(Empty):
            return heard.get(timeout=_LISTEN_EVERY_S)
