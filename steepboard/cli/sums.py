"""Sums that need no shelf: dilute, blend, density."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from steepboard.cli.params import (
    FRACTION,
    STRENGTH,
    TEMPERATURE,
    VOLUME,
    celsius,
    temperature_option,
)
from steepboard.cli.render import json_option, mass, say, say_json, say_table, volume
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.domain import alcohol, solvent
from steepboard.domain.figures import percent
from steepboard.errors import OutOfRange
from steepboard.services.prep import shrinks

if TYPE_CHECKING:
    from steepboard.amounts import Amount


@click.command()
@click.option("--volume", "poured", type=VOLUME, help="Of the spirit there is.")
@click.option("--want", "wanted", type=VOLUME, help="Of what it makes, instead of --volume.")
@click.option("--from", "strength", type=STRENGTH, required=True, help="Its strength.")
@click.option("--to", "target", type=STRENGTH, required=True, help="The strength wanted.")
@temperature_option
@json_option
@click.pass_context
def dilute(
    ctx: click.Context,
    poured: Amount | None,
    wanted: Amount | None,
    strength: Amount,
    target: Amount,
    temperature: Amount | None,
    as_json: bool,
) -> None:
    """Say how much water brings a spirit down to a strength.

    Example: steepboard dilute --volume 1L --from 96% --to 40%

    Example: steepboard dilute --want 500ml --from 96% --to 55% --temperature 24C
    """
    asked = poured or wanted
    if asked is None or (poured and wanted):
        raise click.UsageError("Give one of --volume and --want.", ctx)
    at_c = celsius(temperature)
    if poured:
        made = alcohol.dilute(poured.value, strength.value, target.value, at_c)
    else:
        made = solvent.made_from(strength.value, target.value, asked.value, at_c)
    if as_json:
        say_json(asdict(made))
        return
    spirit = poured.echo if poured else volume(made.spirit_ml)
    say_table(
        [
            ("spirit", f"{spirit} of {strength.echo}, which weighs {mass(made.spirit_g)}"),
            ("add water", f"{volume(made.water_ml)}, which weighs {mass(made.water_g)}"),
            ("makes", f"{volume(made.total_ml)} of {target.echo}"),
            ("together", shrinks(made.contraction_ml)),
        ]
    )


@click.command()
@click.argument("amounts", nargs=-1, metavar="VOLUME STRENGTH [VOLUME STRENGTH]…")
@temperature_option
@why_option
@json_option
@click.pass_context
def blend(
    ctx: click.Context,
    amounts: tuple[str, ...],
    temperature: Amount | None,
    why: bool,
    as_json: bool,
) -> None:
    """Say what spirits poured together make; water is 0%.

    Example: steepboard blend 300ml 40% 200ml 96%
    """
    from steepboard.services import why_blend

    if not amounts or len(amounts) % 2:
        raise click.UsageError("Give a volume and a strength for each spirit.", ctx)
    parts = [
        (VOLUME.read(poured), STRENGTH.read(strength))
        for poured, strength in zip(amounts[::2], amounts[1::2], strict=True)
    ]
    poured, at_c = [(v.value, s.value) for v, s in parts], celsius(temperature)
    made = alcohol.blend(poured, at_c)
    answers = why_blend.of_spirits(poured, at_c, made) if why else ()
    if as_json:
        told = {"total_ml": made.total_ml, "strength": made.strength}
        say_json(told | why_json(answers))
        return
    say_table(
        [
            *(("pour", f"{v.echo} of {s.echo}") for v, s in parts),
            ("makes", f"{volume(made.total_ml)} of {percent(made.strength)}"),
            ("together", shrinks(made.contraction_ml)),
        ]
    )
    say_why(answers)


@click.command()
@click.option("--strength", type=STRENGTH, help="By volume at 20 °C.")
@click.option("--mass-fraction", type=FRACTION, help="Ethanol's part of the mass.")
@click.option("--reading", type=float, help="Density in g/mL, to be turned into a strength.")
@click.option("--temperature", type=TEMPERATURE, help="Of the liquid; 20 °C if not said.")
@json_option
@click.pass_context
def density(
    ctx: click.Context,
    strength: Amount | None,
    mass_fraction: Amount | None,
    reading: float | None,
    temperature: Amount | None,
    as_json: bool,
) -> None:
    """Say the density of spirit, or the strength by its density.

    By the formula of OIML R 22, from -20 to 40 °C.

    Example: steepboard density --strength 40% --temperature 25C
    """
    if sum(given is not None for given in (strength, mass_fraction, reading)) != 1:
        raise click.UsageError("Give one of --strength, --mass-fraction and --reading.", ctx)
    at_c = celsius(temperature)
    if reading is not None:
        p = _mass_fraction_at(reading, at_c)
    elif mass_fraction is not None:
        p = mass_fraction.value
    else:
        p = alcohol.mass_fraction_of(strength.value) if strength else 0.0
    by_volume = alcohol.strength_of(p)
    kg_m3 = alcohol.density_kg_m3(p, at_c)
    if not as_json:
        say_table(
            [
                ("density", f"{kg_m3 / 1e3:.5f} g/mL at {at_c:g} °C"),
                ("strength", f"{100 * by_volume:.2f} % by volume at 20 °C"),
                ("mass", f"{100 * p:.2f} % ethanol"),
            ]
        )
        say("For spirit and water alone: whatever is dissolved in it hides alcohol.")
    elif reading is not None:
        say_json({"strength": by_volume, "mass_fraction": p})
    else:
        say_json({"density_kg_m3": kg_m3, "mass_fraction": p})


def _mass_fraction_at(g_ml: float, at_c: float) -> float:
    """Return the mass fraction at a density; one of no spirit is refused in g/mL, as typed."""
    try:
        return alcohol.mass_fraction_at_density(g_ml * 1e3, at_c)
    except OutOfRange:
        low, high = (alcohol.density_kg_m3(p, at_c) / 1e3 for p in (1.0, 0.0))
        allowed = f"from {low:.5f} to {high:.5f} g/mL at {at_c:g} °C"
        raise OutOfRange("density", g_ml, allowed) from None
