"""What holds for the whole shelf: its own name in the world, and the days away."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from steepboard.domain.quiet import Away

if TYPE_CHECKING:
    from sqlite_utils import Database

    from steepboard.store.connect import Store


def identity(store: Store) -> str:
    """Return 32 hexadecimal digits that no other shelf has."""
    return str(store.rows("select id from shelf")[0]["id"])


def away(store: Store) -> Away | None:
    """Return the days away, past ones too, or None where none were ever given."""
    for row in store.rows("select first_day, last_day from away"):
        return Away(date.fromisoformat(row["first_day"]), date.fromisoformat(row["last_day"]))
    return None


def set_away(db: Database, away: Away | None) -> None:
    """Keep the days away, in place of any before; inside `Store.writing()`."""
    db.execute("delete from away")
    if away:
        row = {"first_day": away.first.isoformat(), "last_day": away.last.isoformat()}
        db.table("away").insert({"id": 1, **row})
