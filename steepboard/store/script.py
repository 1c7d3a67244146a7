"""Scripts of SQL inside a transaction that is open already."""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlite_utils import Database


def run(db: Database, script: str) -> None:
    """Execute the statements of a script, each of which ends with its line.

    `Database.executescript` asks after every character whether a statement is complete: a tenth of
    a second for a new record. `sqlite3`'s own commits first. Raises `ValueError` for an open end.
    """
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            db.execute(statement)
            statement = ""
    if statement.strip():
        raise ValueError(f"This statement has no end: {statement.strip()[:80]}")
