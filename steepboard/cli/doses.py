"""House doses, converted for the bottle in hand, and the droppers they are counted by."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

from steepboard.cli.dose_words import (
    dose_json,
    dose_row,
    dose_rows,
    dropper_json,
    dropper_row,
    house_dose_json,
    usual_row,
)
from steepboard.cli.keeping import add_forget, add_undo
from steepboard.cli.params import MASS, STRENGTH, VOLUME, taken
from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_findings, say_json, say_table
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.domain import limits
from steepboard.domain.base import Base
from steepboard.domain.dosing import Tool
from steepboard.domain.mixing import Liquid
from steepboard.domain.readings import Measured

if TYPE_CHECKING:
    from steepboard.amounts import Amount
    from steepboard.domain.dosing import Dropper
    from steepboard.services.desk import Desk
    from steepboard.services.doses import DoseFor

_Command = TypeVar("_Command", bound=Callable[..., Any])
_NO_DOSE = "No house dose is kept. Keep one with `steepboard dose keep`."
_code_option = click.option("--of", "code", required=True, help="Bottle of the tincture.")


@click.group(invoke_without_command=True)
@why_option
@json_option
@click.pass_context
def dose(ctx: click.Context, why: bool, as_json: bool) -> None:
    """Keep house doses, convert them for a bottle, draw them.

    Example: steepboard dose convert CARA-01-A
    """
    if ctx.invoked_subcommand is not None:
        return
    from steepboard.services import doses, why_doses

    with ctx.obj.desk() as desk:
        found = doses.doses(desk)
    told = [(one, why_doses.of_kept(one) if why else ()) for one in found]
    if as_json:
        say_json([house_dose_json(one) | why_json(answers) for one, answers in told])
        return
    say_table(dose_row(one) for one in found)
    for _, answers in told:
        say_why(answers)
    if not found:
        say(_NO_DOSE)


@dose.command("keep")
@click.argument("name")
@click.argument("amount", type=VOLUME)
@_code_option
@click.option("--gives", default="", help="What it does: a syrup it stands for, an edge, heat.")
@click.option("--drink", "drink_name", default="drink", help="What it goes into.")
@click.option("--in", "drink_ml", type=VOLUME, help="Volume of the drink without it.")
@click.option("--strength", type=STRENGTH, help="Of the drink without it; 0 % if not said.")
@click.option("--sugar", default=0.0, metavar="G/L", help="In a litre of the drink.")
@json_option
@click.pass_obj
def keep_dose(
    place: Place,
    name: str,
    amount: Amount,
    code: str,
    gives: str,
    drink_name: str,
    drink_ml: Amount | None,
    strength: Amount | None,
    sugar: float,
    as_json: bool,
) -> None:
    """Keep what of a bottle goes into a drink.

    The bottle's intensity is the reference: with another one the dose is converted.

    Example: steepboard dose keep "caraway sour" 2ml --of CARA-01-A --in 90ml --strength 18%
    """
    from steepboard.services import doses
    from steepboard.text import clean

    at = strength.value if strength else 0.0
    drink = Base(taken(drink_name), drink_ml.value, at, sugar) if drink_ml else None
    with place.desk() as desk:
        made = doses.keep(
            desk, taken(name), amount.value, code, clean(gives, 200), place.now, drink=drink
        )
    _say_dose(made, as_json=as_json)


@dose.command("convert")
@click.argument("code")
@click.argument("name", required=False)
@why_option
@json_option
@click.pass_obj
def convert_dose(place: Place, code: str, name: str | None, why: bool, as_json: bool) -> None:
    """Say what the doses come to with this bottle.

    In mL, drops and dashes, with what they bring into the drink.

    Example: steepboard dose convert CARA-02-A "caraway sour"
    """
    from steepboard.services import doses, why_doses

    with place.desk() as desk:
        found = (doses.one_for(desk, name, code),) if name else doses.for_bottle(desk, code)
    told = [(one, why_doses.of_dose(one) if why else ()) for one in found]
    if as_json:
        say_json([dose_json(one) | why_json(answers) for one, answers in told])
        return
    for one, answers in told:
        _say_dose(one, as_json=False)
        say_why(answers)
    if not found:
        say(f"No house dose is of what {code.strip().upper()} holds.")


@dose.command("draw")
@click.argument("name")
@click.argument("code")
@click.option("--times", type=click.IntRange(1, 1000), default=1, help="So many drinks.")
@click.option("--by", type=click.Choice([tool.value for tool in Tool]), help="Instead of by mL.")
@json_option
@click.pass_obj
def draw_dose(
    place: Place, name: str, code: str, times: int, by: str | None, as_json: bool
) -> None:
    """Write down a house dose as drawn from a bottle.

    Example: steepboard dose draw "caraway sour" CARA-01-A --times 6
    """
    from steepboard.services import doses
    from steepboard.services.bottle_words import left

    with place.desk() as desk:
        tool = Tool(by) if by else None
        found = doses.draw(desk, name, code, place.now, times=times, by=tool)
    if as_json:
        say_json({"code": found.code, "left_ml": found.left_ml, "left_ml_u": found.left_u_ml})
        return
    say(f"{found.code}: {left(found)}.")


@click.group(invoke_without_command=True)
@json_option
@click.pass_context
def dropper(ctx: click.Context, as_json: bool) -> None:
    """Calibrate droppers and dashers by counting or weighing.

    Example: steepboard dropper count "blue bulb" 87 2ml --of CARA-01-A
    """
    if ctx.invoked_subcommand is not None:
        return
    from steepboard.catalogue.droppers import usual_drops
    from steepboard.services import droppers

    with ctx.obj.desk() as desk:
        found = droppers.droppers(desk)
    if as_json:
        say_json([dropper_json(one) for one in found])
        return
    say_table(dropper_row(one) for one in found)
    say("Until one is calibrated:" if not found else "Otherwise:")
    say_table(usual_row(tool, one) for tool in Tool for one in usual_drops(tool))


def _liquid_options(command: _Command) -> _Command:
    for option in reversed(
        (
            click.option("--of", "code", help="Bottle of the liquid."),
            click.option("--strength", type=STRENGTH, help="Of the liquid, instead of a bottle."),
            click.option("--dasher", is_flag=True, help="It dashes, it does not drop."),
            json_option,
        )
    ):
        command = option(command)
    return command


@dropper.command("count")
@click.argument("name")
@click.argument("number", type=int)
@click.argument("amount", type=VOLUME)
@_liquid_options
@click.pass_context
def count_drops(
    ctx: click.Context,
    name: str,
    number: int,
    amount: Amount,
    code: str | None,
    strength: Amount | None,
    dasher: bool,
    as_json: bool,
) -> None:
    """Calibrate by counting the drops, or dashes, to a volume.

    Example: steepboard dropper count "blue bulb" 87 2ml --of CARA-01-A
    """
    from steepboard.services import droppers

    volume, now = Measured(amount.value, amount.resolution), ctx.obj.now

    def count(desk: Desk, tool: Tool, liquid: Liquid) -> Dropper:
        at = min(1.0, liquid.strength)
        return droppers.count(desk, taken(name), tool, number, volume, at, now)

    _calibrate(ctx, count, code, strength, dasher=dasher, as_json=as_json)


@dropper.command("weigh")
@click.argument("name")
@click.argument("number", type=int)
@click.argument("amount", type=MASS)
@_liquid_options
@click.pass_context
def weigh_drops(
    ctx: click.Context,
    name: str,
    number: int,
    amount: Amount,
    code: str | None,
    strength: Amount | None,
    dasher: bool,
    as_json: bool,
) -> None:
    """Calibrate by weighing so many drops, fifty say.

    Example: steepboard dropper weigh "blue bulb" 50 1.06g --of CARA-01-A
    """
    from steepboard.services import droppers

    mass, now = Measured(amount.value, amount.resolution), ctx.obj.now

    def weigh(desk: Desk, tool: Tool, liquid: Liquid) -> Dropper:
        return droppers.weigh(desk, taken(name), tool, number, mass, liquid, now)

    _calibrate(ctx, weigh, code, strength, dasher=dasher, as_json=as_json)


def _calibrate(
    ctx: click.Context,
    make: Callable[[Desk, Tool, Liquid], Dropper],
    code: str | None,
    strength: Amount | None,
    *,
    dasher: bool,
    as_json: bool,
) -> None:
    """Calibrate with the liquid that was named, and print what a drop or a dash holds."""
    with ctx.obj.desk() as desk:
        liquid = _liquid(ctx, desk, code, strength)
        made = make(desk, Tool.DASH if dasher else Tool.DROP, liquid)
    if as_json:
        say_json(dropper_json(made))
        return
    say_table([dropper_row(made)])


def _liquid(ctx: click.Context, desk: Desk, code: str | None, strength: Amount | None) -> Liquid:
    if (code is None) == (strength is None):
        raise click.UsageError("Say of which liquid, with --of a bottle or with --strength.", ctx)
    if strength:
        return Liquid(strength.value)
    from steepboard.services.bottle_shelf import bottle

    return bottle(desk, code or "").liquid


def _say_dose(made: DoseFor, *, as_json: bool) -> None:
    if as_json:
        say_json(dose_json(made))
        return
    say(f"{made.dose.name}, with {made.bottle.code}:")
    say_table(dose_rows(made))
    say_findings((*made.findings, *map(limits.finding, made.limits)))


add_forget(dose, "dose")
add_undo(dose, "dose")
add_forget(dropper, "dropper")
add_undo(dropper, "dropper")
