"""What is used of each kind of bottle, the least of it that is to stand, and lists drawn by."""

from __future__ import annotations

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
_DRAWN_TOGETHER = """select * from sold where digest = ? and exists(
    select 1 from bottle_live where bottle_live.act = sold.act)"""


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


def pars(store: Store) -> dict[str, float]:
    """Return the least in mL that is to stand, by name; 0 for what is not made again."""
    return {row["name"]: row["volume_ml"] for row in store.rows("select * from par order by name")}


def set_par(db: Database, name: str, volume_ml: float | None) -> None:
    """Keep the least in mL that is to stand of a name, or forget it; inside `writing()`."""
    db.execute("delete from par where lower(name) = lower(?)", [name])
    if volume_ml is not None:
        db.table("par").insert({"name": name, "volume_ml": volume_ml})


def drawn_by(store: Store, digest: str) -> tuple[str, datetime] | None:
    """Return name and instant of a list that was drawn by and not taken back, or None."""
    for row in store.rows(_DRAWN_TOGETHER, digest):
        return row["file"], instant(row["at"])
    return None


def keep_drawn_by(db: Database, act: int, digest: str, file: str, at: datetime) -> None:
    """Remember the list that an act drew by; inside `Store.writing()`."""
    db.table("sold").insert({"act": act, "digest": digest, "file": file, "at": stamp(at)})
