"""Drinks sold, drawn in bulk by their house doses: all of a list or nothing, and only once."""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from typing import TYPE_CHECKING

from steepboard.domain.bottles import Purpose
from steepboard.domain.dosing import converted_ml
from steepboard.domain.local_time import local_instant
from steepboard.domain.readings import Measured
from steepboard.errors import BadList, DrawnBefore, NotDrawnBy
from steepboard.services import bottle_shelf, doses
from steepboard.services.bottles import Drawn, write_draw
from steepboard.store import bottles as store
from steepboard.store import stock
from steepboard.text import clean

if TYPE_CHECKING:
    from pathlib import Path

    from steepboard.domain.bottles import Bottle
    from steepboard.domain.dosing import HouseDose
    from steepboard.services.desk import Desk

COLUMNS = ("date", "drink", "count")
MOST_BYTES = 5_000_000
"""Of a list; assumed, a year of a busy bar by far."""
_MOST_SOLD = 10_000  # of one drink on one day; assumed, more is a slip
_SHUTS = time(23, 59)  # when the draws of a past day are told; assumed
_LEAST_ML = 1e-6


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the list."""

    line: int
    day: date
    drink: str
    count: int


@dataclass(frozen=True, slots=True)
class Taken:
    """What was drawn from one bottle in all."""

    code: str
    name: str
    volume_ml: float


@dataclass(frozen=True, slots=True)
class Sold:
    """What came of a list."""

    drinks: int
    taken: tuple[Taken, ...]
    left_out: tuple[str, ...]
    """Drinks that have no house dose."""


@dataclass(frozen=True, slots=True)
class _Worked:
    """What a list comes to before it is written: each bottle, what is drawn of it, and when."""

    told: Sold
    draws: tuple[tuple[Bottle, Drawn, datetime], ...]


def read_file(path: Path) -> bytes:
    """Return what a list holds, no more than what may be read of one; raises `OSError`."""
    with path.open("rb") as file:
        return file.read(MOST_BYTES + 1)


def read_drawn(desk: Desk, path: Path) -> bytes:
    """Return what a list that was drawn by holds, nothing where it cannot be read any more.

    Raises `NotDrawnBy` for one that can be read and was not drawn by: a name alone may be that of
    another evening.
    """
    try:
        content = read_file(path)
    except OSError:
        return b""
    if content and not stock.drawn_by(desk.store, _digest(content)):
        at = stock.last_named(desk.store, _called(path.name))
        raise NotDrawnBy(_called(path.name), f"{desk.day(at)}" if at else "")
    return content


def preview(
    desk: Desk, name: str, content: bytes, now: datetime, *, known_only: bool = False
) -> Sold:
    """Return what would come of a list; refuses what `sold` refuses, and writes nothing."""
    return _worked(desk, _called(name), content, now, known_only=known_only).told


def sold(desk: Desk, name: str, content: bytes, now: datetime, *, known_only: bool = False) -> Sold:
    """Draw what the drinks of a list took, the bottle that was filled first before the others.

    `known_only` leaves out drinks without a house dose. Raises `BadList` with every bad row, and
    `DrawnBefore` for a list that was drawn by; then nothing is written.
    """
    name = _called(name)
    with desk.store.writing() as db:
        found = _worked(desk, name, content, now, known_only=known_only)
        act = store.next_act(db)
        for one, drawn, at in found.draws:
            write_draw(desk, db, one, drawn, Purpose.DOSE, act, at, note=f"by {name}")
        stock.keep_drawn_by(db, act, _digest(content), name, now)
    return found.told


def _worked(desk: Desk, name: str, content: bytes, now: datetime, *, known_only: bool) -> _Worked:
    if before := stock.drawn_by(desk.store, _digest(content)):
        raise DrawnBefore(name, f"{desk.day(before[1])}")
    known = _by_drink(desk)
    rows, faults = _read(content, desk.day(now))
    unknown = {row.drink for row in rows if row.drink.casefold() not in known}
    if unknown and not known_only:
        faults += [_no_dose(row) for row in rows if row.drink in unknown]
    rows = [row for row in rows if row.drink not in unknown]
    draws, short = _draws(desk, rows, known, now)
    faults += short
    if not faults and not draws:
        faults = [(1, "no drink of it has a house dose")]
    if faults:
        raise BadList(name, tuple(sorted(faults)))
    told = Sold(sum(row.count for row in rows), _taken(draws), tuple(sorted(unknown)))
    return _Worked(told, tuple(draws))


def _called(name: str) -> str:
    return clean(name, 80) or "the list"


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _by_drink(desk: Desk) -> Mapping[str, list[HouseDose]]:
    """Return the doses that go into a drink, by its name or by their own."""
    found: dict[str, list[HouseDose]] = {}
    for dose in doses.doses(desk):
        if dose.drink and dose.drink.name:
            found.setdefault(dose.drink.name.casefold(), []).append(dose)
        if not dose.drink or dose.drink.name.casefold() != dose.name.casefold():
            found.setdefault(dose.name.casefold(), []).append(dose)
    return found


def _no_dose(row: Row) -> tuple[int, str]:
    return row.line, f"“{row.drink}” has no house dose"


def _read(content: bytes, today: date) -> tuple[list[Row], list[tuple[int, str]]]:
    """Return the rows that can be read, and what is wrong with the others."""
    if len(content) > MOST_BYTES:
        return [], [(1, f"the list is longer than {MOST_BYTES:,} bytes")]
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = content.count(b"\n", 0, fault.start) + 1
        return [], [(line, "this is not text in UTF-8")]
    first = text.partition("\n")[0]
    reader = csv.reader(io.StringIO(text), delimiter=";" if ";" in first else ",", strict=True)
    rows: list[Row] = []
    faults: list[tuple[int, str]] = []
    try:
        head = [cell.strip().casefold() for cell in next(reader, [])]
        if sorted(head) != sorted(COLUMNS):
            return [], [(1, f"the first line must be {','.join(COLUMNS)}")]
        for line, cells in _lines(reader):
            row = dict(zip(head, cells, strict=False)) if len(cells) == len(head) else {}
            read = _row(line, row, today)
            if isinstance(read, Row):
                rows.append(read)
            else:
                faults.append((line, read))
    except csv.Error as fault:
        faults.append((reader.line_num, f"this is no CSV: {fault}"))
    return rows, faults


def _lines(reader: Iterator[list[str]]) -> Iterator[tuple[int, list[str]]]:
    """Yield each row with the line it begins on; empty lines are passed over."""
    begins = 2
    for cells in reader:
        if any(cell.strip() for cell in cells):
            yield begins, cells
        begins = reader.line_num + 1  # type: ignore[attr-defined]


def _row(line: int, cells: Mapping[str, str], today: date) -> Row | str:
    """Return a row, or what is wrong with it."""
    if not cells:
        return f"it must have {len(COLUMNS)} cells"
    drink, count = clean(cells["drink"], 80), cells["count"].strip()
    try:
        day = date.fromisoformat(cells["date"].strip())
    except ValueError:
        return f"“{clean(cells['date'], 40)}” is not a day such as 2026-03-02"
    if day > today:
        return f"{day} is still to come"
    if not drink:
        return "no drink is named"
    if not (count.isascii() and count.isdigit() and len(count) <= 6 and int(count) <= _MOST_SOLD):
        return f"“{clean(count, 40)}” is not a whole number from 0 to {_MOST_SOLD}"
    return Row(line, day, drink, int(count))


def _draws(
    desk: Desk, rows: list[Row], known: Mapping[str, list[HouseDose]], now: datetime
) -> tuple[list[tuple[Bottle, Drawn, datetime]], list[tuple[int, str]]]:
    """Return what each row takes from which bottle, by day; and the rows that lack something."""
    shelf: dict[str, list[Bottle]] = {}
    for one in sorted(bottle_shelf.bottles(desk), key=lambda b: (b.filled_at, b.tag.id)):
        shelf.setdefault(one.tag.name.casefold(), []).append(one)
    draws: list[tuple[Bottle, Drawn, datetime]] = []
    faults: list[tuple[int, str]] = []
    for row in sorted(rows, key=lambda row: (row.day, row.line)):
        at = min(local_instant(row.day, _SHUTS, desk.zone), now)
        for dose in known[row.drink.casefold()]:
            missing_ml = _take(shelf.get(dose.of.casefold(), []), dose, row, at, draws)
            if missing_ml > _LEAST_ML:
                told = f"{row.drink} needs {missing_ml:.1f} mL more of {dose.of} than stands"
                faults.append((row.line, told))
    return draws, faults


def _take(
    stand: list[Bottle],
    dose: HouseDose,
    row: Row,
    at: datetime,
    draws: list[tuple[Bottle, Drawn, datetime]],
) -> float:
    """Draw a row's doses from the bottles that stand; return the mL that they lack."""
    wanted = dose.volume_ml * row.count  # of the reference intensity
    for place, one in enumerate(stand):
        if wanted <= _LEAST_ML:
            break
        if one.left_ml <= _LEAST_ML or one.liquid.intensity <= 0.0:
            continue
        each = converted_ml(dose, one.liquid.intensity) / dose.volume_ml
        ml = min(wanted * each, one.left_ml)
        typed = f"{row.count} × {row.drink}, {dose.name}"
        draws.append((one, Drawn(Measured(ml, 0.0), typed, dose.name, doses.POURED_U), at))
        stand[place] = replace(one, left_ml=one.left_ml - ml)
        wanted -= ml / each
    return max(wanted, 0.0)


def _taken(draws: list[tuple[Bottle, Drawn, datetime]]) -> tuple[Taken, ...]:
    found: dict[str, Taken] = {}
    for one, drawn, _ in draws:
        before = found.get(one.code, Taken(one.code, one.tag.name, 0.0))
        found[one.code] = replace(before, volume_ml=before.volume_ml + drawn.volume.value)
    return tuple(found[code] for code in sorted(found))
