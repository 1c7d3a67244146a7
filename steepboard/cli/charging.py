"""Charge a jar."""

from __future__ import annotations

from datetime import datetime
from itertools import zip_longest
from typing import TYPE_CHECKING

import click

from steepboard.cli.orders import (
    details_json,
    jar_json,
    say_charged,
    spirit,
    to_acknowledge,
)
from steepboard.cli.params import (
    MASS,
    STRENGTH,
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
from steepboard.services import acts, material
from steepboard.services.details import details

if TYPE_CHECKING:
    from typing import Any

    from steepboard.amounts import Amount
    from steepboard.domain.records import BotanicalLine, SpiritLine

_FEWEST = 4  # words: what, how much of it, how much spirit, how strong


@click.command()
@click.argument("words", nargs=-1, metavar="BOTANICAL MASS VOLUME STRENGTH")
@click.option("--and", "further", type=(str, MASS), multiple=True, help="A further botanical.")
@click.option(
    "--with", "pours", type=(VOLUME, STRENGTH), multiple=True, help="A further spirit; water is 0%."
)
@click.option("--spirit", "spirits", multiple=True, metavar="NAME", help="Of each, in order.")
@click.option("--name", help="Of the jar, where it is not the botanical's.")
@click.option("--days", type=click.IntRange(1, 400), help="Of the steep.")
@click.option("--strain-on", type=click.DateTime(["%Y-%m-%d"]), help="Instead of --days.")
@click.option("--stir-every", type=click.IntRange(1, 60), metavar="DAYS")
@separation_option
@click.option("--jar", "vessel", type=VOLUME, help="What the jar holds to its brim.")
@temperature_option
@material_options
@json_option
@click.pass_obj
def charge(place: Place, /, words: tuple[str, ...], as_json: bool, **said: Any) -> None:
    """Charge a jar: what, how much, how much spirit, how strong.

    Example: steepboard charge caraway 40g 300ml 45%

    Example: steepboard charge orange peel 30g 250ml 60% --and fennel 10g
    """
    order = _order(words, said)
    with place.desk() as desk:
        jar = acts.charge(desk, order, place.now)
        if not as_json:
            say_charged(desk, jar)
            return
        known = details(desk, jar)
        say_json({**jar_json(jar), **details_json(known), "findings": finding_rows(known.findings)})


def _order(words: tuple[str, ...], said: dict[str, Any]) -> acts.Order:
    if len(words) < _FEWEST:
        raise click.UsageError(
            "Say what, how much of it, how much spirit and how strong.", click.get_current_context()
        )
    *name, weight, poured, strength = words
    botanicals = [
        _botanical(word, amount, said)
        for word, amount in ((" ".join(name), MASS.read(weight)), *said["further"])
    ]
    pours = ((VOLUME.read(poured), STRENGTH.read(strength)), *said["pours"])
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
        acknowledged=to_acknowledge(botanicals) if said["acknowledge"] else (),
    )


def _botanical(name: str, amount: Amount, said: dict[str, Any]) -> BotanicalLine:
    return material.weighed(
        taken(name),
        amount.value,
        amount.typed,
        material_class=said["material_class"],
        fresh=said["fresh"],
        moisture=value(said["moisture"]),
        soluble=value(said["soluble"]),
    )


def _poured(
    name: str | None, pour: tuple[Amount, Amount], temperature: Amount | None
) -> SpiritLine:
    poured, strength = pour
    typed = (poured.typed, strength.typed)
    return spirit(name, poured.value, strength.value, celsius(temperature), *typed)
