"""Rows in the words of an export, written to the record one at a time."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeAlias

from steepboard.store.exchange import Tables

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from steepboard.store.exchange import Column
    from steepboard.store.exchange_parts import Part

Path: TypeAlias = tuple[str | int, ...]
_REASONS = {
    "UNIQUE": "it is in this file twice",
    "PRIMARY": "it is in this file twice",
    "CHECK": "what it says does not go together",
    "NOT": "something is missing in it",
}
"""By the first word of what SQLite says of a row that it refuses."""


@dataclass(frozen=True, slots=True)
class Refused:
    """What the record does not take: where in the row, and why in plain words."""

    path: Path
    reason: str


class Intake:
    """Writes rows inside `Store.transaction`, and says what of them the record does not take."""

    def __init__(self, conn: sqlite3.Connection) -> None:
        self._conn, self._tables = conn, Tables(conn)
        self._refused: set[tuple[str, object]] = set()

    def put(self, part: Part, row: Mapping[str, Any]) -> list[Refused]:
        """Write one row with all that belongs to it, and return what stands against it."""
        if self._names_refused(part, row):
            self.leave(part, row)
            return []
        refused = self._put(part, row, (), {})
        if refused:
            self.leave(part, row)
        return refused

    def leave(self, part: Part, row: Mapping[str, Any]) -> None:
        """Remember a row that was refused, so that those which name it are not refused for that."""
        told = (row.get(word) for word in ("code", "number"))
        self._refused |= {(part.table, one) for one in told if isinstance(one, str | int)}

    def _names_refused(self, part: Part, row: Mapping[str, Any]) -> bool:
        return any(
            column.parent and (column.parent, row.get(column.word)) in self._refused
            for column in self._tables.columns(part)
        )

    def _put(
        self, part: Part, row: Mapping[str, Any], path: Path, owner: dict[str, Any]
    ) -> list[Refused]:
        refused = [*self._lost(part, row, path)] or self._insert(part, row, path, owner)
        for child in () if refused else part.parts:
            told = row.get(child.name, [])
            for position, one in enumerate([told] if child.single and told else told):
                where = (*path, child.name) if child.single else (*path, child.name, position)
                key = {"entry_id": owner.get("entry_id", row.get("number"))}
                if "position" in child.order:
                    key["position"] = position
                refused += self._put(child, {child.plain: one} if child.plain else one, where, key)
        return refused

    def _lost(self, part: Part, row: Mapping[str, Any], path: Path) -> Iterator[Refused]:
        """Yield what the row names and the record does not have."""
        for column in self._tables.columns(part):
            named = row.get(column.word)
            if column.parent and named is not None and self._key(column, named) is None:
                yield Refused((*path, column.word), f"nothing before it in this file is {named}")
        for rule in part.rules:
            if rule.word in row and not self._conn.execute(rule.sql, row).fetchone():
                yield Refused((*path, rule.word), rule.reason)

    def _key(self, column: Column, named: object) -> Any:
        """Return what a column holds for what the export names."""
        sql = f"select {column.target} from {column.parent} where {column.named_by} = ?"
        found = self._conn.execute(sql, [named]).fetchone()
        return found[0] if found else None

    def _insert(
        self, part: Part, row: Mapping[str, Any], path: Path, owner: dict[str, Any]
    ) -> list[Refused]:
        values = dict(owner)
        for column in self._tables.columns(part):
            value = row.get(column.word, column.empty)
            if column.between and value:
                value = column.between.join(value)
            if column.parent and value is not None:
                value = self._key(column, value)
            values[column.name] = value
        names, places = ", ".join(values), ", ".join("?" * len(values))
        try:
            sql = f"insert into {part.table}({names}) values ({places})"
            self._conn.execute(sql, [*values.values()])
        except (sqlite3.IntegrityError, UnicodeEncodeError) as fault:
            return [Refused(path, _REASONS.get(str(fault).split()[0], "the record refuses it"))]
        return []
