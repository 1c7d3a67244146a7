"""What was claimed, delivered and put off, so that a reminder goes out once.

Plain SQL, since the reminder service runs for weeks and can do without sqlite-utils in memory.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from steepboard.domain.schedule import ReminderKind
from steepboard.store.rows import instant, stamp

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime
    from sqlite3 import Connection

    from sqlite_utils import Database

    from steepboard.store.connect import Store

_IN = "key in (select value from json_each(?))"
_TAKEN = f"""select key, delivered_at is not null as delivered from delivery
             where {_IN} and (delivered_at is not null or claimed_at between ? and ?)"""
# Morning taken for evening is half a day; a clock set right by less repeats nothing. Assumed.
_CLOCK_WAS_WRONG = timedelta(hours=11)
_LONGEST_SNOOZE = timedelta(days=3)  # "tomorrow" is two at most, three where a zone skips a day


@dataclass(frozen=True, slots=True)
class Delivery:
    """What became of one reminder."""

    key: str
    at: datetime
    reason: str = ""
    """Why it could not be shown; empty where it was."""


def taken(store: Store, keys: Iterable[str], now: datetime, holds: timedelta) -> dict[str, bool]:
    """Return those of `keys` that were delivered (True), or are claimed and may be any moment."""
    bounds = stamp(now - holds), stamp(now + holds)
    return {
        row["key"]: bool(row["delivered"])
        for row in store.rows(_TAKEN, json.dumps(list(keys)), *bounds)
    }


def claim(conn: Connection, keys: Iterable[str], now: datetime, holds: timedelta) -> bool:
    """Claim all of `keys`, or none; inside `Store.transaction()`.

    A claim further than `holds` from now, to either side, belonged to a process that died, perhaps
    before the clock was set back; it is taken over.
    """
    keys = list(keys)
    bounds = stamp(now - holds), stamp(now + holds)
    if conn.execute(_TAKEN, [json.dumps(keys), *bounds]).fetchall():
        return False
    sql = """insert into delivery(key, claimed_at) select value, ? from json_each(?) where true
             on conflict(key) do update set claimed_at = excluded.claimed_at"""
    conn.execute(sql, [stamp(now), json.dumps(keys)])
    return True


def mark_delivered(conn: Connection, keys: Iterable[str], now: datetime) -> None:
    """Say that a notification server has taken these."""
    sql = f"update delivery set delivered_at = ?, failed_at = null, reason = null where {_IN}"
    conn.execute(sql, [stamp(now), json.dumps(list(keys))])


def release(conn: Connection, keys: Iterable[str], now: datetime, reason: str) -> None:
    """Give claims back after a delivery that failed, and keep why; the reminders stay due."""
    sql = f"update delivery set claimed_at = null, failed_at = ?, reason = ? where {_IN}"
    conn.execute(sql, [stamp(now), reason, json.dumps(list(keys))])


def ahead_of_clock(store: Store, now: datetime) -> bool:
    """Say whether anything was delivered or put off by a clock that ran far ahead of `now`."""
    sql = """select 1 from delivery where delivered_at > ?
             union all select 1 from snooze where until > ? limit 1"""
    return bool(store.rows(sql, stamp(now + _CLOCK_WAS_WRONG), stamp(now + _LONGEST_SNOOZE)))


def forget_ahead(conn: Connection, now: datetime) -> None:
    """Forget what such a clock did: when its time really comes it is to be said."""
    conn.execute("delete from delivery where delivered_at > ?", [stamp(now + _CLOCK_WAS_WRONG)])
    conn.execute("delete from snooze where until > ?", [stamp(now + _LONGEST_SNOOZE)])


def last(store: Store, limit: int) -> tuple[Delivery, ...]:
    """Return what was last delivered or could not be, the latest first."""
    sql = """select key, coalesce(failed_at, delivered_at) as at, coalesce(reason, '') as reason
             from delivery where at is not null order by at desc, key limit ?"""
    return tuple(
        Delivery(row["key"], instant(row["at"]), row["reason"]) for row in store.rows(sql, limit)
    )


def snoozes(store: Store) -> dict[tuple[int, ReminderKind], datetime]:
    """Return until when *Later* puts off what; what is long past does no harm."""
    return {
        (row["jar_id"], ReminderKind(row["kind"])): instant(row["until"])
        for row in store.rows("select * from snooze")
    }


def snooze(db: Database, until: Iterable[tuple[int, ReminderKind, datetime]]) -> None:
    """Put reminders off, and forget those of finished jars."""
    db.execute("delete from snooze where jar_id not in (select jar_id from unfinished)")
    rows = [{"jar_id": jar, "kind": kind.value, "until": stamp(at)} for jar, kind, at in until]
    db.table("snooze").upsert_all(rows, pk=("jar_id", "kind"))
