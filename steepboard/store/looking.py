"""Looking at a record that may be in any condition; nothing is made, migrated or mended."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from steepboard.store import migrations
from steepboard.store.connect import Store

_PATIENCE_S = 1.0  # assumed: far longer than any write of ours, short enough for who waits
_LOCKS = Path("/proc/locks")  # Linux alone has it


class Looker(Store):
    """A connection that only reads."""

    def __init__(self, path: Path) -> None:
        """Open a record that is there; raises RecordUnusable."""
        self.path = path
        with self._told():
            self.conn = _open(path)


def behind(store: Store) -> bool:
    """Say whether the record lacks a step of the schema; raises TooNew, RecordUnusable."""
    with store._told():
        return migrations.pending(store.conn)


def damage(store: Store) -> str:
    """Return the first damage that SQLite finds, or what points nowhere; empty where all is sound.

    Raises RecordUnusable where it cannot even look.
    """
    (first,) = (str(value) for value in store.rows("pragma quick_check(1)")[0].values())
    if first != "ok":
        return first.splitlines()[-1]
    for row in store.rows("pragma foreign_key_check"):
        return f"a row of {row['table']} belongs to a row of {row['parent']} that is missing"
    return ""


def try_to_write(path: Path) -> None:
    """Begin to write and leave it at that; raises sqlite3.Error where nothing can be written."""
    with closing(_connected(path, "mode=rw")) as conn:
        conn.execute("begin immediate")
        conn.execute("rollback")


def locked_by(path: Path) -> str | None:
    """Return the process that keeps others from the record; None where the system does not say."""
    files = [file for file in (path, path.with_name(f"{path.name}-shm")) if file.exists()]
    inodes = {str(file.stat().st_ino) for file in files}
    for line in _LOCKS.read_text(encoding="ascii").splitlines() if _LOCKS.exists() else ():
        # As in `1: POSIX  ADVISORY  WRITE 4321 fe:00:2352061 120 120`, measured here.
        words = line.split()
        if words[3] == "WRITE" and words[5].rpartition(":")[2] in inodes:
            return words[4]
    return None


def _open(path: Path) -> sqlite3.Connection:
    """Open for reading; in a folder that takes no files, which such a record asks for, without."""
    conn = _connected(path, "mode=ro")
    try:
        conn.execute("select 1 from sqlite_master").fetchall()
    except sqlite3.OperationalError as fault:
        conn.close()
        if os.access(path.parent, os.W_OK) or fault.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY:
            raise
        return _connected(path, "mode=ro&immutable=1")
    except BaseException:
        conn.close()
        raise
    return conn


def _connected(path: Path, mode: str) -> sqlite3.Connection:
    return sqlite3.connect(
        f"{path.as_uri()}?{mode}", timeout=_PATIENCE_S, isolation_level=None, uri=True
    )
