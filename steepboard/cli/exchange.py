"""Take the whole shelf out as one document or as lists, and in again."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json
from steepboard.errors import BadRows

if TYPE_CHECKING:
    from collections.abc import Mapping


def _list_name(_ctx: click.Context, _param: click.Parameter, name: str | None) -> str | None:
    from steepboard.services.exchange.lists import names

    if name and name not in names():
        raise click.BadParameter(f"“{name}” is no list. There are {', '.join(names())}.")
    return name


@click.command()
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="A new file for it.")
@click.option(
    "--csv",
    "name",
    metavar="LIST",
    callback=_list_name,
    help="One list for a spreadsheet: jars, bottles, draws, stock, doses, prices and others.",
)
@click.pass_obj
def export(place: Place, out: Path | None, name: str | None) -> None:
    """Print the whole shelf, or one list as CSV.

    The shelf comes as one JSON document with all that was ever done, also what was taken back;
    `import` reads it. In CSV, text that a spreadsheet would take for a formula begins with an
    apostrophe.

    Example: steepboard export --out shelf.json
    """
    from steepboard.services.exchange import document, lists, outlet

    with (
        place.desk() as desk,
        closing(
            lists.csv_lines(desk, name, place.now) if name else document.written(desk)
        ) as lines,
    ):
        if out is None:
            for line in lines:
                click.echo(line.encode(), nl=False)
        else:
            outlet.write(lines, out, mark=name is not None)
            say(f"{out} is written.")


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@json_option
@click.pass_obj
def import_(place: Place, file: Path, as_json: bool) -> None:
    """Fill an empty shelf from what export wrote.

    All of it, or nothing: each bad row is told with its line. Nothing is ever written over, so a
    shelf that has something refuses; name a new folder with `steepboard --home DIR import FILE`.
    A straining that was begun and left, what was already reminded of, settings.toml and your own
    catalogue files stay behind.

    Example: steepboard import shelf.json
    """
    from steepboard.services.exchange import document

    with file.open("rb") as read, place.desk() as desk:
        try:
            counts = document.take_in(desk, read, str(file))
        except BadRows as fault:
            for line, reason in fault.faults:
                say(f"line {line}: {reason}", to_stderr=True)
            raise
    if as_json:
        say_json({"file": str(file), **counts})
    else:
        say(f"{file} is taken in: {_told(counts)}.")


def _told(counts: Mapping[str, int]) -> str:
    told = [f"{name.replace('_', ' ')} {count}" for name, count in counts.items()]
    return ", ".join(told) or "an empty shelf"
