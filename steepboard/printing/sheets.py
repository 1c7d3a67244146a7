"""The sheets that labels are printed on, and the place of each label; all in mm."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from steepboard.errors import OutOfRange, UnknownSheet

PADDING_MM = 2.0
"""Kept free inside the edge of a label. Assumed: sheets are drawn in askew by a mm or two."""
_UNPRINTED_MM = 4.5
"""Kept free at the edge of a sheet. From memory: office printers leave 4.2 mm white."""
_PAPERS = {(210.0, 297.0): "A4", (215.9, 279.4): "Letter"}  # ISO 216; ANSI Y14.1
_PACKAGE = Path(__file__).resolve().parents[1]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle from its upper left."""

    x: float
    y: float
    width: float
    height: float

    def within(self, other: Box, margin: float) -> Box:
        """Return what of it lies inside `other` less a margin."""
        left, top = max(self.x, other.x + margin), max(self.y, other.y + margin)
        right = min(self.x + self.width, other.x + other.width - margin)
        bottom = min(self.y + self.height, other.y + other.height - margin)
        return Box(left, top, right - left, bottom - top)


@dataclass(frozen=True, slots=True)
class Sheet:
    """Labels of one size on a page; on a roll each is a page."""

    name: str
    page: Box
    label_width: float
    label_height: float
    columns: int = 1
    rows: int = 1
    gap_across: float = 0.0
    gap_down: float = 0.0
    roll: bool = False

    @property
    def count(self) -> int:
        """How many labels a page has."""
        return self.columns * self.rows

    @property
    def label_size(self) -> str:
        """The size of one label for people."""
        return f"a label of {self.label_width:g} × {self.label_height:g} mm"

    def __str__(self) -> str:
        """Return its name and what it is."""
        if self.roll:
            return f"{self.name} (roll, {self.label_width:g} × {self.label_height:g} mm)"
        paper = _PAPERS[self.page.width, self.page.height]
        size = f"{self.label_width:g} × {self.label_height:g} mm"
        return f"{self.name} ({paper}, {self.columns} by {self.rows}, {size})"

    def cell(self, number: int) -> Box:
        """Return the place of a label on its page, counted from 0 row by row."""
        row, column = divmod(number, self.columns)
        step_across, step_down = (
            self.label_width + self.gap_across,
            self.label_height + self.gap_down,
        )
        left = (self.page.width - self.columns * step_across + self.gap_across) / 2.0
        top = (self.page.height - self.rows * step_down + self.gap_down) / 2.0
        x, y = left + column * step_across, top + row * step_down
        return Box(x, y, self.label_width, self.label_height)

    def inside(self, cell: Box) -> Box:
        """Return what of a label's place may be written on."""
        inner = cell.within(cell, PADDING_MM)
        return inner if self.roll else inner.within(self.page, _UNPRINTED_MM)

    def places(self, start: int, wanted: int) -> Iterator[tuple[int, Box]]:
        """Yield page (from 0) and cell of `wanted` labels, the first at `start`, counted from 1.

        Raises `OutOfRange` for a start that the sheet does not have.
        """
        if not 1 <= start <= self.count:
            raise OutOfRange("first label", start, f"from 1 to {self.count} on {self.name}")
        for number in range(start - 1, start - 1 + wanted):
            page, on_page = divmod(number, self.count)
            yield page, self.cell(on_page)


@cache
def sheets() -> Mapping[str, Sheet]:
    """Return the sheets by name."""
    return {name: _sheet(name, **told) for name, told in document()["sheets"].items()}


def sheet(name: str) -> Sheet:
    """Return the sheet of a name; raises `UnknownSheet`."""
    if name not in sheets():
        raise UnknownSheet(name, tuple(map(str, sheets().values())))
    return sheets()[name]


@cache
def document() -> Mapping[str, Any]:
    """Return the file of sheets: inside the installed package, or beside it in a checkout."""
    inside = _PACKAGE / "config" / "labels.toml"
    path = inside if inside.is_file() else _PACKAGE.parent / "config" / "labels.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _sheet(
    name: str,
    label: tuple[float, float],
    page: tuple[float, float] | None = None,
    gap: tuple[float, float] = (0.0, 0.0),
    columns: int = 1,
    rows: int = 1,
    *,
    roll: bool = False,
) -> Sheet:
    width, height = page or label
    return Sheet(name, Box(0.0, 0.0, width, height), *label, columns, rows, *gap, roll=roll)
