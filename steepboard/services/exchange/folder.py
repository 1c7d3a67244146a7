"""The whole shelf as a folder of CSV files: a table in each, written and read row by row."""

from __future__ import annotations

import contextlib
import re
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING, Any

from steepboard.errors import BadDocument, NotInCsv
from steepboard.services.exchange import document, flat
from steepboard.services.exchange.cells import line, text_of
from steepboard.services.exchange.parsing import Found
from steepboard.services.exchange.schema import FORMAT, VERSION, of_part
from steepboard.services.exchange.sheets import Sheet
from steepboard.store import exchange
from steepboard.store.exchange_parts import LISTS
from steepboard.text import visible

if TYPE_CHECKING:
    from collections.abc import Generator, Iterator, Mapping
    from pathlib import Path

    from steepboard.services.desk import Desk
    from steepboard.services.exchange.flat import Table
    from steepboard.services.exchange.sheets import Row
    from steepboard.store.exchange_parts import Part
    from steepboard.store.intake import Path as Way

HEAD = "shelf.csv"
"""The file that says what the others are."""
_NUMBER = re.compile(r"-?[0-9]{1,20}(?:\.[0-9]{0,20})?(?:[eE][-+]?[0-9]{1,3})?")
_WHOLE = re.compile(r"[0-9]{1,16}")
_SORTED = "a spreadsheet may have sorted it anew; sort it by number"


def written(desk: Desk) -> Generator[tuple[str, Iterator[str]]]:
    """Yield the name of each file and its lines, all of one moment; raises `NotInCsv`."""
    with exchange.at_one_moment(desk.store):
        yield HEAD, map(line, (("format", "version"), (FORMAT, VERSION)))
        for table in flat.TABLES:
            yield f"{table.name}.csv", _lines(desk, table)


def _lines(desk: Desk, table: Table) -> Iterator[str]:
    for row in flat.rows(desk, table):
        for value in row:
            for text in value if isinstance(value, list) else (value,):
                if isinstance(text, str) and (not text or text != visible(text)):
                    raise NotInCsv(table.name)
        yield line(row)


def check(folder: Path) -> None:
    """Refuse a folder that is none of ours, or that lacks a file; raises `BadDocument`."""
    if not (folder / HEAD).is_file():
        raise BadDocument(str(folder), None, f"this folder has no {HEAD}, so no export wrote it")
    wanted = {f"{table.name}.csv" for table in flat.TABLES} | {HEAD}
    there = {path.name for path in folder.glob("*.csv") if not path.name.startswith(".")}
    for told, names in (("is missing", wanted - there), ("is no list", there - wanted)):
        if names:
            raise BadDocument(str(folder), None, f"{', '.join(sorted(names))} {told}")


def take_in(desk: Desk, folder: Path) -> Mapping[str, int]:
    """Write what a folder says to an empty record; return how many rows of each list.

    Raises what `document.fill` raises.
    """
    check(folder)
    return document.fill(desk, _found(desk, folder), str(folder))


@dataclass(frozen=True, slots=True)
class _Laid(Found):
    """A row put together out of several files."""

    files: dict[Way, str]
    """The file of each part."""

    def place(self, path: Way) -> str:
        """Return the file of a part and the head of it there."""
        at = path
        while at not in self.files:
            at = at[:-1]
        head = ".".join(word for word in path[len(at) :] if isinstance(word, str))
        return ", ".join(filter(None, (self.files[at], head)))


def _found(desk: Desk, folder: Path) -> Iterator[Found]:
    with (folder / HEAD).open("rb") as file:
        for row in Sheet(file, str(folder / HEAD)).rows():
            for name in ("format", "version"):
                told = row.cells.get(name, "")
                value = int(told) if _WHOLE.fullmatch(told) else told
                yield _Laid(name, value, False, {(): row.line}, {(): f"{HEAD}, {name}"})
    for part in LISTS:
        yield from _rows(desk, folder, part)


def _rows(desk: Desk, folder: Path, part: Part) -> Iterator[Found]:
    """Yield the rows of a list, each with what belongs to it from other files."""
    with contextlib.ExitStack() as stack:

        def opened(table: Table) -> _File:
            path = folder / f"{table.name}.csv"
            return _File(desk, table, stack.enter_context(path.open("rb")), path)

        main, before = opened(flat.Table(part)), 0
        inner = [opened(table) for table in flat.INNER[part.name]]
        while row := main.take():
            value, number = main.value(row), main.number(row)
            if number is not None and number <= before:
                raise main.fault(row, f"number {number} stands below {before}: {_SORTED}")
            before = number or 0
            one = _Laid(part.name, value, True, {(): row.line}, {(): f"{part.name}.csv"})
            for file in inner:
                file.put_into(one, number)
            yield one
        for file in inner:
            if left := file.take():
                told = f"it belongs to no row of {part.name}.csv that is still to come"
                raise file.fault(left, f"{told}: {_SORTED}, and that one, too")


class _File:
    """One file of the folder, read a row at a time."""

    def __init__(self, desk: Desk, table: Table, file: IO[bytes], path: Path) -> None:
        self._table, self._name, self._path = table, path.name, str(path)
        self._sheet = Sheet(file, str(path))
        self._heads = flat.heads(desk, table)
        owner = [*flat.owner_heads(desk, table), flat.PLACE] if table.part else []
        for head in self._sheet.heads:
            if head not in self._heads and head not in owner:
                raise BadDocument(str(path), 1, f"the head “{head[:40]}” is not known")
        for head in ("number", flat.PLACE) if table.part else ():
            if head not in self._sheet.heads:
                raise BadDocument(str(path), 1, f"the head “{head}” is missing")
        of = of_part(table.of.name, table.way)
        self._said = {
            head: of_part(table.of.name, (*table.way, *way)) if way else of["items"]
            for head, way in self._heads.items()
        }
        self._rows = self._sheet.rows()
        self._next = next(self._rows, None)

    def take(self) -> Row | None:
        """Return the next row, None at the end."""
        row = self._next
        if row and row.fault:
            raise self.fault(row, row.fault)
        self._next = next(self._rows, None) if row else None
        return row

    def fault(self, row: Row, reason: str) -> BadDocument:
        """Return what stands against a row."""
        return BadDocument(self._path, row.line, reason)

    def number(self, row: Row) -> int | None:
        """Return the number of a row, or of the row that it belongs to; None where it has none."""
        told = row.cells.get("number", "")
        return int(told) if _WHOLE.fullmatch(told) else None

    def value(self, row: Row) -> Any:
        """Return what a row says, as the document would; what is empty is left out."""
        found: dict[str, Any] = {}
        for head, way in self._heads.items():
            if told := row.cells.get(head, ""):
                value = self._read(head, told)
                if not way:
                    return value  # the list is of plain values
                at = found
                for word in way[:-1]:
                    at = at.setdefault(word, {})
                at.setdefault(way[-1], {} if self._said[head].get("type") == "object" else value)
        return found

    def put_into(self, one: _Laid, number: int | None) -> None:
        """Put the rows that belong to a row into it."""
        rows: list[Any] = []
        while self._next and not self._next.fault and self.number(self._next) == number:
            row = self.take()
            assert row  # noqa: S101 - it was looked at
            if row.cells[flat.PLACE] != str(len(rows) + 1):
                told = f"{row.cells[flat.PLACE][:20]} stands where {len(rows) + 1} should"
                raise self.fault(row, f"place {told}: {_SORTED} and place")
            path: Way = (*self._table.way, len(rows))
            one.lines[path], one.files[path] = row.line, self._name
            rows.append(self.value(row))
        if rows:
            at = one.value
            for word in self._table.way[:-1]:
                at = at.setdefault(word, {})
            at[self._table.way[-1]] = rows

    def _read(self, head: str, told: str) -> Any:
        """Return what a cell says by its kind; what cannot be of it stays text, to be refused."""
        kind = self._said[head].get("type")
        pointed = self._sheet.pointed(told)
        if kind == "number" and _NUMBER.fullmatch(pointed):
            return float(pointed)
        if kind == "integer" and _WHOLE.fullmatch(told):
            return int(told)
        if kind == "boolean":
            return {"yes": True, "no": False, "true": True, "false": False}.get(
                told.casefold(), told
            )
        text = text_of(told)
        if kind == "array":
            return [word.removeprefix(" ") for word in text.split(";")]
        return text
