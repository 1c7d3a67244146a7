"""Plain text for people, aligned, and JSON for programs; text from people is made visible."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

import click

from steepboard.text import visible

if TYPE_CHECKING:
    from enum import StrEnum

    from steepboard.domain.findings import Finding
    from steepboard.domain.quiet import Away

json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for programs.")


def say(text: str = "", *, to_stderr: bool = False) -> None:
    """Print one line; whatever is in it stays on that line."""
    click.echo(visible(text), err=to_stderr)


def say_json(value: object) -> None:
    """Print a value as JSON in plain ASCII, so that no text in it can act on a terminal."""
    click.echo(json.dumps(value, allow_nan=False))


def say_table(rows: Iterable[Sequence[str]], *, gap: str = "  ") -> None:
    """Print rows with their columns aligned, indented by two spaces."""
    shown = [[visible(cell) for cell in row] for row in rows]
    widths = [max(map(_width, column)) for column in zip(*shown, strict=True)]
    for row in shown:
        cells = (cell + " " * (wide - _width(cell)) for cell, wide in zip(row, widths, strict=True))
        click.echo(("  " + gap.join(cells)).rstrip())


def volume(ml: float) -> str:
    """Return a volume for people."""
    return f"{ml:.1f} mL"


def mass(g: float) -> str:
    """Return a mass for people."""
    return f"{g:.1f} g"


def day(value: date) -> str:
    """Return a day for people, in the same width for each."""
    return f"{value:%a} {value.day:2d} {value:%b %Y}"


def days(count: int) -> str:
    """Return so many days for people."""
    return f"{count} day{'' if count == 1 else 's'}"


def away_line(away: Away) -> str:
    """Return the days away for people."""
    if away.first == away.last:
        return f"Away on {day(away.first)}: nothing is said on that day."
    return f"Away from {day(away.first)} to {day(away.last)}: nothing is said on these days."


def word(value: StrEnum) -> str:
    """Return a state, a kind or a measure for programs, without spaces."""
    return value.value.replace(" ", "_")


def iso(value: date | datetime | None) -> str | None:
    """Return a day or an instant for programs."""
    return value.isoformat() if value else None


def finding_rows(findings: Iterable[Any]) -> list[dict[str, str]]:
    """Return findings for programs."""
    return [{"code": f.code, "severity": f.severity.value, "text": f.text} for f in findings]


def say_findings(findings: Iterable[Finding]) -> None:
    """Print findings, one a line; what asks for something is marked."""
    for finding in findings:
        mark = {"note": "-", "warn": "!", "stop": "!!"}[finding.severity.value]
        say(f"{mark} {finding.text}")


def shortened(text: str, columns: int) -> str:
    """Return a text that takes at most so many columns; one that is cut ends in `…`."""
    text = visible(text)
    if _width(text) <= columns:
        return text
    while text and _width(text) >= columns:
        text = text[:-1]
    return f"{text}…"


def _width(text: str) -> int:
    """Return the columns that a text takes on a terminal."""
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in text
    )
