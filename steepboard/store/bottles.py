"""Bottles and their diaries: reading them, and writing inside `Store.writing()`."""

from __future__ import annotations

import json
from collections import defaultdict
from typing import TYPE_CHECKING, Any

from steepboard.domain.bottles import (
    BottleEntry,
    BottleKind,
    Poured,
    Purpose,
    Tag,
    Weighing,
    letters,
)
from steepboard.domain.readings import Measured
from steepboard.domain.records import Source
from steepboard.store.rows import instant, stamp

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.store.connect import Store

_IN = "in (select value from json_each(?))"
_ENDED = "select bottle_id from bottle_live where kind in ('use up', 'break', 'discard')"
_NEEDED = """with recursive needed(id) as (
    select id from bottle where {where}
    union
    select poured.bottle_id from needed
        join bottle_entry entry on entry.bottle_id = needed.id
        join poured on poured.entry_id = entry.id
        where poured.bottle_id is not null)
    select id from needed"""
STANDING = f"id not in ({_ENDED})"
EVERY = "true"
FROM_JAR = """id in (select live.bottle_id from poured
    join bottle_live live on live.id = entry_id where poured.jar_id = ?)"""


def needed(store: Store, where: str = EVERY, *params: Any) -> tuple[int, ...]:
    """Return the ids of the bottles that a condition finds, and of all they were poured from."""
    return tuple(row["id"] for row in store.rows(_NEEDED.format(where=where), *params))


def tags(store: Store, ids: Iterable[int]) -> tuple[Tag, ...]:
    """Return what these bottles are known by, by code."""
    found = store.rows(f"select * from bottle where id {_IN} order by id", _json(ids))
    return tuple(Tag(**row) for row in found)


def tag(store: Store, code: str) -> Tag | None:
    """Return the bottle with this code, in any letter case, or None."""
    for row in store.rows("select * from bottle where code = ?", code.strip().upper()):
        return Tag(**row)
    return None


def entries(store: Store, ids: Iterable[int]) -> tuple[BottleEntry, ...]:
    """Return every entry of these bottles, the undone ones and the undos too, oldest first."""
    rows = store.rows(
        f"""select e.*, exists(select 1 from bottle_entry u
                where u.bottle_id = e.bottle_id and u.undoes = e.act) as undone
            from bottle_entry e where bottle_id {_IN} order by id""",
        _json(ids),
    )
    poured: defaultdict[int, list[Poured]] = defaultdict(list)
    sql = f"select * from poured where entry_id {_IN} order by entry_id, position"
    for row in store.rows(sql, _json(row["id"] for row in rows)):
        poured[row["entry_id"]].append(_poured(row))
    return tuple(_entry(row, tuple(poured[row["id"]])) for row in rows)


def filled_from(store: Store, jar_id: int) -> tuple[int, ...]:
    """Return the ids of the bottles that live entries poured something of a jar into."""
    rows = store.rows(f"select id from bottle where {FROM_JAR} order by id", jar_id)
    return tuple(row["id"] for row in rows)


def drawn(store: Store, since: datetime) -> tuple[BottleEntry, ...]:
    """Return the draws since an instant that were not taken back, oldest first."""
    sql = """select *, 0 as undone from bottle_live where kind = 'draw' and at >= ?
             order by at, id"""
    return tuple(_entry(row, ()) for row in store.rows(sql, stamp(since)))


def drawn_for(store: Store, note: str) -> dict[str, float]:
    """Return the mL of each bottle that were drawn for a blend with this note, in their order."""
    sql = """select code, sum(volume_ml) as ml from bottle_live live
             join bottle on bottle.id = bottle_id where purpose = 'blend' and note = ?
             group by bottle.id order by min(live.id)"""
    return {row["code"]: row["ml"] for row in store.rows(sql, note)}


def drawn_last_for(store: Store, note: str) -> str | None:
    """Return the code of the bottle that was drawn from last for a blend with this note."""
    sql = """select code from bottle_live live join bottle on bottle.id = bottle_id
             where purpose = 'blend' and note = ? order by live.id desc limit 1"""
    return next((row["code"] for row in store.rows(sql, note)), None)


def blend_notes(store: Store) -> tuple[str, ...]:
    """Return the notes of what was drawn for blends, each once, the last begun last."""
    sql = """select note from bottle_live where purpose = 'blend' and note <> ''
             group by note order by min(id)"""
    return tuple(row["note"] for row in store.rows(sql))


def last_act(store: Store, ids: Iterable[int] | None = None) -> int | None:
    """Return the last act not undone, of these bottles or of all."""
    if ids is None:
        return _act(store, "select max(act) as act from bottle_live")
    return _act(store, f"select max(act) as act from bottle_live where bottle_id {_IN}", _json(ids))


def last_fill(store: Store, jar_id: int) -> int | None:
    """Return the last act not undone that poured something of a jar into bottles."""
    sql = """select max(act) as act from poured join bottle_live live on live.id = entry_id
             where poured.jar_id = ?"""
    return _act(store, sql, jar_id)


def written_after(store: Store, act: int) -> int:
    """Return the id of the last entry of the jars' diaries when an act was written, or 0."""
    sql = "select max(after_entry) as id from bottle_entry where act = ?"
    return int(store.rows(sql, act)[0]["id"])


def act_of(store: Store, act: int) -> tuple[int, ...]:
    """Return the ids of the bottles that an act wrote to."""
    sql = "select distinct bottle_id from bottle_entry where act = ? and undoes is null"
    return tuple(row["bottle_id"] for row in store.rows(sql, act))


def next_act(db: Database) -> int:
    """Return the number of the next act; bottles share one count."""
    sql = "select coalesce(max(act), 0) + 1 from bottle_entry"
    return int(db.execute(sql).fetchone()[0])


def last_jar_entry(db: Database) -> int:
    """Return the id of the last entry of the jars' diaries, or 0."""
    return int(db.execute("select coalesce(max(id), 0) from entry").fetchone()[0])


def add_bottle(db: Database, batch: str, jar_id: int | None, name: str) -> Tag:
    """Return the next bottle of a batch: one whose fill was taken back, or else a new one."""
    empty = """select * from bottle where batch = ? and id not in (
        select bottle_id from bottle_live where kind = 'fill') order by id limit 1"""
    for row in db.query(empty, [batch]):
        return Tag(**row)
    taken = db.execute("select count(*) from bottle where batch = ?", [batch]).fetchone()[0]
    code = f"{batch}-{letters(int(taken))}"
    db.table("bottle").insert({"code": code, "batch": batch, "jar_id": jar_id, "name": name})
    return Tag(_last_id(db), code, batch, jar_id, name)


def add_entry(db: Database, entry: BottleEntry) -> int:
    """Write one line of a bottle's diary and return its id; the entry's own `id` is not kept."""
    row = {
        "bottle_id": entry.bottle_id,
        "act": entry.act,
        "kind": entry.kind.value,
        "at": stamp(entry.at),
        "source": entry.source.value,
        "initials": entry.initials,
        "note": entry.note,
        "after_entry": entry.after_entry,
        "jar_entry": entry.jar_entry,
        "undoes": entry.undoes,
        "size_ml": entry.size_ml,
        "typed": entry.typed,
        "purpose": entry.purpose.value if entry.purpose else None,
        "tool": entry.tool,
        "tool_u": entry.tool_u,
    }
    weighing = entry.weighing
    read = {
        ("volume_ml", "volume_step_ml"): entry.volume,
        ("now_g", "now_step_g"): weighing and weighing.now,
        ("empty_g", "empty_step_g"): weighing and weighing.empty,
        ("full_g", "full_step_g"): weighing and weighing.full,
    }
    for (value, step), measured in read.items():
        row[value], row[step] = (measured.value, measured.resolution) if measured else (None, None)
    db.table("bottle_entry").insert(row)
    entry_id = _last_id(db)
    db.table("poured").insert_all(
        {"entry_id": entry_id, "position": position, **_poured_row(one)}
        for position, one in enumerate(entry.poured)
    )
    return entry_id


def _poured_row(one: Poured) -> dict[str, Any]:
    return {
        "volume_ml": one.volume.value,
        "volume_step_ml": one.volume.resolution,
        "jar_id": one.jar_id,
        "bottle_id": one.bottle_id,
        "spirit": one.spirit,
        "strength": one.strength,
    }


def _act(store: Store, sql: str, *params: Any) -> int | None:
    act = store.rows(sql, *params)[0]["act"]
    return None if act is None else int(act)


def _entry(row: dict[str, Any], poured: tuple[Poured, ...]) -> BottleEntry:
    now = _measured(row, "now_g", "now_step_g")
    empty, full = _measured(row, "empty_g", "empty_step_g"), _measured(row, "full_g", "full_step_g")
    return BottleEntry(
        id=row["id"],
        bottle_id=row["bottle_id"],
        act=row["act"],
        kind=BottleKind(row["kind"]),
        at=instant(row["at"]),
        source=Source(row["source"]),
        initials=row["initials"],
        note=row["note"],
        undone=bool(row["undone"]),
        after_entry=row["after_entry"],
        jar_entry=row["jar_entry"],
        undoes=row["undoes"],
        size_ml=row["size_ml"],
        volume=_measured(row, "volume_ml", "volume_step_ml"),
        typed=row["typed"],
        purpose=Purpose(row["purpose"]) if row["purpose"] else None,
        tool=row["tool"],
        tool_u=row["tool_u"],
        weighing=Weighing(now, empty, full) if now else None,
        poured=poured,
    )


def _measured(row: dict[str, Any], value: str, step: str) -> Measured | None:
    return None if row[value] is None else Measured(row[value], row[step])


def _poured(row: dict[str, Any]) -> Poured:
    return Poured(
        Measured(row["volume_ml"], row["volume_step_ml"]),
        row["jar_id"],
        row["bottle_id"],
        row["spirit"],
        row["strength"],
    )


def _json(ids: Iterable[int]) -> str:
    return json.dumps(list(ids))


def _last_id(db: Database) -> int:
    return int(db.execute("select last_insert_rowid()").fetchone()[0])
