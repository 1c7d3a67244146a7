"""The notifier for a bare terminal, on a real one that nobody sees."""

from __future__ import annotations

import asyncio
import os
import pty
import re
import tty
from dataclasses import replace

import pytest

from steepboard.daemon.terminal import TerminalNotifier
from tests.daemon.desks import NOTICE


@pytest.fixture
def ends():
    """The two ends of a terminal: what a person sees, and what a program writes to."""
    seen, written = pty.openpty()
    tty.setraw(written)  # so that line ends arrive as they were written
    yield seen, written
    os.close(written)


def notifier(written):
    return TerminalNotifier(lambda text: os.write(written, text.encode()))


def send(written, notice):
    return asyncio.run(notifier(written).send(notice, print))


def test_the_bell_rings_and_one_line_says_what_is_due(ends):
    seen, written = ends
    assert send(written, NOTICE).shown
    assert os.read(seen, 1000) == b"\aStir ROSE-01: Rose, night bar\n"
    os.close(seen)


@pytest.mark.parametrize(
    "name",
    [
        "Rose\x1b]0;mine\x07",  # would name the window
        "Rose\x1b[2J\x9b2J",  # would clear the screen
        "Rose\nStrain SAGE-01 today: Sage",  # would look like another reminder
        "Rose\r\x08\x7f\x00",
        "Rose \u202eraB\u200b",  # would turn the direction of what follows
        "Rose \ud800",  # cannot be written at all
    ],
)
def test_a_name_can_neither_steer_the_terminal_nor_add_a_line(ends, name):
    seen, written = ends
    assert send(written, replace(NOTICE, title=f"Stir {name}", body=name)).shown
    line = os.read(seen, 1000).decode()
    assert re.fullmatch(r"\aStir Rose[^\n]*: Rose[^\n]*\n", line)
    assert line[1:-1].isprintable()
    os.close(seen)


def test_on_a_terminal_that_was_closed_nothing_counts_as_shown(ends):
    seen, written = ends
    os.close(seen)
    sent = send(written, NOTICE)
    assert not sent.shown
    assert sent.reason.startswith("The terminal cannot be written to: ")


def test_it_takes_nothing_back_and_always_says_that_it_would_show(ends):
    seen, written = ends

    async def go():
        terminal = notifier(written)
        assert (await terminal.check()).shown
        await terminal.send(NOTICE, print)
        await terminal.withdraw("stir")
        await terminal.withdraw("taste")
        await terminal.close()

    asyncio.run(go())
    assert os.read(seen, 1000).count(b"\n") == 1
    os.close(seen)
