"""One keeper of reminders for each shelf, by a lock that dies with its process."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from steepboard.errors import AlreadyRunning

if sys.platform != "win32":
    import fcntl


@contextmanager
def reminder_lock(path: Path) -> Iterator[None]:
    """Hold the reminder lock while the block runs; AlreadyRunning names the holder otherwise.

    The file is never deleted: two processes could then each lock a file of that name. Windows has
    no such lock, so there only the claims in the record keep a notice from being sent twice.
    """
    if sys.platform == "win32":
        yield
        return
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    lock = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            holder = os.pread(lock, 100, 0).decode("ascii", "replace").strip()
            raise AlreadyRunning(holder or "unknown") from None
        os.ftruncate(lock, 0)
        os.pwrite(lock, f"{os.getpid()}\n".encode(), 0)  # for people only, never relied on
        yield
    finally:
        os.close(lock)
