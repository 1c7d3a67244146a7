"""How and when the shelf speaks: put off, each jar's own rhythm, days away."""

from __future__ import annotations

from dataclasses import asdict, replace
from datetime import date, datetime, time
from typing import TYPE_CHECKING, Any

import click

from steepboard.cli.place import Place
from steepboard.cli.render import away_line, day, iso, json_option, say, say_json, say_table
from steepboard.domain.figures import days
from steepboard.domain.local_time import DAY
from steepboard.domain.records import Habit
from steepboard.services import reminder_acts, views
from steepboard.services.reminder_acts import Later
from steepboard.services.rhythms import rhythm_of

if TYPE_CHECKING:
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk


class _ClockType(click.ParamType[time]):
    """A time of day."""

    name = "HH:MM"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> time:
        """Return the time; a wrong one is a wrong call."""
        try:
            return datetime.strptime(value, "%H:%M").time()  # noqa: DTZ007 - a time, no instant
        except ValueError:
            self.fail(f"“{value}” is not a time of day. Write it like 08:30.", param, ctx)


_CLOCK = _ClockType()


@click.command()
@click.argument("code")
@click.argument("until", type=click.Choice([choice.value for choice in Later]), default="1h")
@json_option
@click.pass_obj
def later(place: Place, code: str, until: str, as_json: bool) -> None:
    """Put off what is due of a jar: by an hour, or until later.

    Example: steepboard later CARA-01 tonight
    """
    with place.desk() as desk:
        put_off = reminder_acts.later(desk, code, Later(until), place.now)
    if as_json:
        say_json(
            [
                {
                    "code": one.code,
                    "kind": one.kind.value.replace("-", "_"),
                    "until": iso(one.until),
                }
                for one in put_off
            ]
        )
        return
    for one in put_off:
        what, local = one.kind.value.replace("-", " ").capitalize(), one.until.astimezone(desk.zone)
        when = f"{local:%a} {local.day} {local:%b}, {local:%H:%M}"
        say(f"{what} {one.code}: put off until {when}.")


@click.command()
@click.argument("code")
@click.option("--stir-every", "stir_every_days", type=int, metavar="N", help="Days between stirs.")
@click.option("--stir-at", type=_CLOCK, help="Time of day.")
@click.option(
    "--taste-from", "taste_from_day", type=int, metavar="DAYS", help="Days from charging on."
)
@click.option(
    "--taste-every", "taste_every_days", type=int, metavar="N", help="Days between tastings."
)
@click.option("--taste-at", type=_CLOCK, help="Time of day.")
@click.option("--strain-at", type=_CLOCK, help="Time of day.")
@click.option("--mute", metavar="DAY", help="Say nothing of it before this day, say fri or 18 Mar.")
@click.option("--unmute", is_flag=True, help="Speak of it again.")
@click.option("--as-house", is_flag=True, help="Give up what was its own.")
@json_option
@click.pass_obj
def remind(
    place: Place,
    /,
    code: str,
    mute: str | None,
    unmute: bool,
    as_house: bool,
    as_json: bool,
    **own: Any,
) -> None:
    """Say how one jar is to be reminded of, or see how it is.

    What is not said stays as it was.

    Example: steepboard remind CARA-01 --stir-every 2 --stir-at 08:30
    """
    if mute and unmute:
        raise click.UsageError("Say --mute or --unmute, not both.", click.get_current_context())
    own = {key: value for key, value in own.items() if value is not None}
    now = place.now
    with place.desk() as desk:
        jar, today = views.jar(desk, code), desk.day(now)
        if mute:
            own["muted_until"] = _day(mute, today, today + DAY)
        if own or unmute or as_house:
            before = Habit() if as_house else jar.habit.on(today)
            unmuted = {"muted_until": None} if unmute else {}
            jar = reminder_acts.remind(desk, code, replace(before, **unmuted, **own), now)
        if as_json:
            say_json({"code": jar.code, **habit_json(desk, jar)})
            return
        say(f"{jar.code}, {jar.name}, is reminded of like this:")
        say_table(_rows(desk, jar, today))


def habit_json(desk: Desk, jar: Jar) -> dict[str, object]:
    """Return how a jar is reminded of for programs, and which of it is its own."""
    told = asdict(rhythm_of(desk, jar))
    own = [key for key, value in asdict(jar.habit).items() if value is not None]
    return {**{key: _plain(value) for key, value in told.items()}, "own": own}


def _plain(value: object) -> object:
    if isinstance(value, time):
        return f"{value:%H:%M}"
    return iso(value) if isinstance(value, date) else value


def _rows(desk: Desk, jar: Jar, today: date) -> list[tuple[str, str, str]]:
    rhythm, own, charge = rhythm_of(desk, jar), jar.habit, jar.charge
    tasting = "as its botanical wants" if charge.taste_from_day else "as the house does"
    rows = [
        ("stir every", days(rhythm.stir_every_days), own.stir_every_days, "as it was charged"),
        ("stir at", f"{rhythm.stir_at:%H:%M}", own.stir_at, ""),
        ("taste from", f"day {rhythm.taste_from_day}", own.taste_from_day, tasting),
        ("taste every", days(rhythm.taste_every_days), own.taste_every_days, ""),
        ("taste at", f"{rhythm.taste_at:%H:%M}", own.taste_at, ""),
        ("get ready at", f"{rhythm.get_ready_at:%H:%M}", None, ""),
        ("strain at", f"{rhythm.strain_at:%H:%M}", own.strain_at, ""),
    ]
    muted = jar.habit.on(today).muted_until
    return [
        *(
            (what, how, "its own" if mine else otherwise or "as the house does")
            for what, how, mine, otherwise in rows
        ),
        *([("muted until", day(muted), "its own")] if muted else []),
    ]


@click.command()
@click.argument("first", metavar="FROM", required=False)
@click.argument("last", metavar="LAST", required=False)
@click.option("--end", is_flag=True, help="Speak again at once.")
@json_option
@click.pass_obj
def away(place: Place, first: str | None, last: str | None, end: bool, as_json: bool) -> None:
    """Keep quiet while you are away, from one day to another.

    Both days count. On return one notice tells what came due meanwhile, what hurts most first.
    Without days it says whether you are away.

    Example: steepboard away 18 fri
    """
    if bool(first) != bool(last) or (first and end):
        raise click.UsageError(
            "Say the first and the last day away, or --end, or nothing.",
            click.get_current_context(),
        )
    now = place.now
    with place.desk() as desk:
        before = reminder_acts.away_now(desk, now)
        if end:
            reminder_acts.end_away(desk)
        elif first and last:
            reminder_acts.set_away(desk, *_span(first, last, desk.day(now)), now)
        found = reminder_acts.away_now(desk, now)
    if as_json:
        say_json({"first": iso(found.first), "last": iso(found.last)} if found else None)
    else:
        say(away_line(found) if found else "You are not away.")
        if found and before and before != found:
            say(f"This takes the place of {day(before.first)} to {day(before.last)}.")


def _span(first: str, last: str, today: date) -> tuple[date, date]:
    """Return both days; a last one without its year or month comes after the first."""
    begins, ends = _day(first, today), _day(last, today, today)
    if first.casefold()[:3] == f"{today:%a}".casefold():
        begins = today  # elsewhere a weekday means the next one; one may leave today
    if ends < begins:
        ends = _day(last, begins)
    if ends < begins:
        raise click.UsageError(f"{last} comes before {first}.", click.get_current_context())
    return begins, ends


def _day(text: str, today: date, least: date = date.min) -> date:
    from steepboard.tui.widgets.day_reader import day_reader

    found = day_reader(today)(text)
    if found < least:
        text = f"{text} is past: say a day from {day(least)} on."
        raise click.UsageError(text, click.get_current_context())
    return found
