"""Bringing a record up to date: which steps it lacks, a copy from before, all in one transaction.

`sqlite_utils` is loaded only where there is something to migrate, so that a quick look at the
record stays quick.
"""

from __future__ import annotations

import contextlib
import itertools
import os
import sqlite3
from typing import TYPE_CHECKING

from steepboard.errors import TooNew
from steepboard.store.steps import STEPS

if TYPE_CHECKING:
    from pathlib import Path

    from sqlite_utils import Database


def applied(conn: sqlite3.Connection) -> set[str]:
    """Return the names of the steps this record has been through."""
    known = "select 1 from sqlite_master where name = '_sqlite_migrations'"
    if not conn.execute(known).fetchall():
        return set()
    sql = "select name from _sqlite_migrations where migration_set = 'steepboard'"
    return {name for (name,) in conn.execute(sql).fetchall()}


def pending(conn: sqlite3.Connection) -> bool:
    """Tell whether the record lacks a step; raises `TooNew` if it has one we do not know."""
    done, known = applied(conn), {step.__name__ for step in STEPS}
    if done - known:
        raise TooNew(
            "This record was written by a newer Steepboard: "
            f"it has {', '.join(sorted(done - known))}. Use that version to open it."
        )
    return done != known


def migrate(db: Database, path: Path) -> None:
    """Bring the record up to date in one transaction, after copying a record that has rows."""
    from sqlite_utils import Migrations

    migrations = Migrations("steepboard")
    for step in STEPS:
        migrations()(step)
    db.execute("pragma foreign_keys = off")  # a step may rebuild a table that others point at
    try:
        db.execute("begin immediate")  # a second process waits here, then finds nothing to do
        try:
            if (done := applied(db.conn)) and pending(db.conn):
                _copy(path, len(done))
            migrations.apply(db)
            if broken := db.execute("pragma foreign_key_check").fetchall():
                raise sqlite3.IntegrityError(f"foreign keys broken: {broken[:3]}")
            db.commit()
        except BaseException:
            db.rollback()
            raise
    finally:
        db.execute("pragma foreign_keys = on")


def _copy(path: Path, steps: int) -> None:
    """Copy the record as it stands beside itself; a copy from before is never written over."""
    stem = f"{path.name}.before-step-{steps + 1}"
    tries = (f"{stem}.{n}" if n else stem for n in itertools.count())
    copy = next(path.with_name(name) for name in tries if not path.with_name(name).exists())
    os.close(os.open(copy, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600))
    # A reader of its own, since a connection that holds the write lock cannot copy itself.
    with (
        contextlib.closing(sqlite3.connect(path)) as source,
        contextlib.closing(sqlite3.connect(copy)) as target,
    ):
        source.backup(target)
