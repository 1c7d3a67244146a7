"""Which notices stand on the screen, so that a process that comes later can answer for them.

Plain SQL, as in `deliveries`.
"""

from __future__ import annotations

import contextlib
import json
from dataclasses import fields
from typing import TYPE_CHECKING

from steepboard.domain.notices import Button, Notice, Task
from steepboard.domain.schedule import ReminderKind
from steepboard.store.rows import instant, stamp

if TYPE_CHECKING:
    from collections.abc import Iterable
    from sqlite3 import Connection

    from steepboard.store.connect import Store


def put(conn: Connection, notice: Notice, token: str) -> None:
    """Keep a notice in place of the former one of its slot; inside `Store.transaction()`.

    `token` is by what the notifier that showed it knows it again; whatever had it before is gone.
    """
    sql = "insert or replace into on_screen(slot, token, notice) values (?, ?, ?)"
    conn.execute(sql, [notice.slot, token, _written(notice)])


def forget(conn: Connection, slots: Iterable[str]) -> None:
    """Forget what stood in these slots."""
    sql = "delete from on_screen where slot in (select value from json_each(?))"
    conn.execute(sql, [json.dumps(list(slots))])


def every(store: Store) -> dict[str, Notice]:
    """Return each notice by its token; those that another version wrote otherwise are left out."""
    found = {}
    for row in store.rows("select token, notice from on_screen order by slot"):
        with contextlib.suppress(AttributeError, KeyError, TypeError, ValueError):
            found[row["token"]] = _read(row["notice"])
    return found


def _written(notice: Notice) -> str:
    """Write a notice out; `asdict` would first copy its thousand tasks, for the sake of nothing."""
    told = {field.name: getattr(notice, field.name) for field in fields(notice)}
    return json.dumps(told | {"due": stamp(notice.due)}, default=_plain)


def _plain(part: Task | Button) -> dict[str, object]:
    return {field.name: getattr(part, field.name) for field in fields(part)}


def _read(text: str) -> Notice:
    told = json.loads(text)
    parts = {
        "due": instant(told["due"]),
        "keys": tuple(told["keys"]),
        "tasks": tuple(Task(ReminderKind(one["kind"]), one["jar_id"]) for one in told["tasks"]),
        "buttons": tuple(Button(**one) for one in told["buttons"]),
    }
    return Notice(**told | parts)
