"""Stir jars, and take back what was done last."""

from __future__ import annotations

import click

from steepboard.cli.place import Place
from steepboard.cli.render import iso, json_option, say, say_json, word
from steepboard.services import acts
from steepboard.services.diary_words import done_then


@click.command()
@click.argument("codes", nargs=-1, required=True, metavar="CODE…")
@json_option
@click.pass_obj
def stir(place: Place, codes: tuple[str, ...], as_json: bool) -> None:
    """Write down that jars were stirred; where one cannot be, none is.

    Example: steepboard stir CARA-01 JUNI-02
    """
    now = place.now
    with place.desk() as desk:
        jars = acts.stir(desk, tuple(dict.fromkeys(code.strip().upper() for code in codes)), now)
    if as_json:
        say_json([{"code": jar.code, "stirred_at": iso(now)} for jar in jars])
        return
    for jar in jars:
        say(f"{jar.code} is stirred.")


@click.command()
@click.argument("code", required=False)
@json_option
@click.pass_obj
def undo(place: Place, code: str | None, as_json: bool) -> None:
    """Take back what was done last, to a jar or on the shelf.

    The diary keeps both, the act and that it was taken back.

    Example: steepboard undo CARA-01
    """
    with place.desk() as desk:
        undone = acts.undo(desk, code, place.now)
    if as_json:
        say_json(
            {
                "code": undone.code,
                "undone": [word(kind) for kind in undone.kinds],
                "at": iso(undone.at),
                "initials": undone.initials,
            }
        )
        return
    say(f"Taken back for {undone.code}: {done_then(undone.entries, desk.zone)}.")
