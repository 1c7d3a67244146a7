"""What stands, how long it lasts, what to start when, and drinks sold drawn from a list."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from steepboard.cli.acting import say_undone
from steepboard.cli.params import VOLUME_READ
from steepboard.cli.place import Place
from steepboard.cli.render import (
    day,
    iso,
    json_option,
    mass,
    say,
    say_json,
    say_table,
    volume,
)
from steepboard.domain.figures import days, percent, short
from steepboard.errors import BadList

if TYPE_CHECKING:
    from datetime import date

    from steepboard.domain.forecast import RunOut
    from steepboard.services.ahead import Ahead, Begin, Buy
    from steepboard.services.stock import Stock

_EMPTY = "No bottle stands here. `steepboard bottle CODE 2x100ml` fills some from a strained jar."
_HEAD = ("", "stands", "a week", "gone in days", "start by")
_NOT_DRAWN, _LONG, _GONE = "not drawn yet", "over two years", "gone"
_OFF = "off"
_FORGET = "forget"


@click.command()
@click.argument("name", nargs=-1, metavar="[NAME]")
@json_option
@click.pass_obj
def stock(place: Place, name: tuple[str, ...], as_json: bool) -> None:
    """Show what stands of each kind, and by when to start anew.

    Of each kind it says how much goes in a week and when it may be gone. With a name it gives the
    reasons of the day.

    Example: steepboard stock caraway
    """
    from steepboard.services import stock as kinds

    with place.desk() as desk:
        today = desk.day(place.now)
        if name:
            one = kinds.one(desk, " ".join(name), place.now)
            if as_json:
                say_json(_json(one))
            else:
                _say_one(one, today)
            return
        found = kinds.stock(desk, place.now)
    if as_json:
        say_json([_json(one) for one in found])
        return
    if not found:
        say(_EMPTY)
        return
    say_table([_HEAD, *(_row(one, today) for one in found)])
    if any(one.run_out and one.run_out.middle for one in found):
        say("Eight times in ten it is gone between the two days in brackets.")


@click.command()
@click.argument("words", nargs=-1, required=True, metavar="NAME VOLUME|off|forget")
@click.option("--undo", "back", is_flag=True, help="Take back what was said last of it.")
@json_option
@click.pass_context
def par(ctx: click.Context, words: tuple[str, ...], back: bool, as_json: bool) -> None:
    """Say how much of a kind is always to stand.

    `off` says that it is not made again; `forget` that no such amount is kept any more.

    Example: steepboard par caraway 60ml
    """
    from steepboard.services import stock as kinds

    place: Place = ctx.obj
    if back:
        with place.desk() as desk:
            undone = kinds.undo_par(desk, " ".join(words), place.now)
            say_undone(desk, undone, as_json=as_json)
        return
    *name, least = words
    if not name:
        raise click.UsageError("Say of what, and how much of it is to stand.", ctx)
    ml = {_OFF: 0.0, _FORGET: None}.get(least.casefold(), -1.0)
    if ml == -1.0:
        ml = VOLUME_READ.convert(least, None, ctx).value
    with place.desk() as desk:
        found = kinds.set_par(desk, " ".join(name), ml, place.now)
        today = desk.day(place.now)
    if as_json:
        say_json(_json(found) if found else None)
        return
    if found:
        _say_one(found, today)
    else:
        say("Kept no longer.")


@click.command()
@json_option
@click.pass_obj
def ahead(place: Place, as_json: bool) -> None:
    """Plan four weeks: what to start when, and what to buy for it.

    It also says how many jars steep at one time and what room they fill.

    Example: steepboard ahead
    """
    from steepboard.services.ahead import WEEKS
    from steepboard.services.ahead import ahead as look

    with place.desk() as desk:
        found = look(desk, place.now)
    if as_json:
        say_json(_ahead_json(found))
        return
    if not found.begins:
        say(f"Nothing has to be started within {WEEKS} weeks.")
        return
    alone = found.jars_most == 1
    jars = "1 jar steeps" if alone else f"{found.jars_most} jars steep"
    say("Charge:")
    for one in found.begins:
        _say_begin(one)
    say("It takes:")
    say_table(_buy_row(one) for one in found.buys)
    say(
        f"At most {jars} at one time, today {found.jars_now}; "
        f"{'it fills' if alone else 'they fill'} {found.room_most_ml / 1e3:.1f} L at most."
    )


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--known-only", is_flag=True, help="Leave out drinks that have no house dose.")
@click.option("--undo", "back", is_flag=True, help="Take back all draws of this list.")
@json_option
@click.pass_obj
def sold(place: Place, file: Path, known_only: bool, back: bool, as_json: bool) -> None:
    """Draw what drinks took, from a CSV list of what was sold.

    The list has the columns date, drink and count. All rows or none. Each drink takes its house
    doses. The same file counts only once, unless its draws were taken back. `--undo` goes by what
    is in the file, and by its name only where it cannot be read.

    Example: steepboard sold friday.csv
    """
    from steepboard.services import sold as lists
    from steepboard.services.undoing import undo_sold

    with place.desk() as desk:
        if back:
            undone = undo_sold(desk, file.name, lists.read_drawn(desk, file), place.now)
            say_undone(desk, undone, as_json=as_json)
            return
        content = lists.read_file(file)
        try:
            found = lists.sold(desk, file.name, content, place.now, known_only=known_only)
        except BadList as fault:
            for line, reason in fault.faults:
                say(f"line {line}: {reason}", to_stderr=True)
            raise
    if as_json:
        taken = [{"code": t.code, "name": t.name, "volume_ml": t.volume_ml} for t in found.taken]
        say_json({"drinks": found.drinks, "taken": taken, "left_out": list(found.left_out)})
        return
    counted = "1 drink was" if found.drinks == 1 else f"{found.drinks} drinks were"
    say(f"{counted} counted. Taken:")
    say_table((one.code, volume(one.volume_ml), one.name) for one in found.taken)
    if found.left_out:
        say(f"Left out, for want of a house dose: {', '.join(found.left_out)}.")


def _row(one: Stock, today: date) -> tuple[str, ...]:
    use = f"{one.use.ml_per_week:.0f} mL" if one.use else ""
    return (one.name, _stands(one), use, _days_left(one.run_out), _start_by(one, today))


def _stands(one: Stock) -> str:
    return f"{one.left_ml:.1f} ± {one.left_u_ml:.1f} mL" if one.level else "none"


def _days_left(told: RunOut | None) -> str:
    """Return a run-out in days: `13 (7 to 21)`."""
    if told is None:
        return _NOT_DRAWN
    if not told.middle:
        return _LONG if told.middle is None else _GONE
    return f"{told.middle} ({told.early or 0} to {_LONG if told.late is None else told.late})"


def _lasts(told: RunOut | None) -> str:
    """Return a run-out in words: `gone in 13 days, eight times in ten 7 to 21`."""
    if told is None or not told.middle:
        return _days_left(told)
    late = _LONG if told.late is None else told.late
    return f"gone in {days(told.middle)}, eight times in ten {told.early or 0} to {late}"


def _start_by(one: Stock, today: date) -> str:
    """Return a start-by date for people, how late it is, or why there is none."""
    if one.start is None:
        return "not made again" if one.par_ml == 0.0 else ""
    late = (today - one.start.day).days
    return f"{days(late)} late" if late > 0 else day(one.start.day)


def _say_one(one: Stock, today: date) -> None:
    codes = f": {', '.join(b.code for b in one.level.bottles)}" if one.level else ""
    rows = [("stands", f"{_stands(one)}{codes}")]
    if one.par_ml:
        below = ", and less does" if one.below_par else ""
        rows.append(("least", f"{short(one.par_ml)} mL are to stand{below}"))
    if one.use:
        use = f"{one.use.ml_per_week:.1f} ± {one.use.ml_per_week_u:.1f} mL a week"
        rows.append(("use", f"{use}, by its draws, the older ones for less"))
    rows.append(("lasts", _lasts(one.run_out)))
    rows += [
        ("under way", f"{c.jar.code}, {c.volume_ml:.0f} ± {c.u_ml:.0f} mL, ready {day(c.ready_on)}")
        for c in one.coming
    ]
    say(f"{one.name}:")
    say_table(rows)
    told = _start_by(one, today)
    if one.start:
        late = f", {told}" if one.start.day < today else ""
        say(f"Start by {day(one.start.day)}{late}:")
        say_table((term.what, _signed(term.days), term.source) for term in one.start.terms)
    elif told:
        say(f"{told.capitalize()}.")


def _signed(count: int) -> str:
    return f"{'-' if count < 0 else '+'}{days(abs(count))}"


def _say_begin(one: Begin) -> None:
    late = f"now, it was due {days(one.late_days)} ago" if one.late_days else ""
    say(f"  {late or f'by {day(one.day)}'}: {one.like.name}, like {one.like.code}")
    charge = one.like.charge
    parts = [f"{line.mass_g:.4g} g {line.name}" for line in charge.botanicals]
    for s in charge.spirits:
        strength = f" {percent(s.strength, 0)}" if s.strength else ""
        parts.append(f"{s.volume_ml:.4g} mL {s.name}{strength}")
    say(f"    {', '.join(parts)}")
    ready = day(one.ready_on)
    say(f"    fills {one.fill_ml:.0f} mL, brings {one.brings_ml:.0f} mL on {ready}")


def _buy_row(one: Buy) -> tuple[str, ...]:
    if one.strength is None:
        return one.name, mass(one.amount), f"by {day(one.by)}"
    return f"{one.name} {percent(one.strength, 0)}", volume(one.amount), f"by {day(one.by)}"


def _json(one: Stock) -> dict[str, object]:
    run_out, use = one.run_out, one.use
    return {
        "name": one.name,
        "bottles": [bottle.code for bottle in one.level.bottles] if one.level else [],
        "left_ml": one.left_ml,
        "left_ml_u": one.left_u_ml,
        "par_ml": one.par_ml,
        "use_ml_per_week": use.ml_per_week if use else None,
        "use_ml_per_week_u": use.ml_per_week_u if use else None,
        "run_out_days": [run_out.early, run_out.middle, run_out.late] if run_out else None,
        "coming": [
            {"code": c.jar.code, "ready_on": iso(c.ready_on), "volume_ml": c.volume_ml,
             "volume_ml_u": c.u_ml} for c in one.coming
        ],
        "start_by": iso(one.start.day) if one.start else None,
        "like": one.last.code if one.last else None,
        "reasons": [
            {"what": t.what, "days": t.days, "source": t.source} for t in one.start.terms
        ] if one.start else [],
    }  # fmt: skip


def _ahead_json(found: Ahead) -> dict[str, object]:
    return {
        "begins": [
            {
                "start_by": iso(one.day),
                "late_days": one.late_days,
                "like": one.like.code,
                "name": one.like.name,
                "strain_on": iso(one.strain_on),
                "ready_on": iso(one.ready_on),
                "fill_ml": one.fill_ml,
                "brings_ml": one.brings_ml,
            }
            for one in found.begins
        ],
        "botanicals": [
            {"name": b.name, "mass_g": b.amount, "by": iso(b.by)}
            for b in found.buys
            if b.strength is None
        ],
        "spirits": [
            {"name": b.name, "strength": b.strength, "volume_ml": b.amount, "by": iso(b.by)}
            for b in found.buys
            if b.strength is not None
        ],
        "jars_now": found.jars_now,
        "jars_most": found.jars_most,
        "room_most_ml": found.room_most_ml,
    }
