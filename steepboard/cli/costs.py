"""Prices of spirits and botanicals, and what bottles and doses cost."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from steepboard.cli.acting import say_undone
from steepboard.cli.params import taken
from steepboard.cli.place import Place
from steepboard.cli.render import day, iso, json_option, say, say_json, say_table, shortened
from steepboard.domain.costs import Ware

if TYPE_CHECKING:
    from steepboard.domain.costs import Price
    from steepboard.services.costs import BottleCost, Costs

_PER = {Ware.SPIRIT: "a litre", Ware.BOTANICAL: "a kilogram"}
_NAME = 24  # columns of a name; assumed


@click.command()
@click.argument("ware", required=False, type=click.Choice([ware.value for ware in Ware]))
@click.argument("name", nargs=-1, metavar="[NAME]")
@click.argument("amount", required=False, metavar="[AMOUNT]")
@click.option("--from", "from_day", metavar="YYYY-MM-DD", help="The day it holds from; else today.")
@click.option("--forget", is_flag=True, help="Forget all prices of it.")
@click.option("--undo", "back", is_flag=True, help="Take back what was said last of it.")
@json_option
@click.pass_context
def price(
    ctx: click.Context,
    ware: str | None,
    name: tuple[str, ...],
    amount: str | None,
    from_day: str | None,
    forget: bool,
    back: bool,
    as_json: bool,
) -> None:
    """Say what spirits and botanicals cost, or list all prices.

    A price is that of a litre of spirit or a kilogram of botanical, and serves all names of it.

    Example: steepboard price spirit neutral spirit 18.40
    """
    from steepboard.services import costs, money

    place: Place = ctx.obj
    words = [*name, *([amount] if amount else [])]
    if ware and len(words) < (1 if forget or back else 2):
        raise click.UsageError("Say of what, and what it costs.", ctx)
    with place.desk() as desk:
        if ware and forget:
            costs.forget_price(desk, Ware(ware), taken(" ".join(words)), place.now)
        elif ware and back:
            undone = costs.undo_price(desk, Ware(ware), taken(" ".join(words)), place.now)
            say_undone(desk, undone, as_json=as_json)
            return
        elif ware:
            told, of = money.read(words[-1]), taken(" ".join(words[:-1]))
            costs.keep_price(desk, Ware(ware), of, told, place.now, _day(from_day))
        found = costs.prices(desk)
    if as_json:
        say_json([_price_json(one) for one in found])
        return
    say_table(_price_row(one) for one in found)
    if not found:
        say("No price is kept. Say one: `steepboard price spirit neutral spirit 18.40`.")


@click.command()
@json_option
@click.pass_obj
def costs(place: Place, as_json: bool) -> None:
    """Show what bottles and doses cost, and what marc held in a year.

    Example: steepboard costs
    """
    from steepboard.services import costs as reviews

    with place.desk() as desk:
        found = reviews.costs_of_shelf(desk, place.now)
    if as_json:
        say_json(_costs_json(found))
        return
    _say(found)


def _say(found: Costs) -> None:
    from steepboard.services import money

    code = found.currency
    say_table(_row(one, code) for one in found.bottles)
    marc = money.shown(found.in_marc, code)
    say(f"The marc of the jars bottled within a year held spirit for {marc}.")
    missing = dict.fromkeys((*(n for one in found.bottles for n in one.unpriced), *found.unpriced))
    if missing:
        say(f"No price is kept of {', '.join(missing)}: that is missing in the sums.")


def _row(one: BottleCost, code: str) -> tuple[str, ...]:
    from steepboard.services import money

    if not one.per_ml:
        return one.bottle.code, shortened(one.bottle.tag.name, _NAME), "no price", "", ""
    doses = ", ".join(f"{d.name} {money.shown_finely(d.amount, code)}" for d in one.doses)
    return (
        one.bottle.code,
        shortened(one.bottle.tag.name, _NAME),
        f"{money.shown_finely(one.per_ml, code)} a mL",
        f"{money.shown(one.held, code)} in it",
        doses,
    )


def _price_row(one: Price) -> tuple[str, ...]:
    from steepboard.services import money

    amount = f"{money.shown(one.amount, one.currency)} {_PER[one.ware]}"
    return one.ware.value, one.name, amount, f"from {day(one.from_day)}"


def _day(text: str | None) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        told = f"“{text}” is not a day. Write it like 2026-03-02."
        raise click.UsageError(told, click.get_current_context()) from None


def _price_json(one: Price) -> dict[str, object]:
    """Return a price for programs; money is text, so that no program takes it for a fraction."""
    return {
        "ware": one.ware.value,
        "name": one.name,
        "amount": f"{one.amount:f}",
        "currency": one.currency,
        "from": iso(one.from_day),
    }


def _costs_json(found: Costs) -> dict[str, object]:
    return {
        "currency": found.currency,
        "bottles": [
            {
                "code": one.bottle.code,
                "name": one.bottle.tag.name,
                "per_ml": f"{one.per_ml:f}",
                "held": f"{one.held:f}",
                "doses": [{"name": d.name, "amount": f"{d.amount:f}"} for d in one.doses],
                "unpriced": list(one.unpriced),
            }
            for one in found.bottles
        ],
        "in_marc_of_a_year": f"{found.in_marc:f}",
        "unpriced": list(found.unpriced),
    }
