"""What was claimed and what was delivered, so that a reminder goes out once."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from steepboard.store.rows import stamp

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime, timedelta

    from sqlite_utils import Database

    from steepboard.store.connect import Store

_IN = "key in (select value from json_each(?))"


def delivered(store: Store, keys: Iterable[str]) -> set[str]:
    """Return those of `keys` that a notification server has taken."""
    sql = f"select key from delivery where delivered_at is not null and {_IN}"
    return {row["key"] for row in store.rows(sql, json.dumps(list(keys)))}


def claim(db: Database, keys: Iterable[str], now: datetime, holds: timedelta) -> bool:
    """Claim all of `keys`, or none; inside `Store.writing()`.

    A claim further than `holds` from now, to either side, belonged to a process that died, perhaps
    before the clock was set back; it is taken over.
    """
    keys = list(keys)
    taken = db.execute(
        f"""select 1 from delivery
            where {_IN} and (delivered_at is not null or claimed_at between ? and ?)""",
        [json.dumps(keys), stamp(now - holds), stamp(now + holds)],
    ).fetchall()
    if taken:
        return False
    rows = [{"key": key, "claimed_at": stamp(now)} for key in keys]
    db.table("delivery").upsert_all(rows, pk="key")
    return True


def mark_delivered(db: Database, keys: Iterable[str], now: datetime) -> None:
    """Say that a notification server has taken these."""
    sql = f"update delivery set delivered_at = ? where {_IN}"
    db.execute(sql, [stamp(now), json.dumps(list(keys))])


def release(db: Database, keys: Iterable[str]) -> None:
    """Give claims back after a delivery that failed; the reminders stay due."""
    sql = f"update delivery set claimed_at = null where {_IN}"
    db.execute(sql, [json.dumps(list(keys))])
