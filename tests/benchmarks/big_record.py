"""A record of any size, copied row by row from two jars that the use cases made; all invented."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from steepboard.services import acts
from steepboard.store.rows import stamp
from tests.shelves import desk_at, order

_DAY = timedelta(days=1)
_STEEPED_DAYS = 14


def fill(folder: Path, now: datetime, *, active: int, past: int = 0) -> None:
    """Make `active` jars charged yesterday and `past` ones, spread over the last five years."""
    desk = desk_at(folder)
    young = acts.charge(desk, order(), now - _DAY)
    old = acts.charge(desk, order(), now - 20 * _DAY)
    for day in range(1, _STEEPED_DAYS):
        acts.stir(desk, (old.code,), now - (20 - day) * _DAY)
    acts.strain(desk, old.code, (), now - 6 * _DAY, bottled=True)
    conn = desk.store.conn
    conn.execute("begin")
    for number in range(active - 1):
        _copy(conn, young.id, f"MANY-{number:05}", timedelta(0))
    for number in range(past - 1):
        _copy(conn, old.id, f"PAST-{number:05}", timedelta(days=5 * 365) * number / past)
    conn.execute("commit")
    desk.store.close()


def _copy(conn, jar_id: int, code: str, earlier: timedelta) -> None:
    new = conn.execute(
        "insert into jar(code, name) select ?, name from jar where id = ?", [code, jar_id]
    ).lastrowid
    rows = conn.execute("select id, act, kind, at, source, initials, note, separation from entry "
                        "where jar_id = ?", [jar_id]).fetchall()  # fmt: skip
    for entry, act, kind, at, *rest in rows:
        moved = stamp(datetime.fromisoformat(at) - earlier)
        made = conn.execute(
            "insert into entry(jar_id, act, kind, at, source, initials, note, separation) "
            "values (?, ?, ?, ?, ?, ?, ?, ?)",
            [new, act, kind, moved, *rest],
        ).lastrowid
        for table in ("charge", "botanical", "spirit"):
            names = [
                row[1]
                for row in conn.execute(f"pragma table_info({table})")
                if row[1] != "entry_id"
            ]
            columns = ", ".join(names)
            conn.execute(
                f"insert into {table}(entry_id, {columns}) "
                f"select ?, {columns} from {table} where entry_id = ?",
                [made, entry],
            )
