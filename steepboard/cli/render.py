"""Plain text for people, aligned, and JSON for programs; text from people is made visible."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Any

import click

from steepboard.text import visible

json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for programs.")


def say(text: str = "", *, to_stderr: bool = False) -> None:
    """Print one line; whatever is in it stays on that line."""
    click.echo(visible(text), err=to_stderr)


def say_json(value: object) -> None:
    """Print a value as JSON in plain ASCII, so that no text in it can act on a terminal."""
    click.echo(json.dumps(value, allow_nan=False))


def say_table(rows: Iterable[Sequence[str]], *, indent: str = "  ") -> None:
    """Print rows with their columns aligned."""
    shown = [[visible(cell) for cell in row] for row in rows]
    widths = [max(map(_width, column)) for column in zip(*shown, strict=True)]
    for row in shown:
        cells = (cell + " " * (wide - _width(cell)) for cell, wide in zip(row, widths, strict=True))
        click.echo((indent + "  ".join(cells)).rstrip())


def volume(ml: float) -> str:
    """Return a volume for people."""
    return f"{ml:.1f} mL"


def mass(g: float) -> str:
    """Return a mass for people."""
    return f"{g:.1f} g"


def percent(fraction: float | None) -> str:
    """Return a fraction for people; None is what no hydrometer could read."""
    return "off its scale" if fraction is None else f"{100 * fraction:.1f} %"


def parts(n: float) -> str:
    """Return a ratio for people."""
    return f"1:{n:.4g}"


def day(value: date) -> str:
    """Return a day for people, in the same width for each."""
    return f"{value:%a} {value.day:2d} {value:%b %Y}"


def days(count: int) -> str:
    """Return so many days for people."""
    return f"{count} day{'' if count == 1 else 's'}"


def iso(value: date | datetime | None) -> str | None:
    """Return a day or an instant for programs."""
    return value.isoformat() if value else None


def finding_rows(findings: Iterable[Any]) -> list[dict[str, str]]:
    """Return findings for programs."""
    return [{"code": f.code, "severity": f.severity.value, "text": f.text} for f in findings]


def _width(text: str) -> int:
    """Return the columns that a text takes on a terminal."""
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in text
    )
