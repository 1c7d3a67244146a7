"""Write the calendar file, once or for as long as the reminders are kept."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import say
from steepboard.errors import SteepboardError

if TYPE_CHECKING:
    from steepboard.services.desk import Desk

_LOOK_EVERY_S = 5.0  # assumed: what syncs the file takes longer


@click.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write it there, and only when something in it has changed.",
)
@click.pass_obj
def calendar(place: Place, out: Path | None) -> None:
    """Print what the jars ask for, for the calendar of a phone.

    It has each jar's stirs, tastings, strain day and bottling, with their alarms. Days on which a
    jar is muted or you are away are left out.

    Example: steepboard calendar --out jars.ics
    """
    from steepboard.services.calendar_file import calendar_text, write_calendar

    with place.desk() as desk:
        if out is None:
            click.echo(calendar_text(desk, place.now), nl=False)
        elif write_calendar(desk, out, place.now):
            say(f"{out} is written.")
        else:
            say(f"{out} is up to date.")


async def keep_fresh(
    path: Path,
    desk: Desk,
    clock: Callable[[], datetime],
    renew: Callable[[Desk], Desk],
    warn: Callable[[str], None],
) -> None:
    """Write the calendar whenever record, settings, zone or day have changed, until cancelled.

    Why the file cannot be written is told once; it is tried again at each look.
    """
    written, told = None, ""
    with desk.opened_again() as watched:  # one's own writes would not be seen
        while True:
            try:
                desk = renew(desk)
                sign = watched.version(), desk, desk.day(clock())
                if sign != written:
                    await asyncio.to_thread(_write, desk, path, clock())
                    written, told = sign, ""
            except (OSError, SteepboardError) as fault:
                if (why := f"The calendar is not written. {fault}") != told:
                    told = why
                    warn(why)
            await asyncio.sleep(_LOOK_EVERY_S)


def _write(desk: Desk, path: Path, now: datetime) -> None:
    from steepboard.services.calendar_file import write_calendar

    with desk.opened_again() as own:
        write_calendar(own, path, now)
