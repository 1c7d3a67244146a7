"""Plan a jar, backwards from what is wanted or forwards from what is there."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from steepboard.cli.orders import (
    expected_row,
    liquor_rows,
    say_cautions_shortly,
    say_charged,
    say_findings,
    to_acknowledge,
)
from steepboard.cli.params import (
    MASS,
    RATIO,
    STRENGTH,
    VOLUME,
    material_options,
    separation,
    separation_option,
    taken,
    value,
)
from steepboard.cli.place import Place
from steepboard.cli.render import (
    days,
    finding_rows,
    json_option,
    mass,
    say,
    say_json,
    say_table,
    volume,
)
from steepboard.domain.figures import one_to, percent
from steepboard.services import acts, plans
from steepboard.services.plans import Planned, Wish

if TYPE_CHECKING:
    from datetime import datetime
    from typing import Any

    from steepboard.amounts import Amount
    from steepboard.catalogue.load import Library
    from steepboard.services.desk import Desk


@click.command()
@click.option("--want", type=VOLUME, help="What is to be bottled: plans backwards.")
@click.option("--have", type=MASS, help="The botanical there is: plans forwards.")
@click.option("--have-spirit", type=VOLUME, help="The spirit there is: plans forwards.")
@click.option("--jar", "vessel", type=VOLUME, help="What the jar holds; filled to nine tenths.")
@click.option("--strength", type=STRENGTH, required=True, help="Of the spirit poured.")
@click.option("--ratio", type=RATIO, help="mL for each gram; the house rule's if not said.")
@click.option("--botanical", metavar="NAME", help="Fills in what the catalogue knows of it.")
@click.option("--spirit", metavar="NAME", help="What is poured.")
@separation_option
@material_options
@click.option("--charge", is_flag=True, help="Charge the jar as planned.")
@json_option
@click.pass_obj
@click.pass_context
def plan(ctx: click.Context, place: Place, /, charge: bool, as_json: bool, **said: Any) -> None:
    """Plan a jar: how much to weigh and to pour.

    Example: steepboard plan --want 250ml --strength 45% --botanical caraway

    Example: steepboard plan --have 40g --strength 45% --botanical caraway --charge
    """
    _refuse_unclear(ctx, charge, said)
    with place.desk() as desk:
        made = plans.make(desk.settings, _wish(said), desk.library)
        if charge:
            _charge(desk, made, place.now, acknowledge=said["acknowledge"], as_json=as_json)
        elif as_json:
            say_json(_json(made))
        else:
            _say(made, said["strength"].echo, desk.library)


def _charge(desk: Desk, made: Planned, now: datetime, *, acknowledge: bool, as_json: bool) -> None:
    read = to_acknowledge(made.order.botanicals, desk.library) if acknowledge else ()
    jar = acts.charge(desk, replace(made.order, acknowledged=read), now)
    if as_json:
        line, pour = jar.charge.botanicals[0], jar.charge.spirits[0]
        charged = {"charged_botanical_g": line.mass_g, "charged_solvent_ml": pour.volume_ml}
        say_json({**_json(made), "code": jar.code, **charged})
    else:
        say_charged(desk, jar)


def _refuse_unclear(ctx: click.Context, charge: bool, said: dict[str, Any]) -> None:
    forwards = any(said[name] for name in ("have", "have_spirit"))
    if said["want"] and forwards:
        raise click.UsageError("Either say what you want or what you have, not both.", ctx)
    if not (said["want"] or forwards or said["vessel"]):
        raise click.UsageError("Give --want, --have, --have-spirit or --jar.", ctx)
    if charge and not said["botanical"]:
        raise click.UsageError("To charge the jar, say with what: --botanical NAME.", ctx)


def _wish(said: dict[str, Any]) -> Wish:
    strength: Amount = said["strength"]
    return Wish(
        strength.value,
        name=taken(said["botanical"]) if said["botanical"] else plans.UNNAMED,
        want_ml=value(said["want"]),
        have_g=value(said["have"]),
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
    )


def _json(made: Planned) -> dict[str, object]:
    found = made.plan
    return {
        "botanical_g": found.botanical_g,
        "solvent_ml": found.solvent_ml,
        "ratio": found.ratio,
        "liquor_ml": found.liquor_ml,
        "true_strength": found.true_strength,
        "solids_free_strength": found.solids_free_strength,
        "apparent_strength": found.apparent_strength,
        "expected_ml": found.expected_ml,
        "low_ml": found.low_ml,
        "high_ml": found.high_ml,
        "findings": finding_rows(found.findings),
    }


def _say(made: Planned, strength: str, library: Library) -> None:
    found, known = made.plan, made.known
    say_table(
        [
            ("weigh", f"{mass(found.botanical_g)} of {made.order.botanicals[0].name}"),
            ("pour", f"{volume(found.solvent_ml)} of {strength}"),
            ("ratio", one_to(found.ratio)),
            ("in the jar", f"{volume(found.liquor_ml)} of liquid, {volume(found.fill_ml)} in all"),
            *liquor_rows(found.liquor),
            expected_row(found.expected_ml, found.low_ml, found.high_ml),
            ("steep", days(round(known["days"].value))),
        ]
    )
    if found.binding:
        say(f"The {found.binding} sets the size.")
    if made.preparation:
        say(f"Prepare: {made.preparation}")
    say_findings(found.findings)
    say_cautions_shortly(made.cautions, made.order.botanicals, library)
    say("Taken as known:")
    say_table(
        [
            ("water", percent(known["moisture"].value, 0), known["moisture"].source),
            ("soluble", percent(known["soluble"].value, 0), known["soluble"].source),
            ("held", f"{known['held'].value:.2g} mL/g", known["held"].source),
            ("kept", f"{known['kept'].value:g} mL", known["kept"].source),
            ("days", f"{known['days'].value:.0f}", known["days"].source),
        ]
    )
