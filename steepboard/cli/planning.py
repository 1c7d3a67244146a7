"""Plan a jar: backwards from what is wanted, forwards from what is there, or like a past one."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from steepboard.catalogue.load import SHIPPED
from steepboard.catalogue.tables import GIVEN
from steepboard.cli.minding import to_acknowledge
from steepboard.cli.orders import say_charged
from steepboard.cli.params import (
    MASS,
    RATIO,
    TEMPERATURE,
    VOLUME,
    celsius,
    material_options,
    separation,
    separation_option,
    taken,
    value,
)
from steepboard.cli.parts import further, grams, named, refuse_uneven
from steepboard.cli.place import Place
from steepboard.cli.plan_words import plan_json, say_plan, say_sheet, sheet_json
from steepboard.cli.render import json_option, say, say_json
from steepboard.cli.strengths import STRENGTH_OR_NAME, strength
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.services import acts, plans, repeat, views
from steepboard.services import why as where_from
from steepboard.services.plans import Planned, Wish
from steepboard.services.spirits import Called

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date, datetime
    from typing import Any

    from steepboard.catalogue.load import Library
    from steepboard.services.desk import Desk
    from steepboard.settings import Settings


@click.command()
@click.option("--want", type=VOLUME, help="What is to be bottled: plans backwards.")
@click.option("--have", type=MASS, help="The botanical there is, all kinds together.")
@click.option("--have-spirit", type=VOLUME, help="The spirit there is.")
@click.option("--jar", "vessel", type=VOLUME, help="What the jar holds; filled to nine tenths.")
@click.option(
    "--strength",
    type=STRENGTH_OR_NAME,
    help="At which it steeps: a figure, or the name of a spirit that is known.",
)
@click.option(
    "--from",
    "made_from",
    type=STRENGTH_OR_NAME,
    help="Of the spirit let down to --strength, or its name.",
)
@click.option("--temperature", type=TEMPERATURE, help="Of the room; for --from, 20 °C if not said.")
@click.option("--ratio", type=RATIO, help="mL for each gram; the house rule's if not said.")
@click.option(
    "--botanical",
    "botanicals",
    multiple=True,
    metavar="NAME [AMOUNT]",
    help="What steeps; again for each further one, then each with its grams or parts.",
)
@click.option(
    "--spirit", metavar="NAME", help="What is poured; of one that is known the strength is too."
)
@click.option("--like", metavar="CODE", help="A past jar, to be made again with its intensity.")
@separation_option
@material_options
@click.option("--sheet", is_flag=True, help="Print what to do, in order.")
@click.option("--charge", is_flag=True, help="Charge the jar as planned.")
@why_option
@json_option
@click.pass_obj
@click.pass_context
def plan(
    ctx: click.Context,
    place: Place,
    /,
    charge: bool,
    sheet: bool,
    why: bool,
    as_json: bool,
    **said: Any,
) -> None:
    """Plan a jar: how much to weigh and to pour.

    Say what is wanted, or what there is; with both, the plan says whether it is enough.

    Example: steepboard plan --want 250ml --strength 45% --botanical caraway

    Example: steepboard plan --want 250ml --strength vodka --botanical caraway

    Example: steepboard plan --have 40g --strength 45% --botanical caraway --charge

    Example: steepboard plan --want 500ml --strength 55% --from 96% --botanical "caraway 40g"
    --botanical "bitter orange peel 25g" --sheet

    Example: steepboard plan --like CARA-01 --want 500ml
    """
    _refuse_unclear(ctx, charge, said)
    with _desk(place, needed=charge or bool(said["like"])) as desk:
        library = desk.library if desk else SHIPPED
        made, told = _made(place.settings, desk, {**said, **_strengths(said, library)})
        if desk and charge:
            _charge(desk, made, place.now, acknowledge=said["acknowledge"], as_json=as_json)
            return
        answers = where_from.of_plan(made, place.settings, library, told or ()) if why else ()
        sheet_on = place.now.astimezone(place.zone).date() if sheet else None
        if as_json:
            say_json({**_json(made, told, sheet_on), **why_json(answers)})
        else:
            _say(made, told or (), library, sheet_on)
            say_why(answers)


def _made(
    settings: Settings, desk: Desk | None, said: dict[str, Any]
) -> tuple[Planned, tuple[str, ...] | None]:
    """Return the plan, and what is otherwise than in a past jar; None where none was named."""
    if desk and said["like"]:
        past = repeat.past(desk, views.jar(desk, said["like"]))
        wish = _like(past, said)
        made = plans.make(settings, wish, desk.library)
        return made, repeat.changes(past, wish, made)
    return plans.make(settings, _wish(said), desk.library if desk else SHIPPED), None


def _json(made: Planned, told: Iterable[str] | None, sheet_on: date | None) -> dict[str, Any]:
    """Return what `_say` prints, for programs; `told` is None where no past jar was named."""
    changes = {} if told is None else {"changes": list(told)}
    return {**plan_json(made), **changes, **(sheet_json(made, sheet_on) if sheet_on else {})}


def _say(made: Planned, told: Iterable[str], library: Library, sheet_on: date | None) -> None:
    """Print a plan, or its prep sheet for that day, and what is otherwise than in a past jar."""
    if sheet_on:
        say_sheet(made, sheet_on)
    else:
        say_plan(made, library)
    for sentence in told:
        say(f"= {sentence}")


def _desk(place: Place, *, needed: bool) -> AbstractContextManager[Desk | None]:
    """Return a desk where there is a shelf or must be one; a plan alone leaves nothing behind."""
    return place.desk() if needed or place.home.record.exists() else nullcontext()


def _charge(desk: Desk, made: Planned, now: datetime, *, acknowledge: bool, as_json: bool) -> None:
    read = to_acknowledge(made.order.botanicals, desk.library) if acknowledge else ()
    jar = acts.charge(desk, replace(made.order, acknowledged=read), now)
    if as_json:
        charged = {
            "charged_botanical_g": sum(line.mass_g for line in jar.charge.botanicals),
            "charged_solvent_ml": sum(line.volume_ml for line in jar.charge.spirits),
        }
        say_json({**plan_json(made), "code": jar.code, **charged})
    else:
        say_charged(desk, jar)


def _refuse_unclear(ctx: click.Context, charge: bool, said: dict[str, Any]) -> None:
    if said["like"]:
        if said["botanicals"]:
            raise click.UsageError("A jar like another has its botanicals: leave out one.", ctx)
        return
    neat = said["spirit"] and not said["made_from"]  # what is let down says not how strong it gets
    if not (said["strength"] or neat):
        raise click.UsageError("Say how strong the spirit is: --strength 45%.", ctx)
    weighed = grams([named(text) for text in said["botanicals"]])
    if not (weighed or any(said[one] for one in ("want", "have", "have_spirit", "vessel"))):
        raise click.UsageError("Give --want, --have, --have-spirit or --jar.", ctx)
    if charge and not said["botanicals"]:
        raise click.UsageError("To charge the jar, say with what: --botanical NAME.", ctx)


def _strengths(said: dict[str, Any], library: Library) -> dict[str, Any]:
    """Return the strengths that were said as figures or names, and the spirit that names them."""
    read = {
        name: strength(said[name], library) if said[name] else None
        for name in ("strength", "made_from")
    }
    if not (read["strength"] or said["like"]):
        read["strength"] = strength(said["spirit"], library)
    poured = read["made_from"] or read["strength"]
    if isinstance(poured, Called):
        read |= {
            "spirit": said["spirit"] or poured.spirit.name,
            "source": poured.source,
            "called": poured.typed,
        }
    return read


def _wish(said: dict[str, Any]) -> Wish:
    botanicals = [named(text) for text in said["botanicals"]]
    refuse_uneven(botanicals)
    sized = any(said[name] for name in ("want", "have", "have_spirit", "vessel"))
    first = botanicals[0] if botanicals else None
    return Wish(
        said["strength"].value,
        name=first.name if first else plans.UNNAMED,
        want_ml=value(said["want"]),
        have_g=value(said["have"]) if sized else grams(botanicals),
        spirit_ml=value(said["have_spirit"]),
        vessel_ml=value(said["vessel"]),
        ratio=said["ratio"],
        moisture=value(said["moisture"]),
        soluble=value(said["soluble"]),
        held_ml_per_g=said["held"],
        kept_ml=value(said["kept"]),
        separation=separation(said["separation"]),
        material_class=said["material_class"],
        fresh=said["fresh"],
        spirit_name=taken(said["spirit"]) if said["spirit"] else "spirit",
        strength_source=said.get("source", GIVEN),
        strength_typed=said.get("called", ""),
        parts=first.parts if first else 1.0,
        further=further(botanicals),
        made_from=value(said["made_from"]),
        room_c=celsius(said["temperature"]),
    )


def _like(past: repeat.Past, said: dict[str, Any]) -> Wish:
    """Return the wish for a past jar again, with what was said in place of what it was."""
    wish = repeat.wish_like(past)
    if said["want"] or said["have"]:
        wish = replace(wish, want_ml=value(said["want"]), have_g=value(said["have"]))
    if said["strength"]:
        wish = replace(wish, strength=said["strength"].value, made_from=None, strength_source=GIVEN)
    given = {
        "ratio": said["ratio"],
        "spirit_ml": value(said["have_spirit"]),
        "vessel_ml": value(said["vessel"]),
        "held_ml_per_g": said["held"],
        "kept_ml": value(said["kept"]),
        "separation": separation(said["separation"]),
        "spirit_name": taken(said["spirit"]) if said["spirit"] else None,
        "made_from": value(said["made_from"]),
        "strength_source": said.get("source"),
        "strength_typed": said.get("called"),
    }
    first: dict[str, Any] = {
        "moisture": value(said["moisture"]),
        "soluble": value(said["soluble"]),
        "material_class": said["material_class"],
        "fresh": said["fresh"],
    }
    today = {name: one for name, one in first.items() if one is not None}
    lines = (replace(wish.lines[0], **today), *wish.lines[1:])
    known = {name: one for name, one in given.items() if one is not None}
    return replace(wish, lines=lines, room_c=celsius(said["temperature"]), **known)
