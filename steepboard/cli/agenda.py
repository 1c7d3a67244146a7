"""Write the calendar file."""

from __future__ import annotations

from pathlib import Path

import click

from steepboard.cli.place import Place
from steepboard.cli.render import say


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
