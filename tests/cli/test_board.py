"""The board as a person starts it: a process of its own on a terminal."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import termios
from contextlib import contextmanager
from time import monotonic

from steepboard.cli.demo import demo_home
from steepboard.paths import Home
from tests.cli.running import done

WITHIN_S = 30


@contextmanager
def on_terminal(*args):
    """Run the program on a terminal of 80 by 24; yields the process and the terminal."""
    terminal, inside = pty.openpty()
    termios.tcsetwinsize(inside, (24, 80))
    nowhere = "unix:path=/nonexistent"  # so that it disturbs no desktop
    environment = os.environ | {"TERM": "xterm-256color", "DBUS_SESSION_BUS_ADDRESS": nowhere}
    words = [sys.executable, "-m", "steepboard", *map(str, args)]
    with subprocess.Popen(
        words, stdin=inside, stdout=inside, stderr=inside, env=environment
    ) as process:
        os.close(inside)
        try:
            yield process, terminal
        finally:
            process.kill()
            os.close(terminal)


def read_until(terminal, *wanted):
    """Return what the terminal was sent, up to the moment all of `wanted` were in it."""
    sent, end = b"", monotonic() + WITHIN_S
    while not all(text.encode() in sent for text in wanted):
        ready, _, _ = select.select([terminal], [], [], max(end - monotonic(), 0))
        assert ready, sent.decode(errors="replace")
        sent += os.read(terminal, 65536)
    return sent.decode(errors="replace")


def close(process, terminal):
    """Press the key that closes the board, read what it still says, and return its exit code."""
    os.write(terminal, b"q")
    try:
        while os.read(terminal, 65536):
            pass
    except OSError:  # the other end was closed
        pass
    return process.wait(WITHIN_S)


def test_the_program_without_a_command_opens_the_board_on_ones_shelf(tmp_path):
    done(tmp_path, "charge", "caraway", "40g", "300ml", "45%")
    with on_terminal("--home", tmp_path) as (process, terminal):
        read_until(terminal, "CARA-01", "no notification service")
        assert close(process, terminal) == 0


def test_a_file_of_ones_own_that_cannot_be_used_is_told_before_the_board_opens(tmp_path):
    (tmp_path / "catalogue").mkdir()
    path = tmp_path / "catalogue" / "botanicals.csv"
    path.write_text("id,moisture\ncaraway,wet\n", encoding="utf-8")
    with on_terminal("--home", tmp_path) as (process, terminal):
        told = read_until(terminal, "moisture", "\r\n")
        assert process.wait(WITHIN_S) == 1
    assert str(path) in told.replace("\r\n", "")
    assert "\x1b[?1049h" not in told  # the board was never on the screen


def test_losses_fit_the_terminal_they_are_shown_on(tmp_path):
    name = "Seven herbs of the embankment behind platform two"  # invented
    done(tmp_path, "charge", name, "40g", "300ml", "45%")
    done(tmp_path, "strain", "SEVE-01", "--recovered", "240ml", "--marc", "80g")
    with on_terminal("--home", tmp_path, "losses") as (_, terminal):
        table = read_until(terminal, "1 of 1\r\n").splitlines()[:3]
    assert all(len(line) <= 80 for line in table)
    assert "Seven herb" in table[2]
    assert name in done(tmp_path, "losses")


def test_the_demo_opens_the_board_on_its_own_shelf(tmp_path):
    with on_terminal("--home", tmp_path, "demo") as (process, terminal):
        told = read_until(terminal, "PLAT-01", "BLAC-01")
        assert "invented" in told
        assert close(process, terminal) == 0
    assert demo_home(Home(tmp_path)).record.exists()
    assert not (tmp_path / "shelf.db").exists()
