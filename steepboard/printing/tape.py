"""Tape for jars: the code, what is in it, when it was charged and when it is to be strained."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from steepboard.errors import DoesNotFit
from steepboard.printing.flow import READ_PT, Field, Overflow, fit
from steepboard.printing.labels import on_sheets, write_lines
from steepboard.printing.pen import Pen, Style
from steepboard.printing.sheets import Box, Sheet

_WHAT_PT = 8.0  # read with the jar in hand; above the least size of `flow`


@dataclass(frozen=True, slots=True)
class TapeText:
    """What a strip of tape says."""

    code: str
    what: str
    charged: str
    strain: str


def tape_pdf(
    tapes: Sequence[TapeText], sheet: Sheet, start: int, now: datetime, font: str = ""
) -> bytes:
    """Return the strips; raises as `labels_pdf` does."""
    texts = (text for one in tapes for text in (one.code, one.what))
    return on_sheets(Pen(texts, font, now, "Jar tape"), tapes, sheet, start, _draw)


def _draw(pen: Pen, sheet: Sheet, cell: Box, tape: TapeText) -> None:
    fields = [
        Field("the code", tape.code, Style(READ_PT + 2.0, bold=True)),
        Field("what is in it", tape.what, Style(_WHAT_PT)),
        Field(
            "the line of days",
            f"{tape.charged}  ·  {tape.strain}",
            Style(_WHAT_PT, bold=True),
            True,
        ),
    ]
    lines = fit(fields, sheet.inside(cell), pen)
    if isinstance(lines, Overflow):
        raise DoesNotFit(tape.code, lines.what, sheet.label_size, "")
    write_lines(pen, lines)
