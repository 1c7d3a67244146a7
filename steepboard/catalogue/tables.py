"""Files of rows that people can read and override, each row by its id, cell by cell."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from math import isfinite
from pathlib import Path

from steepboard.errors import BadCatalogue, UnknownWord
from steepboard.text import clean

GIVEN = "given by you"
STANDINGS = ("published", "common practice", "from memory", "measured here", "assumed", GIVEN)
"""How a figure was obtained; each source begins with one of them."""
LONGEST = 300  # characters of a cell; assumed, the longest of ours has half of it
_ID = re.compile(r"\w[\w-]*")


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of a line by column, over those of the row that it changes."""

    where: str
    """The file, or what else the cells come from."""
    line: int | None
    cells: Mapping[str, str]
    own: bool = False
    under: Row | None = None

    def __getitem__(self, column: str) -> str:
        """Return what stands in a column, empty where nothing does."""
        found = self.cells.get(column, "")
        return found if found or self.under is None else self.under[column]

    def over(self, under: Row | None) -> Row:
        """Return this row as a change of another."""
        return replace(self, under=under)

    def top(self, columns: Sequence[str]) -> Row | None:
        """Return the uppermost row that fills one of these columns."""
        for column in columns:
            if self.cells.get(column):
                return self
        return self.under.top(columns) if self.under else None

    def down_to(self, layer: Row) -> Row:
        """Return this row without what lies under one of its layers."""
        if self is layer or self.under is None:
            return replace(self, under=None)
        return replace(self, under=self.under.down_to(layer))

    def fault(self, column: str, reason: str, *beside: str) -> BadCatalogue:
        """Return the fault of what stands in a column, or does not fit what stands beside it.

        It names the place where it stands; of several, the uppermost, which a person can mend.
        """
        row = self.top((column, *beside)) or self
        if row.line is None:  # not of a file: the person never saw the names of columns
            column, reason = column.replace("_", " "), reason.replace("_", " ")
        return BadCatalogue(row.where, row.line, column, reason)

    def number(self, column: str, low: float, high: float) -> float | None:
        """Return the number in a column, if there is one; raises BadCatalogue."""
        text = self[column]
        if not text:
            return None
        try:
            value = float(text.replace(",", "."))
        except ValueError:
            value = float("nan")
        if not (isfinite(value) and low <= value <= high):
            raise self.fault(column, f"“{text}” must be a number from {low:g} to {high:g}")
        return value

    def rising(self, columns: Sequence[str], low: float, high: float) -> tuple[float | None, ...]:
        """Return the numbers in columns that must not fall from one to the next."""
        values = tuple([self.number(column, low, high) for column in columns])
        before, least = "", low
        for column, value in zip(columns, values, strict=True):
            if value is None:
                continue
            if value < least:
                told = f"{value:g} must not be less than the {least:g} of {before}"
                raise self.fault(column, told, before)
            before, least = column, value
        return values

    def one_of(self, column: str, known: Sequence[str], usual: str) -> str:
        """Return the word in a column, `usual` for none; raises BadCatalogue for another."""
        word = self[column] or usual
        if word not in known:
            raise self.fault(column, f"“{word}” must be one of {', '.join(known)}")
        return word

    def listed(self, column: str) -> tuple[str, ...]:
        """Return what stands in a column, parted by semicolons."""
        text = self[column]
        return tuple([word for word in map(str.strip, text.split(";")) if word]) if text else ()


Rows = Mapping[str, Row]
"""Rows by their id, or by whatever stands in the first column."""


def read(path: Path, columns: Sequence[str], *, own: bool) -> dict[str, Row]:
    """Return the rows of a CSV file; raises BadCatalogue, which names file, line and column.

    Lines that begin with # are remarks. A file of one's `own` may leave columns out, and what
    stands in it is made plain.
    """
    where = str(path) if own else path.name
    rows: dict[str, Row] = {}
    head: list[str] | None = None
    for line, cells in _lines(path, where):
        if head is None:
            head = _head(where, line, cells, columns)
            continue
        taken = [clean(cell, LONGEST) for cell in cells] if own else cells
        while len(taken) > len(head) and not taken[-1]:  # a spreadsheet fills lines up
            taken.pop()
        if len(taken) > len(head):
            raise BadCatalogue(where, line, None, "more cells than columns; text with a comma "
                               "wants quotes around it")  # fmt: skip
        row = Row(where, line, dict(zip(head, taken, strict=False)), own)
        id_ = row[columns[0]]
        if not _ID.fullmatch(id_):
            raise row.fault(columns[0], f"“{id_}” must be letters, digits and hyphens")
        if id_ in rows:
            raise row.fault(columns[0], f"“{id_}” stands in line {rows[id_].line} already")
        rows[id_] = row
    return rows


def overlaid(under: Rows, over: Rows) -> dict[str, Row]:
    """Return the rows of `over`, each as a change of the one of the same id below, if any."""
    return {id_: row.over(under.get(id_)) for id_, row in over.items()}


def source(row: Row, column: str, values: Sequence[str], sources: Mapping[str, str]) -> str:
    """Return where the values of a group come from: a code of the sources, or words of one's own.

    Values that a person gives without saying from where are given by that person.
    """
    layer = row.top(values) if row.own else row
    own = layer is not None and layer.own
    cell = layer.cells.get(column, "") if layer and own else row[column]
    if not cell:
        return GIVEN if own else ""
    code, _, detail = cell.partition(" ")
    if code in sources:
        return sources[code].replace("{}", detail) if detail else sources[code]
    if cell.startswith(STANDINGS):
        return cell
    raise row.fault(column, f"“{code}” is not a source. {nearest(code, sources)}")


def nearest(word: str, known: Mapping[str, object] | Sequence[str]) -> str:
    """Return a sentence, without its stop, that names the known word next to another."""
    near = get_close_matches(word, list(known), n=1, cutoff=0.0)
    return f"The nearest is {near[0]}" if near else "There is none"


def unknown(word: str, what: str, known: Sequence[str]) -> UnknownWord:
    """Return the fault of a word that is none of those known; some that begin as it does, or all.

    `what` is what it should be, say `a caution`.
    """
    begun = tuple(one for one in known if one.startswith(word))
    return UnknownWord(word, what, nearest(word, known), begun or tuple(known))


def _lines(path: Path, where: str) -> Iterator[tuple[int, list[str]]]:
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.reader(file, strict=True)
            for cells in reader:
                if cells and any(cells) and not cells[0].startswith("#"):
                    yield reader.line_num, cells
    except OSError as fault:
        raise BadCatalogue(where, None, None, (fault.strerror or "unreadable").lower()) from fault
    except UnicodeDecodeError as fault:
        raise BadCatalogue(where, None, None, "it must be saved as UTF-8") from fault
    except csv.Error as fault:
        raise BadCatalogue(where, reader.line_num, None, str(fault)) from fault


def _head(where: str, line: int, cells: list[str], columns: Sequence[str]) -> list[str]:
    head = [cell.strip() for cell in cells]
    while head and not head[-1]:
        head.pop()
    for name in head:
        if name not in columns:
            reason = f"this is not a column. {nearest(name, columns)}"
            raise BadCatalogue(where, line, clean(name, 40) or None, reason)
    if twice := next((name for name in head if head.count(name) > 1), None):
        raise BadCatalogue(where, line, twice, "this column stands here twice")
    if columns[0] not in head:
        raise BadCatalogue(where, line, columns[0], "this column is missing")
    return head
