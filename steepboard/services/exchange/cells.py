"""Cells of CSV (RFC 4180), written so that no spreadsheet works them out."""

from __future__ import annotations

import csv
import io
import re
from typing import TYPE_CHECKING

from steepboard.text import visible

if TYPE_CHECKING:
    from collections.abc import Iterable

_ACTS = r"[=+\-@＝＋－＠]"
"""What a spreadsheet takes for the start of a formula; the last four in its East Asian editions.
Published: OWASP, CSV Injection. Tabs and line ends, which it names too, are never in a cell."""
_ACTING = re.compile(rf"'*\s*{_ACTS}")
_DEFUSED = re.compile(rf"'+\s*{_ACTS}")


def line(cells: Iterable[object]) -> str:
    """Return a line of cells."""
    written = io.StringIO()
    csv.writer(written).writerow([cell(value) for value in cells])
    return written.getvalue()


def cell(value: object) -> object:
    """Return a cell: text that a spreadsheet would work out gets an apostrophe before it.

    So does text that would then look the same, for `text_of` to take it off again.
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        value = "; ".join(value)
    if not isinstance(value, str):
        return value
    seen = visible(value)
    return f"'{seen}" if _ACTING.match(seen) else seen


def text_of(written: str) -> str:
    """Return the text that `cell` wrote so."""
    return written[1:] if _DEFUSED.match(written) else written
