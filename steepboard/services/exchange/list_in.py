"""A list that people keep by hand, taken into a shelf in use: all of it or nothing."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from math import isclose
from typing import IO, TYPE_CHECKING, Any

from steepboard.errors import BadCell, BadDocument, RecordUnusable, SteepboardError
from steepboard.services.exchange.cells import cell, text_of
from steepboard.services.exchange.faults import Faults
from steepboard.services.exchange.kept import KEPT
from steepboard.services.exchange.sheets import Sheet

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from steepboard.services.desk import Desk
    from steepboard.services.exchange.kept import Kept, Values
    from steepboard.services.exchange.readers import Column
    from steepboard.services.exchange.sheets import Row

_SAME = 1e-6
"""Of a number, within which it is the same: a spreadsheet may save nine digits; from memory."""


@dataclass(frozen=True, slots=True)
class Change:
    """A row that says something else than what was kept."""

    line: int
    told: str
    """`neutral spirit: amount 19.20 instead of 18.40`."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a list."""

    new: int
    same: int
    replaced: tuple[Change, ...]


def take_in(
    desk: Desk, list_: str, file: IO[bytes], name: str, now: datetime, *, replace: bool = False
) -> Outcome:
    """Keep what each row of a list says, by the same rules as if it were said alone.

    Where a row says something else than what is kept, it is refused, or takes its place with
    `replace`. Raises `BadDocument`, and `BadRows` with every bad row; then nothing is written.
    """
    sheet = Sheet(file, name)
    with desk.store.transaction():
        taking = _Taking(list_, KEPT[list_](desk, now), sheet, replace=replace)
        for row in sheet.rows():
            taking.take(row)
        taking.faults.end()
    return Outcome(taking.new, taking.same, tuple(taking.replaced))


class _Taking:
    """How far a list was taken in, and what stands against it."""

    def __init__(self, list_: str, kept: Kept, sheet: Sheet, *, replace: bool) -> None:
        _check_heads(list_, kept, sheet)
        self.new, self.same, self.replaced = 0, 0, list[Change]()
        self.faults = Faults(sheet.name)
        self._kept, self._sheet, self._replace = kept, sheet, replace
        self._before = {kept.key(told): told for told in kept.rows()}
        self._lines: dict[Hashable, int] = {}

    def take(self, row: Row) -> None:
        """Take one row, or say what stands against it."""
        if row.fault:
            self.faults.add(row.line, row.fault)
            return
        told = dict(self._read(row))
        if len(told) < len(self._sheet.heads):
            return  # a cell is at fault
        try:
            self._take(row, told)
        except RecordUnusable:
            raise
        except SteepboardError as fault:
            self.faults.add(row.line, str(fault))

    def _take(self, row: Row, told: Values) -> None:
        new = {head: column.empty for head, column in self._kept.columns.items()}
        told = self._kept.completed(new | told)
        key = self._kept.key(told)
        if key in self._lines:
            self.faults.add(row.line, f"{told['name']} is on line {self._lines[key]} already")
            return
        self._lines[key] = row.line
        before = self._before.get(key)
        if before is None:
            self._kept.keep(told)
            self.new += 1
            return
        heads = [head for head in self._sheet.heads if head not in self._kept.named]
        wrong = [head for head in heads if _differs(told[head], before[head])]
        if not wrong:
            self.same += 1
        elif self._replace:
            self._kept.keep({**before, **{head: told[head] for head in wrong}})
            self.replaced.append(Change(row.line, _changed(before, told, wrong)))
        else:
            told_now = "; ".join(
                f"{head} is {_shown(before[head])} here and {_shown(told[head])} in the file"
                for head in wrong
            )
            self.faults.add(row.line, f"{before['name']}: {told_now}. --replace takes the file's")

    def _read(self, row: Row) -> Iterator[tuple[str, Any]]:
        """Yield what each cell says; tells of each that says nothing that can be understood."""
        for head, text in row.cells.items():
            column = self._kept.columns[head]
            try:
                yield head, self._value(column, text)
            except SteepboardError as fault:
                self.faults.add(row.line, f"{head}: {fault}")

    def _value(self, column: Column, written: str) -> Any:
        text = self._sheet.pointed(written) if column.is_number else text_of(written)
        found = column.read(text) if text.strip() else column.empty
        if column.needed and found in (None, ""):  # also where all of it acts unseen
            raise BadCell("it is empty")
        return found


def _check_heads(list_: str, kept: Kept, sheet: Sheet) -> None:
    """Refuse a list without the heads that it needs, or with one that is not known."""
    known = ", ".join(kept.columns)
    needed = [head for head, column in kept.columns.items() if column.needed]
    lacking = [head for head in needed if head not in sheet.heads]
    unknown = [head for head in sheet.heads if head not in kept.columns]
    if len(unknown) == len(sheet.heads):
        told = f"this is no list of {list_}: its first line has none of the heads {known}"
        raise BadDocument(sheet.name, 1, told)
    if unknown:
        told = ", ".join(f"“{cell(head[:40])}”" for head in unknown)
        raise BadDocument(sheet.name, 1, f"the head {told} is not known; there are {known}")
    if lacking:
        raise BadDocument(sheet.name, 1, f"the head {', '.join(lacking)} is missing")


def _changed(before: Values, told: Values, heads: list[str]) -> str:
    parts = (f"{head} {_shown(told[head])} instead of {_shown(before[head])}" for head in heads)
    return f"{before['name']}: {'; '.join(parts)}"


def _differs(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return not isclose(one, other, rel_tol=_SAME)
    return bool(one != other)


def _shown(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:.7g}"
    return str(cell(value)) if value not in (None, "", ()) else "nothing"
