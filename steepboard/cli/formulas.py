"""Blends kept as formulas, and made again from the batches that stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from steepboard.cli.bench_words import blend_json, blend_rows, formula_json, formula_rows
from steepboard.cli.keeping import add_forget, add_undo
from steepboard.cli.minding import say_caution_titles
from steepboard.cli.params import VOLUME, taken
from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_findings, say_json, say_table
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.domain import limits
from steepboard.services.bottle_words import contains, left

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from steepboard.amounts import Amount
    from steepboard.domain.blending import Formula
    from steepboard.domain.bottles import Bottle
    from steepboard.services.desk import Desk
    from steepboard.services.formulas import Blend

TAKE_HELP = "Bottle; several share. Else the oldest that does."
DRAW_HELP = "Draw so much more of it."
_NONE = "No formula is kept. Keep what a trial found with `steepboard formula keep`."


@click.group(invoke_without_command=True)
@why_option
@json_option
@click.pass_context
def formula(ctx: click.Context, why: bool, as_json: bool) -> None:
    """Keep blends as formulas, and make them again.

    Example: steepboard formula make "Night train" 4.5L
    """
    if ctx.invoked_subcommand is not None:
        return
    from steepboard.services import formulas, why_blend

    with ctx.obj.desk() as desk:
        found = formulas.formulas(desk)
    told = [(one, why_blend.of_formula(one) if why else ()) for one in found]
    if as_json:
        say_json([formula_json(one) | why_json(answers) for one, answers in told])
        return
    for one, answers in told:
        _say(one)
        say_why(answers)
    if not found:
        say(_NONE)


@formula.command("keep")
@click.argument("name")
@click.option("--trial", "trials", multiple=True, metavar="CODE", help="Else the last begun.")
@click.option("--note", default="", help="What to know of it.")
@json_option
@click.pass_obj
def keep(place: Place, name: str, trials: tuple[str, ...], note: str, as_json: bool) -> None:
    """Keep what trials found, so that it can be made from any batch.

    Example: steepboard formula keep "Night train" --trial BENCH-01 --trial BENCH-02
    """
    from steepboard.services import formulas

    with place.desk() as desk:
        made = formulas.keep(desk, taken(name), trials, place.now, note=note)
    if as_json:
        say_json(formula_json(made))
        return
    _say(made)


@formula.command("make")
@click.argument("name")
@click.argument("amount", type=VOLUME)
@click.option("--take", multiple=True, metavar="CODE", help=TAKE_HELP)
@click.option("--draw", type=click.IntRange(1, 100), metavar="PERCENT", help=DRAW_HELP)
@click.option("--anew", is_flag=True, help="Make it once more, though some was drawn.")
@why_option
@json_option
@click.pass_obj
def make(
    place: Place,
    name: str,
    amount: Amount,
    take: tuple[str, ...],
    draw: int | None,
    anew: bool,
    why: bool,
    as_json: bool,
) -> None:
    """Say what so much of a formula takes, and draw it.

    Of two bottles of one tincture the second gives what the first does not hold.

    Example: steepboard formula make "Night train" 4.5L --take CARA-02-A --draw 80
    """
    from steepboard.services import formulas

    with place.desk() as desk:

        def make(*, anew: bool) -> Blend:
            return formulas.from_formula(desk, name, amount.value, take, anew=anew)

        tell_blend(desk, make, place.now, draw, anew=anew, why=why, as_json=as_json)


add_forget(formula, "formula")
add_undo(formula, "formula")


def tell_blend(
    desk: Desk,
    make: Callable[..., Blend],
    now: datetime,
    percent: int | None,
    *,
    anew: bool,
    why: bool,
    as_json: bool,
) -> None:
    """Draw so much more of a blend, where that is asked for; print it and what bottles hold."""
    from steepboard.services import formulas, why_blend

    blend = make(anew=anew)
    drawn: tuple[Bottle, ...] = ()
    if percent:
        drawn = formulas.draw(desk, blend, percent / 100, now)
        blend = make(anew=False)
    answers = why_blend.of_blend(blend) if why else ()
    if as_json:
        held = [{"code": one.code, "left_ml": one.left_ml} for one in drawn]
        say_json({**blend_json(blend), "drawn_from": held, **why_json(answers)})
        return
    say(f"{blend.note}:")
    say_table(blend_rows(blend))
    say_findings((*blend.findings, *map(limits.finding, blend.limits)))
    if told := contains(blend):
        say(told)
    if blend.cautions:
        say_caution_titles(blend.cautions)
    for one in drawn:
        say(f"Drawn from {one.code}: {left(one)}.")
    say_why(answers)


def _say(one: Formula) -> None:
    say(f"{one.name}:")
    say_table(formula_rows(one))
