"""Reading CSV as people and spreadsheets write it, a row at a time."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING

from steepboard.errors import BadDocument

if TYPE_CHECKING:
    from collections.abc import Iterator

MARK = b"\xef\xbb\xbf"
"""The sign of UTF-8, which spreadsheets put before it."""
_LONGEST = 1 << 20  # bytes of a line; assumed, a row has a few thousand at most
_OLD_LINES = "its lines end as nowhere else today; have the spreadsheet save it as CSV in UTF-8"
_COMMA = re.compile(r"^(\s*[-+−]?\s*[0-9]*),(?=[0-9])")


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the line that it begins on, its cells by their heads, or what is wrong with it."""

    line: int
    cells: dict[str, str]
    fault: str = ""


class Sheet:
    """A file of CSV: comma, semicolon or tab between its cells, as its first line has it."""

    def __init__(self, file: IO[bytes], name: str) -> None:
        """Read the heads; raises `BadDocument` for what is no such file."""
        self.name = name
        lines = _lines(file, name)
        first = next(lines, "")
        if not first.strip():
            raise BadDocument(name, 1, "the first line is empty, and should hold the heads")
        between = next((one for one in ";\t" if one in first), ",")
        self.has_decimal_comma = between != ","
        """Whether it is a file of a country that writes 1,5 for one and a half."""
        self._reader = csv.reader(_with(first, lines), delimiter=between, strict=True)
        heads = [head.strip().casefold() for head in self._next() or ()]
        while heads and not heads[-1]:
            heads.pop()
        self.heads = tuple(heads)
        twice = next((head for head in heads if heads.count(head) > 1), None)
        if twice is not None:
            raise BadDocument(name, 1, f"the head “{twice[:40]}” is there twice")

    def rows(self) -> Iterator[Row]:
        """Yield each row; empty lines are passed over. Raises `BadDocument`."""
        begins = self._reader.line_num + 1
        while (cells := self._next()) is not None:
            if any(cell.strip() for cell in cells):
                yield self._row(begins, cells)
            begins = self._reader.line_num + 1

    def pointed(self, cell: str) -> str:
        """Return a number with the point that this file writes as a comma."""
        return _COMMA.sub(r"\1.", cell) if self.has_decimal_comma else cell

    def _row(self, line: int, cells: list[str]) -> Row:
        wide = len(self.heads)
        if len(cells) < wide or any(cell.strip() for cell in cells[wide:]):
            told = f"{len(cells)} cell{'s' * (len(cells) != 1)}"
            return Row(line, {}, f"it has {told}, and there are {wide} heads")
        return Row(line, dict(zip(self.heads, cells, strict=False)))

    def _next(self) -> list[str] | None:
        try:
            return next(self._reader, None)
        except csv.Error as fault:
            told = _OLD_LINES if "new-line" in str(fault) else f"this is no CSV: {fault}"
            raise BadDocument(self.name, self._reader.line_num, told) from fault


def _with(first: str, lines: Iterator[str]) -> Iterator[str]:
    yield first
    yield from lines


def _lines(file: IO[bytes], name: str) -> Iterator[str]:
    number = 1
    try:
        piece = file.readline(_LONGEST).removeprefix(MARK)
        while piece:
            if len(piece) == _LONGEST:
                raise BadDocument(name, number, "this line is too long for a row")
            yield piece.decode()
            number += 1
            piece = file.readline(_LONGEST)
    except OSError as fault:
        raise BadDocument(name, number, (fault.strerror or "it cannot be read").lower()) from fault
    except UnicodeDecodeError as fault:
        told = "this is not text in UTF-8; have the spreadsheet save it as CSV in UTF-8"
        raise BadDocument(name, number, told) from fault
