"""Reading jars and their diaries; everything here is one or a few plain queries."""

from __future__ import annotations

import json
from collections import defaultdict
from typing import TYPE_CHECKING, Any

from steepboard.errors import UnknownJar
from steepboard.store.rows import Fold, charge_of, entry_of, reading_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from steepboard.domain.records import Charge, Entry, Jar, Reading
    from steepboard.store.connect import Store

_IN = "in (select value from json_each(?))"
_LIGHT = ("stir", "taste", "move", "remind")  # kinds without charge and readings
_ENDED = "select jar_id from live where kind in ('bottle', 'discard')"
_LAST_ENDED = f"{_ENDED} group by jar_id order by max(at) desc, jar_id desc limit ?"


def active(store: Store, *, contents: bool = True) -> tuple[Jar, ...]:
    """Return the jars that are planned, steeping or settling, by code.

    Without `contents` their charges name no botanicals and spirits: reminders need none.
    """
    return _load(store, "select jar_id from unfinished", contents=contents)


def ended(store: Store, limit: int = -1) -> tuple[Jar, ...]:
    """Return the bottled and discarded jars, the last ended first; at most `limit` of them."""
    jars = {jar.id: jar for jar in _load(store, f"select jar_id from ({_LAST_ENDED})", limit)}
    order = store.rows(f"select jar_id from ({_LAST_ENDED})", limit)
    return tuple(jars[row["jar_id"]] for row in order if row["jar_id"] in jars)


def by_code(store: Store, code: str) -> Jar:
    """Return the jar with this code, in any letter case; raises `UnknownJar`."""
    found = _load(store, "select id from jar where code = ?", code.strip().upper())
    if not found:
        raise UnknownJar(code)
    return found[0]


def id_of(store: Store, code: str) -> int:
    """Return the id of the jar with this code, even where its acts were undone; `UnknownJar`."""
    for row in store.rows("select id from jar where code = ?", code.strip().upper()):
        return int(row["id"])
    raise UnknownJar(code)


def by_id(store: Store, jar_id: int) -> Jar | None:
    """Return the jar, or None where every act that made it was undone."""
    found = _load(store, "select ?", jar_id)
    return found[0] if found else None


def codes(store: Store) -> list[tuple[str, str]]:
    """Return code and name of every jar there ever was, by code."""
    return [(r["code"], r["name"]) for r in store.rows("select code, name from jar order by code")]


def diary(store: Store, jar_id: int) -> tuple[Entry, ...]:
    """Return every entry of a jar, the undone ones and the undos too, oldest first."""
    rows = store.rows(
        """select e.*, exists(select 1 from entry u
               where u.jar_id = e.jar_id and u.undoes = e.act) as undone
           from entry e where jar_id = ? order by id""",
        jar_id,
    )
    ids = [row["id"] for row in rows]
    readings, read = _readings(store, ids), _acknowledged(store, ids)
    return tuple(
        entry_of(row, readings.get(row["id"], ()), read.get(row["id"], ())) for row in rows
    )


def last_act(store: Store, jar_id: int | None) -> tuple[int, int, str] | None:
    """Return jar id, act and code of the last act not undone, of a jar or of the whole shelf."""
    sql = """select live.jar_id, live.act, jar.code from live join jar on jar.id = live.jar_id
             where ? is null or live.jar_id = ? order by live.id desc limit 1"""
    for row in store.rows(sql, jar_id, jar_id):
        return row["jar_id"], row["act"], row["code"]
    return None


def act_with(store: Store, entry_id: int) -> tuple[int, int] | None:
    """Return jar id and act of an entry, or None where that act was undone."""
    for row in store.rows("select jar_id, act from live where id = ?", entry_id):
        return row["jar_id"], row["act"]
    return None


def some(store: Store, jar_ids: Iterable[int]) -> tuple[Jar, ...]:
    """Return these jars, without what they were charged with, by code."""
    return _load(store, "select value from json_each(?)", json.dumps(list(jar_ids)), contents=False)


def acknowledged(store: Store, jar_id: int) -> tuple[str, ...]:
    """Return the codes of the cautions that were acknowledged for a jar."""
    sql = """select distinct caution from acknowledged join live on live.id = entry_id
             where jar_id = ? order by caution"""
    return tuple(row["caution"] for row in store.rows(sql, jar_id))


def draft(store: Store, jar_id: int) -> tuple[str, dict[str, str]] | None:
    """Return the straining step that was left and what was typed, or None."""
    for row in store.rows("select step, typed from draft where jar_id = ?", jar_id):
        return row["step"], json.loads(row["typed"])
    return None


def _load(store: Store, jar_ids: str, *params: Any, contents: bool = True) -> tuple[Jar, ...]:
    """Return the jars whose ids the query `jar_ids` gives, by code."""
    jars = store.rows(f"select id, code, name from jar where id in ({jar_ids})", *params)
    ids = [jar["id"] for jar in jars]
    entries = store.rows(
        f"""select live.id, jar_id, kind, at, strain_on, separation, habit.* from live
            left join habit on entry_id = live.id where jar_id {_IN} order by live.id""",
        json.dumps(ids),
    )
    weighty = [row["id"] for row in entries if row["kind"] not in _LIGHT]
    charges = _charges(store, weighty, contents=contents)
    readings = _readings(store, weighty)
    folds = {jar["id"]: Fold(jar["id"], jar["code"], jar["name"]) for jar in jars}
    for row in entries:
        folds[row["jar_id"]].take(row, charges.get(row["id"]), readings.get(row["id"], ()))
    made = (fold.jar() for fold in folds.values())
    return tuple(sorted((jar for jar in made if jar), key=lambda jar: jar.code))


def _charges(store: Store, entry_ids: list[int], *, contents: bool) -> dict[int, Charge]:
    ids, none = json.dumps(entry_ids), "[]"
    lines = {
        table: _grouped(
            store.rows(
                f"select * from {table} where entry_id {_IN} order by entry_id, position",
                ids if contents else none,
            )
        )
        for table in ("botanical", "spirit")
    }
    return {
        row["entry_id"]: charge_of(
            row, lines["botanical"][row["entry_id"]], lines["spirit"][row["entry_id"]]
        )
        for row in store.rows(f"select * from charge where entry_id {_IN}", ids)
    }


def _readings(store: Store, entry_ids: list[int]) -> dict[int, tuple[Reading, ...]]:
    sql = f"""select r.*, e.at from reading r join entry e on e.id = r.entry_id
              where r.entry_id {_IN}"""
    grouped = _grouped(store.rows(sql, json.dumps(entry_ids)))
    return {entry_id: tuple(map(reading_of, rows)) for entry_id, rows in grouped.items()}


def _acknowledged(store: Store, entry_ids: list[int]) -> dict[int, tuple[str, ...]]:
    sql = f"select * from acknowledged where entry_id {_IN} order by rowid"
    grouped = _grouped(store.rows(sql, json.dumps(entry_ids)))
    return {entry_id: tuple(row["caution"] for row in found) for entry_id, found in grouped.items()}


def _grouped(rows: Iterable[dict[str, Any]]) -> defaultdict[int, list[dict[str, Any]]]:
    groups: defaultdict[int, list[dict[str, Any]]] = defaultdict(list)
    for row in rows:
        groups[row["entry_id"]].append(row)
    return groups
