"""Lines and tables within the width of a terminal; into a file or a pipe they go whole."""

from __future__ import annotations

import os
import re
import shutil
import sys
import unicodedata
from collections.abc import Sequence

# What is not parted: a command to type, a number and its unit, a word.
_WORD = re.compile(r" *(?:`[^`]*`[^\s`]*|[\d.]+ (?:mL|g|kg|L|%|°C)\S*|\S+)")
_HEAD = re.compile(r" *(?:(?:[-+=]|!!?|\?|\d+\.) )?")


def columns() -> int | None:
    """Return how wide a line may be, as COLUMNS or the terminal says; None where none reads."""
    said = os.environ.get("COLUMNS", "")
    if said.isascii() and said.isdigit() and int(said):
        return int(said)
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None


def width(text: str) -> int:
    """Return the columns that a text takes on a terminal."""
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in text
    )


def folded(text: str, room: int | None) -> list[str]:
    """Return a text as lines of at most `room` columns, all but the first set in as it begins.

    A word that is longer stays whole, so that a path can be copied.
    """
    if room is None or width(text) <= room:
        return [text]
    start = _start(text)
    lines, line = [], text[:start]
    for word in _WORD.findall(text[start:]):
        if line.strip() and width(line) + width(word) > room:
            lines.append(line.rstrip())
            line = " " * start + word.lstrip()
        else:
            line += word
    return [*lines, line.rstrip()]


def table(rows: Sequence[Sequence[str]], gap: str, room: int | None) -> list[str]:
    """Return rows as lines, their columns aligned, the widest folded until they fit `room`."""
    widths = [max(map(width, column)) for column in zip(*rows, strict=True)]
    if room is not None:
        floors = [max(map(_least, column)) for column in zip(*rows, strict=True)]
        _narrow(widths, floors, room - len(gap) * (len(widths) - 1))
    lines = []
    for row in rows:
        cells = [folded(cell, wide) for cell, wide in zip(row, widths, strict=True)]
        for at in range(max(map(len, cells))):
            parts = (cell[at] if at < len(cell) else "" for cell in cells)
            padded = (p + " " * (w - width(p)) for p, w in zip(parts, widths, strict=True))
            lines.append(gap.join(padded).rstrip())
    return lines


def _least(cell: str) -> int:
    start = _start(cell)
    return max((start + width(word.lstrip()) for word in _WORD.findall(cell[start:])), default=0)


def _start(text: str) -> int:
    head = _HEAD.match(text)
    return head.end() if head else 0


def _narrow(widths: list[int], floors: Sequence[int], room: int) -> None:
    """Take from the widest that can give, one at a time, until all fit or none can."""
    while sum(widths) > room:
        able = [at for at, wide in enumerate(widths) if wide > floors[at]]
        if not able:
            return
        widths[max(able, key=widths.__getitem__)] -= 1
