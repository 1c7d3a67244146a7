"""The record as lists of rows in the words of an export, read one row at a time.

The columns come from the tables themselves, so that one added by a later step is not forgotten.
"""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from steepboard.store.exchange_parts import LISTS

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterator

    from steepboard.store.connect import Store
    from steepboard.store.exchange_parts import Part

_OWNER = ("entry_id", "position")  # ties a row to the one that it belongs to


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table, its word in the export, and what it points at."""

    name: str
    word: str
    empty: str | None
    """What stands in it where nothing is said."""
    parent: str = ""
    """The table that it points at."""
    named_by: str = ""
    """The column there that the export names it by."""
    target: str = ""
    """The column there that it holds."""
    between: str = ""
    """What stands between its words, where it has several."""


class Tables:
    """What the tables of a record say of themselves."""

    def __init__(self, conn: sqlite3.Connection) -> None:
        self.conn = conn
        self._columns: dict[str, tuple[Column, ...]] = {}

    def columns(self, part: Part) -> tuple[Column, ...]:
        """Return the columns that a part has words for."""
        if part.table not in self._columns:
            self._columns[part.table] = tuple(self._found(part))
        return self._columns[part.table]

    def words(self, part: Part) -> tuple[str, ...]:
        """Return the words that a row of a part may have."""
        own = (column.word for column in self.columns(part))
        return (*own, *(child.name for child in part.parts))

    def _found(self, part: Part) -> Iterator[Column]:
        points = {
            column: (table, target)
            for _, _, table, column, target, *_ in self._pragma("foreign_key_list", part.table)
        }
        words, parted = dict(part.renamed), dict(part.parted)
        for _, name, kind, needed, *_ in self._pragma("table_info", part.table):
            if name in part.left_out or name in _OWNER:
                continue
            empty = "" if needed and kind.upper() == "TEXT" else None
            parent, target = points.get(name, ("", ""))
            has_code = parent and "code" in self._names(parent)
            word = name.removesuffix("_id") if has_code else words.get(name, name)
            named_by, between = "code" if has_code else target, parted.get(name, "")
            yield Column(name, word, empty, parent, named_by, target, between)

    def _names(self, table: str) -> set[str]:
        return {name for _, name, *_ in self._pragma("table_info", table)}

    def _pragma(self, name: str, table: str) -> list[tuple[Any, ...]]:
        return self.conn.execute(f"pragma {name}({table})").fetchall()


@contextlib.contextmanager
def at_one_moment(store: Store) -> Iterator[None]:
    """Let all that is read in the block be as it was when it began."""
    with store._told():
        store.conn.execute("begin")
        try:
            yield
        finally:
            store.conn.rollback()


def is_empty(store: Store) -> bool:
    """Say whether the record has no row that an export would have."""
    asked = " union all ".join(f"select 1 from {part.table}" for part in LISTS)
    return not store.rows(f"select 1 from ({asked}) limit 1")


def words(store: Store, part: Part) -> tuple[str, ...]:
    """Return the words that a row of a part may have."""
    return Tables(store.conn).words(part)


def rows(store: Store, part: Part) -> Iterator[dict[str, Any]]:
    """Yield the rows of one list in their order; what is empty in a row is left out of it."""
    yield from _rows(Tables(store.conn), part, None)


def _rows(tables: Tables, part: Part, owner: object) -> Iterator[dict[str, Any]]:
    columns = tables.columns(part)
    chosen = ["entry_id as owner" if owner is not None else _key(tables, part)]
    chosen += [
        f"(select {c.named_by} from {c.parent} where {c.target} = t.{c.name})"
        if c.parent and c.named_by != c.target
        else c.name
        for c in columns
    ]
    belonging = "" if owner is None else "where entry_id = ?"
    sql = f"select {', '.join(chosen)} from {part.table} t {belonging} order by {part.order}"
    for key, *values in tables.conn.execute(sql, () if owner is None else (owner,)):
        said = zip(columns, values, strict=True)
        row = {c.word: _value(part, c, value) for c, value in said if value != c.empty}
        for child in part.parts:
            found = [one[child.plain] if child.plain else one for one in _rows(tables, child, key)]
            if found:
                row[child.name] = found[0] if child.single else found
        yield row


def _key(tables: Tables, part: Part) -> str:
    return "id" if any(column.name == "id" for column in tables.columns(part)) else "null"


def _value(part: Part, column: Column, value: Any) -> Any:
    if column.name in part.flags:
        return bool(value)
    return value.split(column.between) if column.between else value
