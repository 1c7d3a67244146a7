"""Draw from bottles, top them up, count them, empty them, pour several together."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from steepboard.cli.bottle_words import bottle_json
from steepboard.cli.params import MASS, VOLUME, VOLUME_READ
from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json, shortened
from steepboard.domain.bottles import BottleKind, Purpose
from steepboard.domain.readings import Measured
from steepboard.services import bottle_shelf, bottles
from steepboard.services.bottle_words import counted_line, left
from steepboard.services.typed_bottles import on_scale, read_part

if TYPE_CHECKING:
    from steepboard.amounts import Amount
    from steepboard.domain.bottles import Bottle
    from steepboard.services.desk import Desk

_note_option = click.option("--note", default="", help="For the diary.")
_sure_option = click.option("--sure", is_flag=True, help="Keep also what is asked about.")


@click.command()
@click.argument("code")
@click.argument("amount")
@click.option(
    "--for",
    "purpose",
    type=click.Choice([purpose.value for purpose in Purpose]),
    default=Purpose.DOSE.value,
    show_default=True,
    help="What it was drawn for.",
)
@_note_option
@json_option
@click.pass_obj
def draw(place: Place, code: str, amount: str, purpose: str, note: str, as_json: bool) -> None:
    """Write down what was taken from a bottle: mL, drops or dashes.

    Example: steepboard draw CARA-01-A 30ml --for dose
    """
    from steepboard.services.droppers import sizes
    from steepboard.services.typed_bottles import read_drawn

    with place.desk() as desk:
        strength = min(1.0, bottle_shelf.bottle(desk, code).liquid.strength)
        drawn = read_drawn(amount, sizes(desk, strength))
        found = bottles.draw(desk, code, drawn, Purpose(purpose), place.now, note=note)
        _tell(desk, found, as_json=as_json)


@click.command()
@click.argument("code")
@click.argument("amount", type=VOLUME)
@click.option("--from", "source", required=True, help="A jar, a bottle, water, or a strength: 45%.")
@_note_option
@_sure_option
@json_option
@click.pass_obj
def topup(
    place: Place, code: str, amount: Amount, source: str, note: str, sure: bool, as_json: bool
) -> None:
    """Pour something into a bottle that stands.

    Example: steepboard topup CARA-01-A 20ml --from CARA-01
    """
    from steepboard.services import bottling

    part = read_part(source, amount)
    with place.desk() as desk:
        found = bottling.top_up(desk, code, part, place.now, note=note, sure=sure)
        _tell(desk, found, as_json=as_json)


@click.command()
@click.argument("parts", nargs=-1, required=True, metavar="CODE VOLUME CODE VOLUME…")
@click.option("--into", "size", type=VOLUME, required=True, help="Size of the bottle.")
@click.option("--name", default="", help="Of the blend, where several batches go into it.")
@_note_option
@_sure_option
@json_option
@click.pass_context
def combine(
    ctx: click.Context,
    parts: tuple[str, ...],
    size: Amount,
    name: str,
    note: str,
    sure: bool,
    as_json: bool,
) -> None:
    """Pour bottles and rests of jars together into a new bottle.

    Example: steepboard combine CARA-01-A 60ml CARA-02-A 40ml --into 100ml
    """
    from steepboard.services import bottling

    if len(parts) % 2:
        raise click.UsageError("Give a volume for each jar or bottle.", ctx)
    poured = [
        read_part(code, VOLUME.read(amount))
        for code, amount in zip(parts[::2], parts[1::2], strict=True)
    ]
    place: Place = ctx.obj
    with place.desk() as desk:
        found = bottling.combine(
            desk, poured, size.value, place.now, name=name, note=note, sure=sure
        )
        _tell(desk, found, as_json=as_json)


@click.command()
@click.argument("code")
@click.argument("now_g", required=False, type=MASS, metavar="[MASS NOW]")
@click.option("--empty", type=MASS, help="What the bottle weighs empty; kept for the next time.")
@click.option("--full", type=MASS, help="What it weighed when it was filled, instead.")
@click.option("--holds", type=VOLUME_READ, help="What it holds, instead of weighing it.")
@click.option("--because", default="", help="Why it is corrected with --holds.")
@_sure_option
@json_option
@click.pass_context
def count(
    ctx: click.Context,
    code: str,
    now_g: Amount | None,
    empty: Amount | None,
    full: Amount | None,
    holds: Amount | None,
    because: str,
    sure: bool,
    as_json: bool,
) -> None:
    """Count what a bottle holds by weighing it, or correct it.

    Weigh it closed, as it was weighed before.

    Example: steepboard count CARA-01-A 151g --empty 90g
    """
    if (now_g is None) == (holds is None):
        raise click.UsageError("Say what it weighs now, or what it holds with --holds.", ctx)
    place: Place = ctx.obj
    with place.desk() as desk:
        if holds:
            read = Measured(holds.value, holds.resolution)
            found = bottles.correct(desk, code, read, because, place.now, typed=holds.typed)
        else:
            assert now_g  # noqa: S101 - one of the two was given
            found = bottles.count(
                desk, code, on_scale(desk, now_g), place.now,
                empty=on_scale(desk, empty) if empty else None,
                full=on_scale(desk, full) if full else None, note=because, sure=sure,
            )  # fmt: skip
        _tell_counted(desk, found, as_json=as_json)


@click.command()
@click.argument("code")
@click.option("--broken", metavar="WHY", help="It broke.")
@click.option("--discarded", metavar="WHY", help="It was poured away.")
@json_option
@click.pass_context
def empty(
    ctx: click.Context, code: str, broken: str | None, discarded: str | None, as_json: bool
) -> None:
    """Take a bottle off the shelf: used up, broken or discarded.

    Broken or discarded ones need a reason.

    Example: steepboard empty CARA-01-A --broken "fell off the tray"
    """
    if broken is not None and discarded is not None:
        raise click.UsageError("It is either --broken or --discarded.", ctx)
    how, why = BottleKind.USE_UP, ""
    if broken is not None:
        how, why = BottleKind.BREAK, broken
    if discarded is not None:
        how, why = BottleKind.DISCARD, discarded
    place: Place = ctx.obj
    with place.desk() as desk:
        _tell(desk, bottles.end(desk, code, how, why, place.now), as_json=as_json)


def _tell_counted(desk: Desk, found: bottles.Counted, *, as_json: bool) -> None:
    if not as_json:
        say(counted_line(found))
        return
    expected = {
        "expected_ml": found.expected_ml,
        "expected_ml_u": found.expected_u_ml,
        "agrees": not found.is_off,
    }
    say_json({**bottle_json(found.bottle, bottle_shelf.inside(desk, found.bottle)), **expected})


def _tell(desk: Desk, found: Bottle, *, as_json: bool) -> None:
    if as_json:
        say_json(bottle_json(found, bottle_shelf.inside(desk, found)))
        return
    say(f"{found.code}, {shortened(found.tag.name, 40)}: {left(found)}.")
