"""Charge a jar."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime
from functools import partial
from itertools import zip_longest
from typing import TYPE_CHECKING

import click
from click.core import ParameterSource

from steepboard.cli.minding import mind_json, to_acknowledge
from steepboard.cli.orders import (
    details_json,
    jar_json,
    say_charged,
    spirit,
)
from steepboard.cli.params import (
    MASS,
    VOLUME,
    celsius,
    material_options,
    separation,
    separation_option,
    taken,
    temperature_option,
    value,
)
from steepboard.cli.place import Place
from steepboard.cli.render import finding_rows, json_option, say_json
from steepboard.cli.strengths import STRENGTH_OR_NAME, strength, with_strength
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.domain.spans import LONGEST_DAYS, MOST_DAYS_BETWEEN
from steepboard.errors import BadAmount
from steepboard.services import acts, material, views
from steepboard.services import why as where_from
from steepboard.services.details import details
from steepboard.services.spirits import Called

if TYPE_CHECKING:
    from typing import Any

    from steepboard.amounts import Amount
    from steepboard.catalogue.load import Library
    from steepboard.domain.records import BotanicalLine, Jar, SpiritLine
    from steepboard.services.desk import Desk

_FEWEST = 3  # words: what, how much of it, how much spirit; and how strong, or a spirit's name
_WANTED = "Say what, how much of it, how much spirit and how strong; or the code of a planned jar."
_CODE = re.compile(r"\S+-\d+")


@click.command()
@click.argument("words", nargs=-1, metavar="BOTANICAL MASS VOLUME STRENGTH | CODE")
@click.option(
    "--and",
    "further",
    type=(str, MASS),
    multiple=True,
    help="A further botanical, as the catalogue has it; what is said of class, fresh, moisture and "
    "soluble is of the first.",
)
@click.option(
    "--with",
    "pours",
    type=(VOLUME, STRENGTH_OR_NAME),
    multiple=True,
    help="A further spirit; water is 0%.",
)
@click.option(
    "--spirit",
    "spirits",
    multiple=True,
    metavar="NAME",
    help="What is poured; again for --with.",
)
@click.option("--name", help="Of the jar; the botanical's if not said.")
@click.option("--days", type=click.IntRange(1, LONGEST_DAYS), help="How long it steeps.")
@click.option("--strain-on", type=click.DateTime(["%Y-%m-%d"]), help="The day, instead of --days.")
@click.option(
    "--stir-every",
    type=click.IntRange(1, MOST_DAYS_BETWEEN),
    metavar="DAYS",
    help="The house's if not said.",
)
@separation_option
@click.option("--jar", "vessel", type=VOLUME, help="What the jar holds to its brim.")
@temperature_option
@material_options
@why_option
@json_option
@click.pass_obj
@click.pass_context
def charge(
    ctx: click.Context,
    place: Place,
    /,
    words: tuple[str, ...],
    why: bool,
    as_json: bool,
    **said: Any,
) -> None:
    """Charge a jar: what, how much, how much spirit, how strong.

    A planned jar is charged by its code.

    Example: steepboard charge caraway 40g 300ml 45%

    In place of its strength, name a spirit that is known (`steepboard spirits`).

    Example: steepboard charge caraway 40g 300ml vodka

    Example: steepboard charge bitter orange peel 30g 250ml 60% --and fennel 10g

    Example: steepboard charge CARA-01
    """
    act: Callable[..., Jar]
    if len(words) == 1:
        _refuse_more(ctx, words[0], said)
        act = partial(_charge_planned, code=words[0], acknowledge=said["acknowledge"])
    else:
        act = partial(_charge_new, words=words, said=said)
    with place.desk() as desk:
        jar = act(desk, now=place.now)
        answers = where_from.of_jar(desk, jar) if why else ()
        if not as_json:
            say_charged(desk, jar)
            say_why(answers)
            return
        known = details(desk, jar)
        say_json(
            {
                **jar_json(jar),
                **details_json(known),
                "findings": finding_rows(known.findings),
                **mind_json(known.cautions, known.doses),
                **why_json(answers),
            }
        )


def _refuse_more(ctx: click.Context, word: str, said: dict[str, Any]) -> None:
    if not _CODE.fullmatch(word):
        raise click.UsageError(_WANTED, ctx)
    more = said.keys() - {"acknowledge"}
    if any(ctx.get_parameter_source(name) is not ParameterSource.DEFAULT for name in more):
        raise click.UsageError("A planned jar is charged as planned: say its code alone.", ctx)


def _charge_planned(desk: Desk, *, code: str, acknowledge: bool, now: datetime) -> Jar:
    botanicals = views.jar(desk, code).charge.botanicals
    read = to_acknowledge(botanicals, desk.library) if acknowledge else ()
    return acts.charge_planned(desk, code, now, read)


def _charge_new(desk: Desk, *, words: tuple[str, ...], said: dict[str, Any], now: datetime) -> Jar:
    return acts.charge(desk, _order(words, said, desk.library), now)


def _order(words: tuple[str, ...], said: dict[str, Any], library: Library) -> acts.Order:
    if len(words) < _FEWEST:
        raise click.UsageError(_WANTED, click.get_current_context())
    if said["days"] and said["strain_on"]:
        raise click.UsageError("Say --days or --strain-on, not both.", click.get_current_context())
    before, strong = with_strength(_with_name(words, said["spirits"]), library)
    if len(before) < _FEWEST:
        raise click.UsageError(_WANTED, click.get_current_context())
    *name, weight, poured = before
    botanicals = [
        _botanical(" ".join(name), MASS.read(weight), said, library),
        *(
            material.weighed(taken(word), a.value, a.typed, library=library)
            for word, a in said["further"]
        ),
    ]
    pours = [
        (volume, strength(text, library))
        for volume, text in ((VOLUME.read(poured), strong), *said["pours"])
    ]
    if len(said["spirits"]) > len(pours):
        raise click.UsageError("There are more names than spirits.", click.get_current_context())
    strain_on: datetime | None = said["strain_on"]
    return acts.Order(
        tuple(botanicals),
        tuple(
            _poured(spirit_name, pour, said["temperature"])
            for spirit_name, pour in zip_longest(said["spirits"], pours)
        ),
        name=taken(said["name"]) if said["name"] else None,
        strain_on=strain_on.date() if strain_on else None,
        days=said["days"],
        stir_every_days=said["stir_every"],
        separation=separation(said["separation"]),
        vessel_ml=value(said["vessel"]),
        held_ml_per_g=said["held"],
        kept_ml=value(said["kept"]),
        acknowledged=to_acknowledge(botanicals, library) if said["acknowledge"] else (),
    )


def _with_name(words: tuple[str, ...], spirits: tuple[str, ...]) -> tuple[str, ...]:
    """Return the words, with the spirit's name as its strength where they end with the volume."""
    try:
        VOLUME.read(words[-1])
        MASS.read(words[-2])
    except BadAmount:
        return words
    return (*words, *spirits[:1])


def _botanical(name: str, amount: Amount, said: dict[str, Any], library: Library) -> BotanicalLine:
    return material.weighed(
        taken(name),
        amount.value,
        amount.typed,
        library=library,
        material_class=said["material_class"],
        fresh=said["fresh"],
        moisture=value(said["moisture"]),
        soluble=value(said["soluble"]),
    )


def _poured(
    name: str | None, pour: tuple[Amount, Amount | Called], temperature: Amount | None
) -> SpiritLine:
    poured, strong = pour
    typed = (poured.typed, strong.typed)
    known = strong.spirit.name if isinstance(strong, Called) else None
    return spirit(name or known, poured.value, strong.value, celsius(temperature), *typed)
