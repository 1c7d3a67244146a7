"""What wants a hand today, the week ahead, and the list of jars."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import (
    away_line,
    day,
    iso,
    json_option,
    say,
    say_json,
    say_table,
    word,
)
from steepboard.cli.silence import silence
from steepboard.domain.figures import days
from steepboard.domain.records import State
from steepboard.services import views
from steepboard.services.rhythms import quiet_of
from steepboard.services.views import Hand, ShelfView, Want

if TYPE_CHECKING:
    from steepboard.domain.records import Jar
    from steepboard.services.calendar import DayItem
    from steepboard.services.desk import Desk

_EMPTY = (
    "Nothing steeps on this shelf. Charge a jar, say `steepboard charge caraway 40g 300ml 45%`, "
    "or see `steepboard demo`."
)


@click.command()
@json_option
@click.pass_obj
def today(place: Place, as_json: bool) -> None:
    """List what wants a hand now, the most pressing first.

    Example: steepboard today
    """
    with place.desk() as desk:
        shelf = views.shelf(desk, place.now)
        away = quiet_of(desk).away
        rows = [] if as_json else _want_rows(desk, shelf)
    if as_json:
        say_json([_want_json(want) for want in shelf.wants])
        return
    say(f"{shelf.today:%A} {shelf.today.day} {shelf.today:%B %Y}")
    if away and away.last >= shelf.today:
        say(away_line(away))
    say_table(rows)
    if not shelf.wants:
        say(_nothing(shelf))


@click.command()
@json_option
@click.pass_obj
def week(place: Place, as_json: bool) -> None:
    """List what the jars ask for within seven days.

    Example: steepboard week
    """
    from steepboard.services import calendar

    with place.desk() as desk:
        first = desk.day(place.now)
        found = calendar.between(desk, first, first + timedelta(days=6), place.now)
    items = [item for item in found if item.kind is not calendar.DayKind.CHARGED]
    if as_json:
        say_json(
            [
                {
                    "day": iso(item.day),
                    "kind": word(item.kind),
                    "code": item.jar.code,
                    "name": item.jar.name,
                    "late_days": item.late_days,
                }
                for item in items
            ]
        )
        return
    say_table((day(item.day), _asked(item), item.jar.code, item.jar.name) for item in items)
    if not items:
        say("Nothing is asked for within seven days but stirring. `steepboard today` has that.")


@click.command()
@json_option
@click.pass_obj
def jars(place: Place, as_json: bool) -> None:
    """List all jars, the unfinished ones first.

    Example: steepboard jars
    """
    from steepboard.cli.orders import jar_json

    with place.desk() as desk:
        found = views.all_jars(desk)
        if as_json:
            say_json([jar_json(jar) for jar in found])
            return
        say_table(
            (jar.code, jar.state.value, _since(desk, jar), jar.name, silence(desk, jar, place.now))
            for jar in found
        )
    if not found:
        say(_EMPTY)


def _want_rows(desk: Desk, shelf: ShelfView) -> list[tuple[str, str, str, str]]:
    """Return all that each jar wants, in one row a jar."""
    wants: dict[str, list[Want]] = {}
    for want in shelf.wants:
        wants.setdefault(want.jar.code, []).append(want)
    return [
        (
            ", ".join(map(_hand, asked)),
            code,
            asked[0].jar.name,
            silence(desk, asked[0].jar, shelf.now),
        )
        for code, asked in wants.items()
    ]


def _hand(want: Want) -> str:
    match want.hand:
        case Hand.STRAIN_LATE:
            return f"strain, {days(want.days)} late"
        case Hand.STRAIN:
            return "strain today"
        case Hand.BOTTLE:
            return f"bottle, {days(want.days)} settled"
        case Hand.START:
            return "start the next" + (f", {days(want.days)} late" if want.days else "")
        case Hand.GET_READY:
            return "get ready to strain"
        case _:
            return want.hand.value


def _asked(item: DayItem) -> str:
    from steepboard.services.calendar import DayKind

    late = f", {days(item.late_days)} late" if item.late_days else ""
    next_one = " the next" if item.kind is DayKind.START else ""
    return item.kind.value + next_one + late


def _nothing(shelf: ShelfView) -> str:
    if not shelf.rows:
        return _EMPTY
    steeping = [row.jar for row in shelf.rows if row.jar.state is State.STEEPING]
    if not steeping:
        return "Nothing wants a hand."
    first = min(steeping, key=lambda jar: jar.strain_on)
    return f"Nothing wants a hand. The next to strain is {first.code}, on {day(first.strain_on)}."


def _since(desk: Desk, jar: Jar) -> str:
    """Return the day that matters most in a jar's state."""
    match jar.state:
        case State.STEEPING:
            return f"strain {day(jar.strain_on)}"
        case State.PLANNED if jar.planned_at:
            return f"since {day(desk.day(jar.planned_at))}"
        case State.SETTLING if jar.strained_at:
            return f"since {day(desk.day(jar.strained_at))}"
        case State.BOTTLED if jar.bottled_at:
            return f"on {day(desk.day(jar.bottled_at))}"
        case _:
            return ""


def _want_json(want: Want) -> dict[str, object]:
    return {
        "hand": word(want.hand),
        "code": want.jar.code,
        "name": want.jar.name,
        "strain_on": iso(want.jar.strain_on),
        "waiting_days": want.days,
    }
