"""Open the board, on one's own shelf or on the one of the demo."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import say
from steepboard.domain.records import Source
from steepboard.errors import AlreadyRunning, DemoOpen, NoTerminal
from steepboard.tui.keeper import STARTING

if TYPE_CHECKING:
    from collections.abc import Callable

    from steepboard.services.desk import Desk


@dataclass
class LateKeeper:
    """The board's keeper, which is loaded when it is to run: after the first frame."""

    place: Place
    desk: Desk
    renew: Callable[[Desk], Desk]
    state: str = STARTING

    async def run(
        self, on_change: Callable[[str], None], on_undelivered: Callable[[str, str], None]
    ) -> None:
        """Keep the reminders until cancelled."""
        from steepboard.cli.keeper import BoardKeeper

        keeper = BoardKeeper(self.place.home, self.desk, self.place.clock, self.renew)
        await keeper.run(on_change, on_undelivered)


def need_terminal() -> None:
    """Raise NoTerminal where there is none to show the board on."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise NoTerminal


def open_board(place: Place, greeting: str = "") -> None:
    """Show the board until it is closed. Raises NoTerminal."""
    need_terminal()
    from steepboard.cli.opening import raised_on_signal
    from steepboard.tui.app import SteepBoard

    with place.desk(Source.BOARD) as desk, raised_on_signal(place.home):
        desk.check_own()  # a file of one's own that cannot be used is told here, not within
        keeper = LateKeeper(place, desk, place.renewal())
        SteepBoard(desk, place.clock, keeper, greeting, place.renewal()).run()


@click.command()
@click.option("--keep", is_flag=True, help="Go on with the demo shelf as it was left.")
@click.pass_obj
def demo(place: Place, keep: bool) -> None:
    """Open the board on an invented shelf, made anew each time.

    It has a folder of its own and touches no other shelf.

    Example: steepboard demo
    """
    need_terminal()  # before anything is made anew
    from steepboard.cli.demo import NOTICE, build, demo_home
    from steepboard.daemon.lock import held_lock

    home = demo_home(place.home)
    if not (keep and home.record.exists()):
        try:
            with held_lock(home.make().lock):
                build(home, place.now, place.moved(home).zone)
        except AlreadyRunning as held:
            raise DemoOpen(held.pid) from held
    say(f"{NOTICE} It lies in {home.root}: `steepboard --home {home.root} today` works there too.")
    open_board(place.moved(home), NOTICE)  # reads the settings that the demo just wrote
