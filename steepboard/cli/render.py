"""Plain text for people, aligned, and JSON for programs; text from people is made visible."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

import click

from steepboard.cli.folding import columns, folded, table, width
from steepboard.text import visible

if TYPE_CHECKING:
    from enum import StrEnum

    from steepboard.domain.findings import Finding
    from steepboard.domain.quiet import Away

_INDENT = "  "

json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for programs.")


def say(text: str = "", *, to_stderr: bool = False) -> None:
    """Print one line, folded to the terminal; a line break within it is none."""
    for line in folded(visible(text), None if to_stderr else columns()):
        click.echo(line, err=to_stderr)


def say_json(value: object) -> None:
    """Print a value as JSON in plain ASCII, so that no text in it can act on a terminal."""
    click.echo(json.dumps(value, allow_nan=False))


def say_table(rows: Iterable[Sequence[str]], *, gap: str = "  ") -> None:
    """Print rows with their columns aligned, indented by two spaces, folded to the terminal."""
    shown = [[visible(cell) for cell in row] for row in rows]
    room = columns()
    for line in table(shown, gap, None if room is None else room - len(_INDENT)):
        click.echo(f"{_INDENT}{line}".rstrip())


def volume(ml: float) -> str:
    """Return a volume for people."""
    return f"{ml:.1f} mL"


def mass(g: float) -> str:
    """Return a mass for people."""
    return f"{g:.1f} g"


def day(value: date) -> str:
    """Return a day for people, in the same width for each."""
    return f"{value:%a} {value.day:2d} {value:%b %Y}"


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
    if width(text) <= columns:
        return text
    while text and width(text) >= columns:
        text = text[:-1]
    return f"{text}…"
