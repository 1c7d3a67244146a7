"""Keep the reminders in the foreground."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from functools import partial

import click

from steepboard.cli.place import Place
from steepboard.cli.reminding import Teller, log_to, reminder_loop
from steepboard.cli.render import say
from steepboard.daemon.lock import reminder_lock
from steepboard.daemon.run import serve


@click.command()
@click.pass_obj
def watch(place: Place) -> None:
    """Keep the reminders of a shelf until stopped.

    Example: steepboard watch
    """
    with reminder_lock(place.home.make().lock), place.desk() as desk:
        log = log_to(place.home.log, desk, place.clock, partial(say, to_stderr=True))

        def write(text: str) -> None:
            log(text)
            with suppress(OSError):  # nobody reads: no reason to end the reminders
                say(text)

        async def keep() -> None:
            told = f"Reminders for {place.home.root} are kept here; Ctrl+C ends them."
            asyncio.get_running_loop().call_soon(write, told)  # once signals are heard
            await serve(reminder_loop(desk, place.clock, Teller(write)))

        asyncio.run(keep())
        write("Reminders have ended.")
