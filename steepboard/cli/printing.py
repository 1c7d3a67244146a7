"""Print labels, the tape of a jar and its batch record, as PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json
from steepboard.printing.sheets import sheets
from steepboard.services.files import pdf_name

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from steepboard.services.labels import Printed

_SHEETS = ", ".join(map(str, sheets().values()))


def _options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options that say on what to print and where to put it."""
    for option in reversed(
        (
            click.option("--sheet", default="", metavar="NAME", help=f"One of {_SHEETS}."),
            click.option("--from", "start", type=int, default=1, metavar="N", help=_FROM),
            click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help=_OUT),
            json_option,
        )
    ):
        command = option(command)
    return command


_FROM = "First free place of a part-used sheet, row by row."
_OUT = "The PDF to write; else one in this folder, named by the first code."


@click.command()
@click.argument("codes", nargs=-1, required=True, metavar="CODE…")
@_options
@click.pass_obj
def label(
    place: Place, codes: tuple[str, ...], sheet: str, start: int, out: Path | None, as_json: bool
) -> None:
    """Write labels for bottles as PDF, to be printed at full size.

    The code of a jar stands for all its bottles that are on the shelf.

    Example: steepboard label CARA-01 --sheet a4-2x7 --from 5
    """
    from steepboard.services.labels import print_labels

    path = out or Path(pdf_name(codes[0], "labels"))
    with place.desk() as desk:
        printed = print_labels(desk, _codes(codes), path, place.now, on=sheet, start=start)
    _say(printed, "label", as_json=as_json)


@click.command()
@click.argument("codes", nargs=-1, required=True, metavar="CODE…")
@_options
@click.pass_obj
def tape(
    place: Place, codes: tuple[str, ...], sheet: str, start: int, out: Path | None, as_json: bool
) -> None:
    """Write the tape for jars as PDF.

    It has the code, what is in it, when it was charged and when to strain.

    Example: steepboard tape CARA-01 JUNI-02
    """
    from steepboard.services.labels import print_tape

    path = out or Path(pdf_name(codes[0], "tape"))
    with place.desk() as desk:
        printed = print_tape(desk, _codes(codes), path, place.now, on=sheet, start=start)
    _say(printed, "strip of tape", as_json=as_json)


@click.command()
@click.argument("code")
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help=_OUT)
@json_option
@click.pass_obj
def record(place: Place, code: str, out: Path | None, as_json: bool) -> None:
    """Write the batch record of a jar as PDF.

    It goes from charge to last bottle, and is to be signed.

    Example: steepboard record CARA-01 --out cara-01.pdf
    """
    from steepboard.services.batch_record import print_record

    path = out or Path(pdf_name(code, "record"))
    with place.desk() as desk:
        made = print_record(desk, code, path, place.now)
    if as_json:
        say_json({"file": str(path), "code": made})
    else:
        say(f"The batch record of {made} is written to {path}.")


def _codes(codes: tuple[str, ...]) -> list[str]:
    return [code.strip().upper() for code in codes]


def _say(printed: Printed, what: str, *, as_json: bool) -> None:
    if as_json:
        say_json({"file": str(printed.path), "codes": printed.codes, "sheet": printed.sheet})
        return
    count = len(printed.codes)
    written = f"{count} {what}{'' if count == 1 else 's'}" if what == "label" else _strips(count)
    say(f"{written} on {printed.sheet}: written to {printed.path}. Print at 100 %, not fitted.")


def _strips(count: int) -> str:
    return "1 strip of tape" if count == 1 else f"{count} strips of tape"
