"""Driving the board by keys, as a person does, on a real record in a folder of the test."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import timedelta

from steepboard.domain.records import Measure, Separation, Source
from steepboard.services import acts, material, straining, views
from steepboard.tui.app import SteepBoard
from tests.shelves import MORNING, desk_at, order, spirit

HOSTILE = "ro\x1b]0;title\x07se\u202e [b]x[/b] [/oops] $jar"
SEEN = "ro]0;titlese [b]x[/b] [/oops] $jar"
# What it costs to be asked: juniper is a plant that is mistaken for others.
ALL_READ = ("MISID", "QUININE", "QUASSIN", "GLYCYRR", "STARANISE")


def bar_desk(folder):
    """Return the desk of the board at the shelf in `folder`."""
    return replace(desk_at(folder), source=Source.BOARD)


def on_board(desk, go, size=(80, 24), now=MORNING):
    """Open the board and run `go(board, pilot)` on it."""

    async def run():
        board = SteepBoard(desk, lambda: now)
        async with board.run_test(size=size, notifications=True) as pilot:
            await pilot.pause()
            await go(board, pilot)

    asyncio.run(run())


async def calm(board, pilot):
    """Wait until all is drawn, and stop the cursor from blinking."""
    await board.workers.wait_for_complete()
    await pilot.pause()
    for field in board.screen.query("Input"):
        field.cursor_blink = False
    await pilot.pause()


def shown(board):
    """Return the text on the screen, line by line, spaces squeezed."""
    lines = board.screen._compositor.render_strips()
    return "\n".join(" ".join("".join(part.text for part in line).split()) for line in lines)


def told(board):
    """Return the text on the screen as one run, so that wrapped sentences can be found."""
    return " ".join(shown(board).split())


def jars_by_state(desk, state):
    return [jar for jar in views.all_jars(desk) if jar.state == state]


def worked_jar(desk, charged=MORNING - timedelta(days=14), **changes):
    """Charge the design's worked jar: 58.07 g in 326.66 mL of 45 %, of which 250 mL come out."""
    line = material.weighed("caraway", 58.07, "58.07 g", moisture=0.11, soluble=0.18)
    asked = order(botanicals=(line,), spirits=(spirit(326.66),), held_ml_per_g=1.6, kept_ml=6.0)
    return acts.charge(desk, replace(asked, **changes), charged)


def strained_jar(desk, days_ago, name="caraway", recovered_ml=240.0, marc_g=None, **changes):
    """Charge, strain and bottle a jar of 40 g in 300 mL."""
    ended = MORNING - timedelta(days=days_ago)
    asked = order(name, acknowledged=ALL_READ, **changes)
    jar = acts.charge(desk, asked, ended - timedelta(days=14))
    read = [straining.reading(desk, Measure.RECOVERED, recovered_ml, "read", 2.0, ended)]
    if marc_g:
        read.append(straining.reading(desk, Measure.MARC, marc_g, "weighed", 0.1, ended))
    return acts.strain(desk, jar.code, tuple(read), ended, separation=Separation.HAND, bottled=True)
