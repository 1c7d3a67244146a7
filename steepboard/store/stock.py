"""What is used of each kind of bottle, and the lists of drinks that were drawn by."""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING

from steepboard.store.rows import instant, stamp

if TYPE_CHECKING:
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.store.connect import Store

# What is poured from one bottle into another of its name stays there.
_USED = """select bottle.name, live.at, live.volume_ml from bottle_live live
    join bottle on bottle.id = live.bottle_id
    where live.kind = 'draw' and live.at >= ? and not (live.purpose = 'blend' and exists(
        select 1 from bottle_entry other join bottle into_ on into_.id = other.bottle_id
        where other.act = live.act and other.kind in ('fill', 'top up')
            and into_.name = bottle.name))"""
_LAST_DRAWN = """select * from sold where {column} = ? and exists(
    select 1 from bottle_live where bottle_live.act = sold.act) order by act desc limit 1"""
_NOTHING = sha256(b"").hexdigest()


def last_entry(store: Store) -> int:
    """Return the id of the last entry of the bottles' diaries, 0 for none."""
    sql = "select coalesce(max(id), 0) as id from bottle_entry"
    return int(store.rows(sql)[0]["id"])


def used(store: Store, since: datetime) -> list[tuple[str, datetime, float]]:
    """Return of each draw that counts what it was drawn from, when, and its mL."""
    found = store.rows(_USED, stamp(since))
    return [(row["name"], instant(row["at"]), row["volume_ml"]) for row in found]


def first_filled(store: Store) -> dict[str, datetime]:
    """Return since when there are bottles of each name."""
    sql = """select bottle.name, min(live.at) as at from bottle_live live
        join bottle on bottle.id = live.bottle_id where live.kind = 'fill' group by bottle.name"""
    return {row["name"]: instant(row["at"]) for row in store.rows(sql)}


def last_jars(store: Store) -> dict[str, int]:
    """Return the jar that bottles of each name were filled from last."""
    sql = """select bottle.name, max(bottle.jar_id) as jar_id from bottle_live live
        join bottle on bottle.id = live.bottle_id
        where live.kind = 'fill' and bottle.jar_id is not null group by bottle.name"""
    return {row["name"]: row["jar_id"] for row in store.rows(sql)}


def weighty_jars(store: Store) -> set[int]:
    """Return the jars whose liquid a bottle's volume hangs on: it was weighed, or mixed."""
    sql = """select distinct poured.jar_id from poured join bottle_live live
        on live.id = poured.entry_id where poured.jar_id is not null and (
            live.kind = 'top up' or live.bottle_id in (
                select bottle_id from bottle_live where kind in ('count', 'top up')) or
            (select count(*) from poured other where other.entry_id = live.id) > 1)
        union select bottle.jar_id from poured join bottle on bottle.id = poured.bottle_id
            where bottle.jar_id is not null"""
    return {row["jar_id"] for row in store.rows(sql)}


def drawn_by(store: Store, digest: str) -> tuple[str, datetime] | None:
    """Return name and instant of a list that was drawn by and not taken back, or None."""
    for row in store.rows(_LAST_DRAWN.format(column="digest"), digest):
        return row["file"], instant(row["at"])
    return None


def act_drawn_by(store: Store, digest: str, file: str) -> int | None:
    """Return the act that drew by a list and was not taken back, by its content.

    A list with nothing in it, as one that cannot be read, is known by its name; of several lists
    of one name it is the one that was drawn by last.
    """
    column, value = ("file", file) if digest == _NOTHING else ("digest", digest)
    for row in store.rows(_LAST_DRAWN.format(column=column), value):
        return int(row["act"])
    return None


def last_named(store: Store, file: str) -> datetime | None:
    """Return when the last list of a name was drawn by that was not taken back, or None."""
    for row in store.rows(_LAST_DRAWN.format(column="file"), file):
        return instant(row["at"])
    return None


def list_of(store: Store, act: int) -> str:
    """Return the name of the list that an act drew by, or nothing."""
    for row in store.rows("select file from sold where act = ?", act):
        return str(row["file"])
    return ""


def keep_drawn_by(db: Database, act: int, digest: str, file: str, at: datetime) -> None:
    """Remember the list that an act drew by; inside `Store.writing()`."""
    db.table("sold").insert({"act": act, "digest": digest, "file": file, "at": stamp(at)})
