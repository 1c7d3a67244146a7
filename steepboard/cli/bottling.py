"""Bottle a jar, and see what stands in bottles."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from steepboard.catalogue.cautions import LAST_WORD
from steepboard.cli.bottle_words import bottle_json, entry_json, entry_row, mind_rows, row, rows
from steepboard.cli.minding import say_cautions
from steepboard.cli.params import VOLUME_READ
from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json, say_table
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.domain.readings import Measured
from steepboard.services import bottle_shelf
from steepboard.services.bottle_words import rest_line

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from steepboard.amounts import Amount
    from steepboard.domain.bottles import Bottle
    from steepboard.services.bottle_shelf import Inside
    from steepboard.services.desk import Desk

_NONE = "Nothing stands in bottles. Fill some, say `steepboard bottle CARA-01 3x100ml`."


@click.command()
@click.argument("code")
@click.argument("sizes", nargs=-1, required=True, metavar="NUMBERxSIZE…")
@click.option("--left", type=VOLUME_READ, help="What stays over, where nothing was read before.")
@click.option("--note", default="", help="For the diary.")
@click.option("--sure", is_flag=True, help="Bottle more than was recovered.")
@json_option
@click.pass_obj
def bottle(
    place: Place,
    code: str,
    sizes: tuple[str, ...],
    left: Amount | None,
    note: str,
    sure: bool,
    as_json: bool,
) -> None:
    """Fill a strained jar into bottles.

    A bottle is filled up to its shoulder, or with what you say.

    Each gets a code that points back to the jar. 2x100ml:96ml are two with 96 mL each.

    Example: steepboard bottle CARA-01 3x100ml 1x50ml
    """
    from steepboard.services import bottling
    from steepboard.services.typed_bottles import read_fills

    fills = [one for size in sizes for one in read_fills(size)]
    over = Measured(left.value, left.resolution) if left else None
    with place.desk() as desk:
        made = bottling.fill(desk, code, fills, place.now, left=over, note=note, sure=sure)
        shown = [(one, bottle_shelf.inside(desk, one)) for one in made.bottles]
        if as_json:
            over_ml = made.rest.left_ml if made.rest else None
            told = [bottle_json(one, inside) for one, inside in shown]
            say_json({"bottles": told, "left_over_ml": over_ml})
            return
        _list(desk, shown, place.now)
    if made.rest:
        say(rest_line(code.strip().upper(), made.rest))


@click.command()
@click.argument("code", required=False)
@click.option("--all", "ended", is_flag=True, help="Used up, broken and discarded ones too.")
@why_option
@json_option
@click.pass_obj
def bottles(place: Place, code: str | None, ended: bool, why: bool, as_json: bool) -> None:
    """List the bottles that stand, or show one.

    Of each: what it holds, its strength and age, and what to mind.

    Example: steepboard bottles CARA-01-A
    """
    from steepboard.services import why_bottles

    with place.desk() as desk:
        if code:
            _one(desk, code, why=why, as_json=as_json)
            return
        found = bottle_shelf.bottles(desk, ended=ended)
        shown = [(one, bottle_shelf.inside(desk, one)) for one in found]
        told = [why_bottles.of_bottle(desk, *both) if why else () for both in shown]
        if as_json:
            say_json(
                [
                    bottle_json(one, inside) | why_json(answers)
                    for (one, inside), answers in zip(shown, told, strict=True)
                ]
            )
            return
        _list(desk, shown, place.now)
    for one, answers in zip(found, told, strict=True):
        if answers:
            say(f"{one.code}:")
        say_why(answers)
    if not found:
        say(_NONE)


def _list(desk: Desk, shown: Sequence[tuple[Bottle, Inside]], now: datetime) -> None:
    say_table(row(desk, one, desk.day(now)) for one, _ in shown)
    if mind := mind_rows(shown):
        say("Mind:")
        say_table(mind)
        say(LAST_WORD)


def _one(desk: Desk, code: str, *, why: bool, as_json: bool) -> None:
    from steepboard.services import why_bottles

    found = bottle_shelf.bottle(desk, code)
    inside, diary = bottle_shelf.inside(desk, found), bottle_shelf.diary(desk, found)
    answers = why_bottles.of_bottle(desk, found, inside) if why else ()
    if as_json:
        entries = [entry_json(entry) for entry in diary]
        say_json({**bottle_json(found, inside), "diary": entries, **why_json(answers)})
        return
    say(f"{found.code}, {found.tag.name}: {found.state.value}.")
    say_table(rows(desk, found, inside))
    say_cautions(inside.cautions)
    say("Diary:")
    say_table(entry_row(desk, entry, diary) for entry in diary)
    say_why(answers)
