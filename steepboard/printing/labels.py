"""Labels for bottles: what must be read first is large, what burns or bites is marked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime
from typing import TypeVar

from steepboard.errors import DoesNotFit
from steepboard.printing.flow import READ_PT, SMALL_PT, Field, Line, Overflow, fit
from steepboard.printing.pen import TIE, Pen, Style
from steepboard.printing.sheets import Box, Sheet, sheets

KEEP_AWAY = "Strong spirit. Keep away from flame and children."
HOT, MIND = "HOT", "!"
_CODE_PART, _CODE_LEAST_MM, _CODE_MOST_MM = 0.48, 13.0, 26.0
"""The square of the code: its part of the height, and its side. Assumed; at 13 mm a module has
0.45 mm, and phones want 0.4 mm (from memory)."""
_QUIET = 4  # modules left white around it: ISO/IEC 18004
_MARK_GAP_MM = 1.0
_HAIRLINE_MM, _CUT_GREY = 0.1, 160
_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class LabelText:
    """All that a label says; what is empty or None is left out."""

    code: str
    name: str
    botanicals: str
    """With their Latin names."""
    spirit: str
    """What it was steeped in."""
    strength: str
    ratio: str
    bottled_on: date
    best_before: date | None = None
    allergens: tuple[str, ...] = ()
    hot: bool = False
    cautions: tuple[str, ...] = ()
    drops: str = ""
    """How many make a mL."""

    @property
    def marks(self) -> str:
        """What is seen before anything is read; empty where there is nothing to mind."""
        return "  ".join([*([HOT] if self.hot else []), *([MIND] if self.cautions else [])])

    @property
    def texts(self) -> tuple[str, ...]:
        """All of it that came from people or from the catalogue."""
        told = (getattr(self, field.name) for field in fields(self))
        plain = [one for one in told if isinstance(one, str)]
        return (*plain, *self.allergens, *self.cautions)


def labels_pdf(
    labels: Sequence[LabelText], sheet: Sheet, start: int, now: datetime, font: str = ""
) -> bytes:
    """Return the labels on their sheets, the first at place `start`, counted from 1.

    `font` is the file of a font of one's own. Raises `DoesNotFit`, which names the label, what of
    it is too long, and a sheet on which it fits; `Unprintable`, `FontUnusable`, `OutOfRange`.
    """
    pen = Pen((text for one in labels for text in one.texts), font, now, "Labels")
    return on_sheets(pen, labels, sheet, start, _draw)


def on_sheets(
    pen: Pen,
    items: Sequence[_T],
    sheet: Sheet,
    start: int,
    draw: Callable[[Pen, Sheet, Box, _T], None],
) -> bytes:
    """Return a document with each item drawn in a place of its own, between lines to cut along."""
    places = list(sheet.places(start, len(items)))
    for (page, cell), item in zip(places, items, strict=True):
        while pen.pdf.page < page + 1:
            pen.pdf.add_page(format=(sheet.page.width, sheet.page.height))
        if not sheet.roll:
            _cut_lines(pen, cell)
        with pen.pdf.rect_clip(cell.x, cell.y, cell.width, cell.height):
            draw(pen, sheet, cell, item)
    return pen.output()


def write_lines(pen: Pen, lines: Iterable[Line]) -> None:
    """Write lines where they were placed."""
    for line in lines:
        pen.write(line.x, line.y, line.text, line.style)


def _fields(label: LabelText) -> list[Field]:
    small, read = Style(SMALL_PT), Style(READ_PT, bold=True)
    bold = Style(SMALL_PT, bold=True)
    made = f"{label.strength} · {' in '.join(filter(None, (label.ratio, label.spirit)))}"
    dates = [f"Bottled {_day(label.bottled_on)}"]
    dates += [f"best before {_day(label.best_before)}"] if label.best_before else []
    allergens = f"Contains {', '.join(label.allergens)}" if label.allergens else ""
    cautions = f"Mind: {'; '.join(label.cautions)}" if label.cautions else ""
    return [
        Field("the name", label.name, read),
        Field("the code", label.code, read),
        Field("the list of botanicals", label.botanicals, small),
        Field("what it was steeped in", made, small),
        Field("the line of dates", "; ".join(filter(None, (*dates, label.drops))), small),
        Field("the list of allergens", allergens, bold, at_bottom=True),
        Field("the list of cautions", cautions, bold, at_bottom=True),
        Field("the warning", KEEP_AWAY, bold, at_bottom=True),
    ]


def _corner(sheet: Sheet, cell: Box, label: LabelText) -> tuple[Box, Box]:
    """Return the square of the code, and the corner that it takes together with the mark."""
    inside = sheet.inside(cell)
    side = min(max(_CODE_PART * inside.height, _CODE_LEAST_MM), _CODE_MOST_MM)
    square = Box(inside.x + inside.width - side, inside.y, side, side)
    marked = _MARK_GAP_MM + Style(READ_PT).line_mm if label.marks else 0.0
    return square, Box(square.x, square.y, side, side + marked)


def _lines(pen: Pen, sheet: Sheet, cell: Box, label: LabelText) -> tuple[Line, ...] | Overflow:
    _, corner = _corner(sheet, cell, label)
    return fit(_fields(label), sheet.inside(cell), pen, corner)


def _draw(pen: Pen, sheet: Sheet, cell: Box, label: LabelText) -> None:
    lines = _lines(pen, sheet, cell, label)
    if isinstance(lines, Overflow):
        larger = sorted(sheets().values(), key=lambda one: one.label_width * one.label_height)
        fitting = (
            one.name
            for one in larger
            if not isinstance(_lines(pen, one, one.cell(0), label), Overflow)
        )
        raise DoesNotFit(label.code, lines.what, sheet.label_size, next(fitting, ""))
    square, _ = _corner(sheet, cell, label)
    write_lines(pen, lines)
    _draw_code(pen, square, label.code)
    if label.marks:
        _draw_marks(pen, square, label.marks)


def _draw_code(pen: Pen, square: Box, code: str) -> None:
    """Draw the code as QR, with the white around it."""
    import segno

    modules = segno.make_qr(code, error="m").matrix
    module = square.width / (len(modules) + 2 * _QUIET)
    pen.pdf.set_fill_color(0)
    for row, bits in enumerate(modules):
        y, column = square.y + (row + _QUIET) * module, 0
        while column < len(bits):
            run = 1
            while column + run < len(bits) and bits[column + run] == bits[column]:
                run += 1
            if bits[column]:
                x = square.x + (column + _QUIET) * module
                pen.pdf.rect(x, y, run * module, module, style="F")
            column += run


def _draw_marks(pen: Pen, square: Box, marks: str) -> None:
    """Draw the marks below the code, white on black."""
    style = Style(READ_PT, bold=True, grey=255)
    y, high = square.y + square.height + _MARK_GAP_MM, style.line_mm
    pen.pdf.set_fill_color(0)
    pen.pdf.rect(square.x, y, square.width, high, style="F")
    pen.write(square.x + (square.width - pen.width_mm(marks, style)) / 2.0, y, marks, style)


def _cut_lines(pen: Pen, cell: Box) -> None:
    pen.pdf.set_line_width(_HAIRLINE_MM)
    pen.pdf.set_draw_color(_CUT_GREY)
    pen.pdf.rect(cell.x, cell.y, cell.width, cell.height)


def _day(day: date) -> str:
    return f"{day.day} {day:%b %Y}".replace(" ", TIE)
