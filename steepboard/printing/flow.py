"""Fitting fields of text into a box: as large as goes, wrapped, never smaller than can be read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from steepboard.printing.pen import Pen, Style
from steepboard.printing.sheets import Box

READ_PT = 11.0
"""The least size of what is read at arm's length. Its capitals are 2.8 mm high, which at 600 mm is
16 minutes of arc: the least for a screen by ISO 9241-303 (from memory)."""
SMALL_PT = 6.6
"""The least size of all else. Its small x is 1.2 mm high: the least for what must stand on food by
Regulation (EU) No 1169/2011, Article 13(2) (published, read second-hand)."""
_LARGEST, _STEPS = 2.0, 20  # times the least size; assumed, larger looks no better
_MOST_GAP_MM = 1.2  # between two fields; assumed
_CORNER_GAP_MM = 1.5  # between text and what stands in the corner; assumed


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that a label says, in the smallest type that it may be set in."""

    what: str
    """Its name for people, say `the name`."""
    text: str
    style: Style
    at_bottom: bool = False
    """It stands at the lower edge, as does all that follows it."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line in its place, in mm from the upper left of the page."""

    x: float
    y: float
    text: str
    style: Style


@dataclass(frozen=True, slots=True)
class Overflow:
    """That a box is too small, and which field takes the most of it."""

    what: str


def fit(
    fields: Sequence[Field], box: Box, pen: Pen, corner: Box | None = None
) -> tuple[Line, ...] | Overflow:
    """Return the lines of all fields inside a box, in the largest type that goes.

    `corner` is the part of the box at its upper right that stays free.
    """
    told = [field for field in fields if field.text]
    placed: tuple[Line, ...] | Overflow = ()
    for step in range(_STEPS + 1):
        scale = _LARGEST - (_LARGEST - 1.0) * step / _STEPS
        larger = [replace(field, style=field.style.scaled(scale)) for field in told]
        placed = _placed(larger, box, pen, corner)
        if not isinstance(placed, Overflow):
            break
    return placed


def _placed(
    fields: Sequence[Field], box: Box, pen: Pen, corner: Box | None
) -> tuple[Line, ...] | Overflow:
    blocks: list[list[Line]] = []
    y = box.y
    for field in fields:
        block = _block(field, y, box, pen, corner)
        if not block:
            return Overflow(field.what)
        blocks.append(block)
        y += len(block) * field.style.line_mm
    slack = box.y + box.height - y
    if slack < 0.0:
        heights = [len(b) * f.style.line_mm for b, f in zip(blocks, fields, strict=True)]
        return Overflow(fields[heights.index(max(heights))].what)
    top = sum(not field.at_bottom for field in fields)
    gap = min(_MOST_GAP_MM, slack / max(top, 1))
    return tuple(
        replace(line, y=line.y + (number * gap if number < top else slack))
        for number, block in enumerate(blocks)
        for line in block
    )


def _block(field: Field, y: float, box: Box, pen: Pen, corner: Box | None) -> list[Line]:
    high, style = field.style.line_mm, pen.suited(field.text, field.style)

    def room(number: int) -> float:
        beside = corner and y + number * high < corner.y + corner.height + _CORNER_GAP_MM
        return corner.x - _CORNER_GAP_MM - box.x if corner and beside else box.width

    texts = pen.lines(field.text, style, room) or []
    return [Line(box.x, y + n * high, text, style) for n, text in enumerate(texts)]
