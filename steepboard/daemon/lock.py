"""Who keeps the reminders of a shelf, and which board is open, by locks that die with a process.

The one who runs the loop holds the reminder lock. `watch` also holds the service lock, all its
life: a board that sees it held lets the reminder lock go. The first open board holds the board
lock, so that a button can find it.
"""

from __future__ import annotations

import asyncio
import math
import os
import sys
from collections.abc import AsyncIterator, Iterator
from contextlib import ExitStack, asynccontextmanager, contextmanager
from pathlib import Path

from steepboard.errors import AlreadyRunning

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_TRY_EVERY_S = 0.1  # assumed: no person waits for it, and it costs next to nothing
_BEHIND_THE_PID = 1024  # a byte that Windows may lock while others read the holder


@contextmanager
def held_lock(path: Path) -> Iterator[None]:
    """Hold a lock while the block runs; AlreadyRunning names the holder otherwise.

    The file says who holds it, for people only. It is never deleted: two processes could then each
    lock a file of that name. The part for Windows was never run.
    """
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    lock = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_CLOEXEC", 0), 0o600)
    try:
        if not _taken(lock):
            raise AlreadyRunning(_written(lock))
        os.ftruncate(lock, 0)
        os.lseek(lock, 0, os.SEEK_SET)
        os.write(lock, f"{os.getpid()}\n".encode())
        yield
    finally:
        os.close(lock)


@asynccontextmanager
async def lock_when_free(path: Path, patience_s: float = math.inf) -> AsyncIterator[None]:
    """Hold a lock as soon as it is free; AlreadyRunning after so many seconds of trying."""
    clock = asyncio.get_running_loop().time
    give_up_at = clock() + patience_s
    with ExitStack() as held:
        while True:
            try:
                held.enter_context(held_lock(path))
                break
            except AlreadyRunning:
                if clock() >= give_up_at:
                    raise
            await asyncio.sleep(_TRY_EVERY_S)
        yield


def holder(path: Path) -> str | None:
    """Return the process that holds a lock, as it wrote itself down; None where it is free.

    To ask is to take the lock for an instant, shared with others who ask: whoever wants to hold it
    has to try more than once.
    """
    try:
        lock = os.open(path, os.O_RDONLY | getattr(os, "O_CLOEXEC", 0))
    except FileNotFoundError:
        return None
    try:
        return None if _taken(lock, shared=True) else _written(lock)
    finally:
        os.close(lock)


def _taken(lock: int, *, shared: bool = False) -> bool:
    """Say whether an open file could be locked; closing it lets it go."""
    try:
        if sys.platform == "win32":
            os.lseek(lock, _BEHIND_THE_PID, os.SEEK_SET)
            msvcrt.locking(lock, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(lock, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):  # the second is how Windows says it
        return False
    return True


def _written(lock: int) -> str:
    os.lseek(lock, 0, os.SEEK_SET)
    return os.read(lock, 100).decode("ascii", "replace").strip() or "unknown"
