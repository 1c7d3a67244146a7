"""Strain a jar, or add readings to a straining."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from steepboard.cli.balances import balance_json, say_balance
from steepboard.cli.minding import mind_json, say_caution_titles
from steepboard.cli.params import separation, separation_option
from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json, say_table, word
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.domain.expecting import Z_80
from steepboard.domain.records import Measure, State
from steepboard.errors import BadAmount, Doubtful, OutOfRange, WrongState
from steepboard.services import acts, straining, views
from steepboard.services import why as where_from
from steepboard.services.details import details
from steepboard.services.straining_result import result
from steepboard.services.why_expected import of_expected

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import datetime

    from steepboard.domain.expecting import Likely
    from steepboard.domain.records import Jar, Reading
    from steepboard.domain.why import Why
    from steepboard.services.desk import Desk

_LIQUIDS = {
    "recovered": ("What was bottled in the end.", Measure.RECOVERED, Measure.RECOVERED_MASS),
    "drained": ("What ran off by itself.", Measure.DRAINED, Measure.DRAINED_MASS),
    "pressed": ("What pressing brought on top.", Measure.PRESSED, Measure.PRESSED_MASS),
    "filtered": ("What came through the filter.", Measure.FILTERED, Measure.FILTERED_MASS),
}
"""By volume or on the scale, or both: their options may be given twice."""
_OTHERS = {
    "recovered-mass": ("What was bottled, on the scale.", Measure.RECOVERED_MASS),
    "marc": ("Wet spent solids, without their cloth.", Measure.MARC),
    "dry-marc": ("The same, dried until they lose no more.", Measure.DRY_MARC),
    "filter-before": ("The dry filter.", Measure.FILTER_BEFORE),
    "filter-after": ("The wet filter, dripped out.", Measure.FILTER_AFTER),
    "sediment": ("Mud that was left behind.", Measure.SEDIMENT),
    "sampled": ("Taken for tasting before.", Measure.SAMPLED),
    "gross-charged": ("The closed jar after charging.", Measure.GROSS_CHARGED),
    "gross-before": ("The same closed jar before straining.", Measure.GROSS_BEFORE),
    "hydrometer": ("What it shows, say “37% at 18C”.", Measure.HYDROMETER),
    "dried": ("Bottled liquid that was dried out.", Measure.RESIDUE_VOLUME),
    "residue": ("What stayed of it when dry.", Measure.RESIDUE),
    "wash": ("Poured on the drained solids.", Measure.WASH),
    "wash-strength": ("Of what was poured on them.", Measure.WASH_STRENGTH),
    "washed-out": ("What came back of it.", Measure.WASHED_OUT),
}


class _Reading(click.ParamType[Any]):
    """A reading of one measure, or of two that the unit tells apart."""

    name = "reading"

    def __init__(self, *measures: Measure) -> None:
        self._measures = measures

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return what was understood; a wrong reading is a wrong call, told with an example."""
        from steepboard.services.typed_readings import read_typed

        try:
            return read_typed(value, *self._measures)
        except (BadAmount, OutOfRange) as fault:
            self.fail(str(fault), param, ctx)


def _reading_options(command: Callable[..., Any]) -> Callable[..., Any]:
    options = [
        *(
            click.option(f"--{name}", type=_Reading(*two), multiple=True, help=text)
            for name, (text, *two) in _LIQUIDS.items()
        ),
        *(
            click.option(f"--{name}", type=_Reading(one), help=text)
            for name, (text, one) in _OTHERS.items()
        ),
    ]
    for option in reversed(options):
        command = option(command)
    return command


@click.command()
@click.argument("code")
@_reading_options
@separation_option
@click.option("--sure", is_flag=True, help="Keep also what is far from what was to be expected.")
@why_option
@json_option
@click.pass_obj
def strain(place: Place, /, code: str, sure: bool, why: bool, as_json: bool, **said: Any) -> None:
    """Strain a jar with what was read, or add to what was read.

    With what was recovered it is bottled; without any reading it is left to settle. A reading may
    name its instrument: "812g on kitchen", "41.2g on jeweller's". What lies far from what was to
    be expected is asked about once.

    Example: steepboard strain CARA-01 --recovered 250ml --marc 110g
    """
    now, way = place.now, separation(said.pop("separation"))
    with place.desk() as desk:
        jar = views.jar(desk, code)
        if way and jar.state is not State.STEEPING:
            raise WrongState(jar.code, jar.state.value, "strained in another way")
        read = _readings(desk, said, now)
        asked = replace(jar, charge=replace(jar.charge, separation=way)) if way else jar
        doubts = _doubts(desk, asked, read)
        if doubts and not sure:
            _insist(doubts, asks=not as_json)
        ended = any(r.measure in straining.FINAL for r in read)
        jar = acts.strain(desk, code, read, now, separation=way, bottled=ended)
        found, known = straining.balance(desk, jar), details(desk, jar)
        told = result(desk, jar, found) if found else None
        likely = {} if found else straining.likely(desk, jar)
        answers: tuple[Why, ...] = ()
        if why:
            answers = (*of_expected(desk, jar, likely), *where_from.of_balance(desk, jar))
    if as_json:
        mind = mind_json(known.cautions, known.doses)
        strained = {"code": jar.code, "state": word(jar.state), "doubts": doubts}
        known_of_it = {**balance_json(found, told), **_expected_json(likely)}
        say_json({**strained, **known_of_it, **mind, **why_json(answers)})
        return
    say(f"{jar.code}, {jar.name}: {jar.state.value}.")
    if found and told:
        say_balance(found, told)
    else:
        say("Read what was recovered to see where the rest went. Eight times in ten, expect:")
        say_table(
            [
                (measure.value, straining.amount_between(measure, one.between(Z_80)))
                for measure, one in likely.items()
            ]
        )
    for doubt in doubts:
        say(f"? {doubt}")
    say_caution_titles(known.cautions)
    say_why(answers)


def _expected_json(likely: Mapping[Measure, Likely]) -> dict[str, object]:
    """Return the 80 % interval of each reading, in its unit; none once a balance stands."""
    rows = []
    for measure, one in likely.items():
        low, high = one.between(Z_80)
        rows.append({"measure": measure.value, "unit": measure.unit, "low": low, "high": high})
    return {"expected": rows}


def _readings(desk: Desk, said: dict[str, Any], now: datetime) -> tuple[Reading, ...]:
    """Return the readings in the order of the options; of a measure the last one."""
    typed = [one for given in said.values() for one in _each(given)]
    last = {one.measure: one for one in typed}
    return tuple(straining.understood(desk, one, now) for one in last.values())


def _each(given: Any) -> tuple[Any, ...]:
    if given is None:
        return ()
    return given if isinstance(given, tuple) else (given,)


def _doubts(desk: Desk, jar: Jar, read: tuple[Reading, ...]) -> list[str]:
    return [doubt for one in read if (doubt := straining.doubt(desk, jar, one, read))]


def _insist(doubts: list[str], *, asks: bool) -> None:
    """Ask once, where somebody is there to answer; raises `Doubtful` where nobody is."""
    if not (asks and is_answered()):
        raise Doubtful(tuple(doubts))
    for doubt in doubts:
        say(f"? {doubt}")
    click.confirm("Keep it as it stands?", abort=True)


def is_answered() -> bool:
    """Whether somebody sits at the terminal."""
    return sys.stdin.isatty()
