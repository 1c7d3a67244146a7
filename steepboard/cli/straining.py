"""Strain a jar, or add readings to a straining."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from steepboard.cli.balances import balance_json, say_balance
from steepboard.cli.minding import mind_json, say_caution_titles
from steepboard.cli.params import MASS_READ, VOLUME_READ, separation, separation_option
from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json, word
from steepboard.domain.records import Measure, State
from steepboard.errors import WrongState
from steepboard.services import acts, straining, views
from steepboard.services.details import details

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime
    from typing import Any

    from steepboard.amounts import Amount
    from steepboard.domain.records import Reading
    from steepboard.services.desk import Desk

_OPTIONS = {
    Measure.RECOVERED: ("--recovered", "What was bottled in the end."),
    Measure.RECOVERED_MASS: ("--recovered-mass", "The same on the scale."),
    Measure.MARC: ("--marc", "Wet spent solids, without their cloth."),
    Measure.FILTER_BEFORE: ("--filter-before", "The dry filter."),
    Measure.FILTER_AFTER: ("--filter-after", "The wet filter, dripped out."),
    Measure.DRAINED: ("--drained", "What ran off by itself."),
    Measure.PRESSED: ("--pressed", "What pressing brought on top."),
    Measure.SEDIMENT: ("--sediment", "Mud that was left behind."),
    Measure.SAMPLED: ("--sampled", "Taken for tasting before."),
    Measure.GROSS_CHARGED: ("--gross-charged", "The closed jar after charging."),
    Measure.GROSS_BEFORE: ("--gross-before", "The same closed jar before straining."),
}
_ENDS = frozenset({Measure.RECOVERED, Measure.RECOVERED_MASS})


def _reading_options(command: Callable[..., Any]) -> Callable[..., Any]:
    for measure, (option, text) in reversed(_OPTIONS.items()):
        kind = MASS_READ if measure in straining.WEIGHED else VOLUME_READ
        command = click.option(option, measure.name.lower(), type=kind, help=text)(command)
    return command


@click.command()
@click.argument("code")
@_reading_options
@separation_option
@json_option
@click.pass_obj
def strain(place: Place, /, code: str, as_json: bool, **said: Any) -> None:
    """Strain a jar with what was read, or add to what was read.

    With what was recovered it is bottled; without any reading it is left to settle.

    Example: steepboard strain CARA-01 --recovered 250ml --marc 110g
    """
    now, way = place.now, separation(said.pop("separation"))
    with place.desk() as desk:
        jar = views.jar(desk, code)
        if way and jar.state is not State.STEEPING:
            raise WrongState(jar.code, jar.state.value, "strained in another way")
        read = _readings(desk, said, now)
        asked = (straining.doubt(desk, jar, r.measure, r.value) for r in read)
        doubts = [doubt for doubt in asked if doubt]
        ended = any(r.measure in _ENDS for r in read)
        jar = acts.strain(desk, code, read, now, separation=way, bottled=ended)
        found, known = straining.balance(desk, jar), details(desk, jar)
    if as_json:
        mind = mind_json(known.cautions, known.doses)
        strained = {"code": jar.code, "state": word(jar.state), "doubts": doubts}
        say_json({**strained, **balance_json(found), **mind})
        return
    say(f"{jar.code}, {jar.name}: {jar.state.value}.")
    if found:
        say_balance(found)
    else:
        say("Read what was recovered to see where the rest went.")
    for doubt in doubts:
        say(f"? {doubt}")
    say_caution_titles(known.cautions)


def _readings(desk: Desk, said: dict[str, Amount | None], now: datetime) -> tuple[Reading, ...]:
    return tuple(
        straining.reading(desk, measure, amount.value, amount.typed, amount.resolution, now)
        for measure in _OPTIONS
        if (amount := said[measure.name.lower()]) is not None
    )
