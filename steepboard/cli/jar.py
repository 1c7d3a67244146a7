"""Everything of one jar."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from steepboard.cli.balances import balance_json, say_balance
from steepboard.cli.diary_rows import line, line_json
from steepboard.cli.habits import habit_json
from steepboard.cli.minding import mind_json, say_cautions, say_doses
from steepboard.cli.orders import (
    charge_rows,
    details_json,
    details_rows,
    jar_json,
)
from steepboard.cli.place import Place
from steepboard.cli.render import (
    finding_rows,
    iso,
    json_option,
    say,
    say_findings,
    say_json,
    say_table,
    word,
)
from steepboard.cli.silence import silence
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.domain.records import Habit
from steepboard.services import straining, views
from steepboard.services import why as where_from
from steepboard.services.details import details
from steepboard.services.diary_words import told
from steepboard.services.reminder_acts import in_words
from steepboard.services.straining_result import result
from steepboard.services.waiting import waiting

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.domain.balance import Balance
    from steepboard.domain.records import Entry, Jar
    from steepboard.services.desk import Desk
    from steepboard.services.details import Details
    from steepboard.services.straining_result import Result


@click.command()
@click.argument("code")
@why_option
@json_option
@click.pass_obj
def jar(place: Place, code: str, why: bool, as_json: bool) -> None:
    """Show everything of one jar: charge, balance, cautions, diary.

    Example: steepboard jar CARA-01
    """
    with place.desk() as desk:
        found = views.jar(desk, code)
        known = details(desk, found)
        balance = straining.balance(desk, found)
        strained = (balance, result(desk, found, balance)) if balance else None
        diary = views.diary(desk, found)
        answers = where_from.of_jar(desk, found) if why else ()
        if as_json:
            put_off = [
                {"kind": kind.value.replace("-", "_"), "until": iso(until)}
                for kind, until in waiting(desk, found, place.now).put_off
            ]
            reminders = {"reminders": habit_json(desk, found), "put_off": put_off}
            say_json(_json(found, known, strained, diary) | reminders | why_json(answers))
        else:
            more = [*_cost(desk, found), *_reminding(desk, found, place.now)]
            _say(desk, found, known, strained, diary, more)
            say_why(answers)


def _say(
    desk: Desk,
    found: Jar,
    known: Details,
    strained: tuple[Balance, Result] | None,
    diary: tuple[Entry, ...],
    more: list[tuple[str, str]],
) -> None:
    say(f"{found.code}, {found.name}: {found.state.value}.")
    say_table([*charge_rows(found), *details_rows(known), _intensity(known), *more])
    say_findings(known.findings)
    if strained:
        say("Where it went:")
        say_balance(*strained)
    say_doses(known.doses)
    say_cautions(known.cautions)
    say("Taken as known:")
    say_table(known.sources)
    say("Diary:")
    say_table(_entry(desk, entry, diary) for entry in diary)


def _intensity(known: Details) -> tuple[str, str]:
    """Return the row of the index that makes two batches comparable."""
    text = f"{known.intensity:.2f}, where 1 g in 5 mL of 40 % with nothing lost has 0.20"
    return "intensity", f"{text}; a rule of thumb, taste it"


def _cost(desk: Desk, found: Jar) -> list[tuple[str, str]]:
    """Return the row of what the jar cost, where the house has prices."""
    from steepboard.services import costs, money

    made = costs.cost_of(desk, found)
    if made is None:
        return []
    code = desk.settings.money.currency
    told = f"{money.shown(made.cost.total, code)}, {money.shown_finely(made.per_ml, code)} a mL"
    missing = ", ".join(made.cost.unpriced)
    return [("cost", f"{told}; no price of {missing}" if missing else told)]


def _reminding(desk: Desk, found: Jar, now: datetime) -> list[tuple[str, str]]:
    """Return the rows of what the jar does differently from the house, and of its silence."""
    own, quiet = replace(found.habit, muted_until=None), silence(desk, found, now)
    rows = [("reminders", in_words(own))] if own != Habit() else []
    return [*rows, ("quiet", quiet)] if quiet else rows


def _entry(desk: Desk, entry: Entry, diary: tuple[Entry, ...]) -> tuple[str, str, str, str]:
    return line(entry, told(entry, diary, desk.zone), desk.zone)


def _json(
    found: Jar,
    known: Details,
    strained: tuple[Balance, Result] | None,
    diary: tuple[Entry, ...],
) -> dict[str, object]:
    return {
        **jar_json(found),
        **details_json(known),
        "findings": finding_rows(known.findings),
        "balance": balance_json(*strained) if strained else None,
        **mind_json(known.cautions, known.doses),
        "sources": [{"figure": figure, "source": source} for figure, source in known.sources],
        "diary": [_entry_json(entry) for entry in diary],
    }


def _entry_json(entry: Entry) -> dict[str, object]:
    return {
        **line_json(entry),
        "strain_on": iso(entry.strain_on),
        "acknowledged": list(entry.acknowledged),
        "readings": [
            {
                "measure": word(reading.measure),
                "unit": reading.measure.unit,
                "value": reading.value,
                "typed": reading.typed,
                "temperature_c": reading.temperature_c,
                "instrument": word(reading.instrument) if reading.instrument else None,
            }
            for reading in entry.readings
        ],
    }
