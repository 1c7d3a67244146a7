"""The lists of the document laid flat: a table for each, and one for each list in its rows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from steepboard.services.exchange.schema import of_part
from steepboard.store import exchange
from steepboard.store.exchange_parts import LISTS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from steepboard.services.desk import Desk
    from steepboard.store.exchange_parts import Part

_OF_OWNER = ("number", "jar", "bottle", "topic", "name", "at")
PLACE = "place"
"""The head of what counts the rows of an inner list that belong together, from 1."""


@dataclass(frozen=True, slots=True)
class Table:
    """A list of the document, or one inside its rows."""

    of: Part
    """The list of the document."""
    way: tuple[str, ...] = ()
    """To the inner list, from a row; empty for the list of the document itself."""
    part: Part | None = None
    """The inner list."""

    @property
    def name(self) -> str:
        """What it is called."""
        return self.part.name if self.part else self.of.name


def _inner(of: Part, part: Part, way: tuple[str, ...] = ()) -> Iterator[Table]:
    for child in part.parts:
        if not child.single:
            yield Table(of, (*way, child.name), child)
        yield from _inner(of, child, (*way, child.name))


INNER = {of.name: tuple(_inner(of, of)) for of in LISTS}
"""By the name of each list of the document, those inside its rows."""
TABLES = (*map(Table, LISTS), *(table for tables in INNER.values() for table in tables))


def heads(desk: Desk, table: Table) -> dict[str, tuple[str, ...]]:
    """Return from each head of a table the way to what stands under it, from a row of its own.

    Of an inner list only what is its own: `owner_heads` has the others.
    """
    part = table.part or table.of
    if part.plain:
        return {part.plain: ()}
    return {".".join(way): way for way in _ways(desk, table, part, ())}


def owner_heads(desk: Desk, table: Table) -> dict[str, str]:
    """Return from each head of an inner list that tells of the row it belongs to, its word."""
    known, own = exchange.words(desk.store, table.of), heads(desk, table)
    words = (word for word in _OF_OWNER if word in known)
    return {f"of.{word}" if word in own else word: word for word in words}


def rows(desk: Desk, table: Table) -> Iterator[list[object]]:
    """Yield the heads of a table and then its rows."""
    own = heads(desk, table)
    if table.part is None:
        yield [*own]
        for row in exchange.rows(desk.store, table.of):
            yield [_told(row, way) for way in own.values()]
        return
    owner = owner_heads(desk, table)
    yield [*owner, PLACE, *own]
    for row in exchange.rows(desk.store, table.of):
        before = [row.get(word) for word in owner.values()]
        for place, one in enumerate(_told(row, table.way) or (), 1):
            yield [*before, place, *(_told(one, way) for way in own.values())]


def _ways(desk: Desk, table: Table, part: Part, way: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Yield the way to each plain value of a row, and to what may be there with no value in it."""
    inner = {child.name: child for child in part.parts}
    for word in exchange.words(desk.store, part):
        if word not in inner:
            yield (*way, word)
        elif inner[word].single:
            said = of_part(table.of.name, (*table.way, *way, word))
            if not (said.get("required") or "oneOf" in said):
                yield (*way, word)
            yield from _ways(desk, table, inner[word], (*way, word))


def _told(row: Any, way: tuple[str, ...]) -> Any:
    """Return what stands at the end of a way; yes for what has values of its own."""
    found: Any = row
    for word in way:
        found = found.get(word) if found is not None else None
    return True if isinstance(found, dict) else found
