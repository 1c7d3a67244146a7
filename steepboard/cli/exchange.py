"""Take the whole shelf out as one document or as lists, and in again."""

from __future__ import annotations

from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json
from steepboard.errors import BadRows

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


_ALL = "all"


def _list_name(_ctx: click.Context, _param: click.Parameter, name: str | None) -> str | None:
    from steepboard.services.exchange.lists import names

    if name and name not in (*names(), _ALL):
        raise click.BadParameter(f"“{name}” is no list. There are {', '.join(names())}, or all.")
    return name


def _kept_name(_ctx: click.Context, _param: click.Parameter, name: str | None) -> str | None:
    from steepboard.services.exchange.kept import KEPT

    if name and name not in KEPT:
        known = ", ".join(KEPT)
        raise click.BadParameter(f"“{name}” does not come in as a list. There are {known}.")
    return name


@click.command()
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="A new file for it.")
@click.option(
    "--csv",
    "name",
    metavar="LIST",
    callback=_list_name,
    help="One list for a spreadsheet: jars, bottles, draws, stock, prices and others; or all.",
)
@click.pass_context
def export(ctx: click.Context, out: Path | None, name: str | None) -> None:
    """Print the whole shelf, or one list as CSV.

    The shelf comes as one JSON document with all that was ever done, also what was taken back;
    `import` reads it. With --csv all it comes as a new folder of CSV files, which `import` reads as
    well. In CSV, text that a spreadsheet would take for a formula begins with an apostrophe.

    Example: steepboard export --out shelf.json
    """
    from steepboard.services.exchange import document, folder, lists, outlet

    place: Place = ctx.obj
    if name == _ALL and out is None:
        raise click.UsageError("Say which folder: --csv all --out FOLDER.", ctx)
    with place.desk() as desk:
        if name == _ALL and out:
            with closing(folder.written(desk)) as files:
                outlet.write_folder(files, out)
            say(f"{out} is written.")
            return
        made = lists.csv_lines(desk, name, place.now) if name else document.written(desk)
        with closing(made) as lines:
            if out is None:
                for line in lines:
                    click.echo(line.encode(), nl=False)
            else:
                outlet.write(lines, out, mark=name is not None)
                say(f"{out} is written.")


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--csv",
    "name",
    metavar="LIST",
    callback=_kept_name,
    help="The file is a list: prices, pars, doses, droppers, own_botanicals or own_spirits.",
)
@click.option("--replace", is_flag=True, help="Take what a list says in place of what is kept.")
@json_option
@click.pass_context
def import_(ctx: click.Context, file: Path, name: str | None, replace: bool, as_json: bool) -> None:
    """Fill an empty shelf from an export, or keep what a list says.

    All of it, or nothing: each bad row is told with its line. A document, or a folder that
    `export --csv all` wrote, fills an empty shelf only; name a new one with
    `steepboard --home DIR import FILE`. A straining that was begun and left, what was already
    reminded of, settings.toml and your own catalogue files stay behind.

    A list with --csv adds to a shelf in use, by the heads that export writes; heads that you do not
    need may be left out. Amounts may have a unit, as 45 % or 1.5 oz; a number alone is in the unit
    of its head. What is kept already and differs is told, and stays unless you say --replace.

    Example: steepboard import shelf.json
    """
    place: Place = ctx.obj
    if replace and not name:
        raise click.UsageError("--replace goes with --csv LIST.", ctx)
    if not name and file.suffix.casefold() == ".csv" and not file.is_dir():
        raise click.UsageError("Say which list it is, as in --csv prices.", ctx)
    if name:
        _keep_list(place, file, name, replace=replace, as_json=as_json)
        return
    from steepboard.services.exchange import document, folder

    with _told_by_line():
        if file.is_dir():
            folder.check(file)
            with place.desk() as desk:
                counts = folder.take_in(desk, file)
        else:
            with file.open("rb") as read, place.desk() as desk:
                counts = document.take_in(desk, read, str(file))
    if as_json:
        say_json({"file": str(file), **counts})
    else:
        say(f"{file} is taken in: {_told(counts)}.")


@contextmanager
def _told_by_line() -> Iterator[None]:
    """Tell each bad row."""
    try:
        yield
    except BadRows as fault:
        for line, reason in fault.faults:
            say(f"line {line}: {reason}", to_stderr=True)
        raise


def _keep_list(place: Place, file: Path, name: str, *, replace: bool, as_json: bool) -> None:
    from steepboard.services.exchange import list_in

    with file.open("rb") as read, place.desk() as desk, _told_by_line():
        told = list_in.take_in(desk, name, read, str(file), place.now, replace=replace)
    if as_json:
        replaced = [{"line": one.line, "what": one.told} for one in told.replaced]
        say_json({"file": str(file), "new": told.new, "same": told.same, "replaced": replaced})
        return
    for one in told.replaced:
        say(f"line {one.line}: {one.told}.")
    say(f"{file}: {told.new} new, {told.same} the same, {len(told.replaced)} replaced.")


def _told(counts: Mapping[str, int]) -> str:
    told = [f"{name.replace('_', ' ')} {count}" for name, count in counts.items()]
    return ", ".join(told) or "an empty shelf"
