"""Stir jars, and take back what was done last."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import day, iso, json_option, say, say_json
from steepboard.services import acts

if TYPE_CHECKING:
    from steepboard.services.acts import LastAct
    from steepboard.services.desk import Desk


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
    """Take back what was done last, to a jar, a bottle or at all.

    Without a code also a dose, a dropper, a step at the bench, a par or a price that was said
    last. The diary keeps both, the act and that it was taken back.

    Example: steepboard undo CARA-01
    """
    with place.desk() as desk:
        undone = acts.undo(desk, code, place.now)
        say_undone(desk, undone, as_json=as_json)


def say_undone(desk: Desk, undone: LastAct, *, as_json: bool) -> None:
    """Say exactly what was taken back."""
    from steepboard.services.undo_words import told, what

    if as_json:
        say_json(
            {
                "code": undone.code,
                "undone": [kind.replace(" ", "_") for kind in undone.kinds],
                "at": iso(undone.at),
                "initials": undone.initials,
                "what": what(desk, undone),
            }
        )
        return
    head, more = told(desk, undone)
    on, by = day(desk.day(undone.at)), f", by {undone.initials}" if undone.initials else ""
    say(f"Taken back: {': '.join(filter(None, (head, more)))} ({on}{by}).")
