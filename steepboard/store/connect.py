"""Opening the record, reading it, and the one kind of transaction that writes to it."""

from __future__ import annotations

import contextlib
import errno
import os
import sqlite3
import time
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from steepboard.errors import RecordUnusable
from steepboard.store import migrations

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterator

    from sqlite_utils import Database

T = TypeVar("T")
BUSY_SECONDS = 5.0  # how long a writer waits for another; assumed, far above any of our writes

_WHOLE = "begin immediate", "commit", ("rollback",)
_PART = "savepoint part", "release part", ("rollback to part", "release part")


class Store:
    """One connection to the record of a shelf. It belongs to the thread that opened it."""

    def __init__(self, path: Path) -> None:
        """Open the record at `path`, making or migrating it as needed.

        Raises `RecordUnusable` where the file is damaged or may not be written, and `TooNew`.
        """
        self.path = path
        self._remembered: dict[Hashable, tuple[Any, Any]] = {}
        with self._told():
            self.conn = _connect(path)
            if migrations.pending(self.conn):
                migrations.migrate(self.db, path)

    @cached_property
    def db(self) -> Database:
        """The same connection through sqlite-utils, loaded when something is to be written."""
        from sqlite_utils import Database

        return Database(self.conn, execute_plugins=False)

    def rows(self, sql: str, *params: Any) -> list[dict[str, Any]]:
        """Return all rows of a query as dicts; nothing is left open behind it."""
        with self._told():
            cursor = self.conn.execute(sql, params)
            names = [column[0] for column in cursor.description]
            return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]

    def tuples(self, sql: str) -> list[tuple[Any, ...]]:
        """Return all rows of a query as tuples, for the few that read thousands."""
        with self._told():
            return self.conn.execute(sql).fetchall()

    def remembered(self, key: Hashable, make: Callable[[], T], of: object = None) -> T:
        """Return what `make` works out of the record, anew only after the record was written to.

        Where all that it is worked out of is told by `of`, only after that has changed.
        """
        now = (self.version(), self.conn.total_changes) if of is None else of
        if self._remembered.get(key, (None, None))[0] != now:
            self._remembered[key] = now, make()
        found: T = self._remembered[key][1]
        return found

    @contextlib.contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """Read, then write, as one: BEGIN IMMEDIATE, so that no other writer comes between.

        One inside another is a part of it, which can fail alone. Raises `RecordUnusable` where the
        disk is full or another writer does not end; then nothing of it was written.
        """
        begin, keep, undo = _PART if self.conn.in_transaction else _WHOLE
        with self._told():
            self.conn.execute(begin)
            try:
                yield self.conn
                self.conn.execute(keep)
            except BaseException:
                self._remembered.clear()  # it may have been worked out of what is taken back here
                for step in undo if self.conn.in_transaction else ():  # a full disk may end it
                    self.conn.execute(step)
                raise

    @contextlib.contextmanager
    def writing(self) -> Iterator[Database]:
        """Open a `transaction`, to write through sqlite-utils."""
        with self.transaction():
            yield self.db

    def version(self) -> int:
        """Return a number that changes when another connection has committed."""
        return int(self.rows("pragma data_version")[0]["data_version"])

    def hold_little(self) -> None:
        """Hold a quarter of a megabyte of the file in memory, not two: for what runs for weeks."""
        self.conn.execute("pragma cache_size = -256")

    def close(self) -> None:
        """Close the connection."""
        self.conn.close()

    @contextlib.contextmanager
    def _told(self) -> Iterator[None]:
        """Tell a person what the database or the disk refused."""
        try:
            yield
        except (sqlite3.DatabaseError, OSError) as error:
            why = error.strerror if isinstance(error, OSError) else error
            raise RecordUnusable(f"The record {self.path} cannot be used: {why}.") from error


def _connect(path: Path) -> sqlite3.Connection:
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    _keep_private(path)
    conn = sqlite3.connect(path, timeout=BUSY_SECONDS, isolation_level=None)
    conn.execute("pragma foreign_keys = on")
    conn.execute("pragma trusted_schema = off")
    conn.execute("pragma synchronous = full")
    _enable_wal(conn)
    return conn


def _keep_private(path: Path) -> None:
    """Create the file for its owner alone, or close it to others.

    One that exists is never opened here: to close it again would take the locks from every
    connection of this process, and another process would then clear the log away under them
    (SQLite, How To Corrupt An SQLite Database File, 2.2).
    """
    try:
        os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600))
    except FileExistsError:
        if not os.access(path, os.R_OK | os.W_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path)) from None
        if path.stat().st_uid == os.geteuid():
            path.chmod(0o600)  # one that came from elsewhere may have been open to others


def _enable_wal(conn: sqlite3.Connection) -> None:
    """Switch to the write-ahead log, which stays with the file; the switch knows no busy wait."""
    deadline = time.monotonic() + BUSY_SECONDS
    while conn.execute("pragma journal_mode").fetchone() != ("wal",):
        try:
            conn.execute("pragma journal_mode = wal")
        except sqlite3.OperationalError as error:
            busy = error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY
            if not busy or time.monotonic() > deadline:
                raise
            time.sleep(0.05)
