"""The answers to *why*, for people and for programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from steepboard.cli.render import say, say_table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from steepboard.domain.why import Why

why_option = click.option(
    "--why", is_flag=True, help="Say of each figure how it is worked out, and who says so."
)


def say_why(answers: Iterable[Why]) -> None:
    """Print each figure, its rule, and what went into it with its source."""
    for answer in answers:
        say()
        say(f"{answer.figure}: {answer.value}")
        say(f"  {answer.rule} ({answer.source})")
        say_table([(one.name, one.value, one.source) for one in answer.inputs])


def why_json(answers: Iterable[Why]) -> dict[str, object]:
    """Return the answers for programs, nothing where none were asked for."""
    rows = [asdict(answer) for answer in answers]
    return {"why": rows} if rows else {}
