"""The button *Open*: a board that runs comes to the front, or a terminal program is started."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

import pytest

from steepboard.cli.opening import bring_up, raised_on_signal
from steepboard.daemon.lock import holder
from steepboard.paths import Home
from tests.cli.test_board import close, on_terminal, read_until

RAISE_AND_BELL = "\x1b[5t\x07"  # as published with xterm: window operation 5, and the bell


@pytest.fixture(autouse=True)
def nothing_late():
    """Give the signal back as it was."""
    before = signal.getsignal(signal.SIGUSR1)
    yield
    signal.signal(signal.SIGUSR1, before)


@pytest.fixture
def screen(tmp_path, monkeypatch):
    """A screen, by name only, and a folder that alone is searched for programs."""
    folder = tmp_path / "programs"
    folder.mkdir()
    monkeypatch.setenv("PATH", str(folder))
    monkeypatch.setenv("DISPLAY", ":99")
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.delenv("TERMINAL", raising=False)
    return folder


@pytest.fixture
def home(tmp_path):
    """A shelf in a folder whose name has a space."""
    return Home(tmp_path / "the bar").make()


def program(folder, name, script):
    path = folder / name
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(0o700)


def written_by(folder, name):
    """Make a program that writes down its words, and return where."""
    words = folder / f"{name}.words"
    program(folder, name, f"printf '%s\\n' \"$@\" > '{words}'")
    return words


@pytest.mark.parametrize(
    ("name", "before"),
    [
        ("xdg-terminal-exec", []),
        ("x-terminal-emulator", ["-e"]),
        ("xterm", ["-e"]),
    ],
)
def test_a_terminal_program_is_handed_the_board_of_this_shelf(screen, home, name, before):
    words = written_by(screen, name)
    assert bring_up(home) == ""
    board = [sys.executable, "-P", "-m", "steepboard", "--home", str(home.root)]
    assert words.read_text().splitlines() == [*before, *board]


@pytest.mark.parametrize(
    ("own", "before"),
    [
        ("lantern", ["-e"]),
        ("lantern --dim", ["--dim", "-e"]),
        ("gnome-terminal", ["--"]),
        ("xfce4-terminal", ["-x"]),
    ],
)
def test_the_persons_own_terminal_program_comes_first(screen, home, monkeypatch, own, before):
    words, other = written_by(screen, own.split()[0]), written_by(screen, "xdg-terminal-exec")
    monkeypatch.setenv("TERMINAL", own)
    assert bring_up(home) == ""
    assert words.read_text().splitlines()[: len(before) + 1] == [*before, sys.executable]
    assert not other.exists()


def test_one_that_is_named_but_not_installed_is_passed_over(screen, home, monkeypatch):
    words = written_by(screen, "xterm")
    monkeypatch.setenv("TERMINAL", "lantern")
    assert bring_up(home) == ""
    assert words.exists()


def test_the_terminal_program_runs_on_by_itself(screen, home):
    process, gate = screen / "process", screen / "gate"
    os.mkfifo(gate)
    program(screen, "xterm", f"echo $$ > '{process}'; read line < '{gate}'")
    assert bring_up(home) == ""
    try:
        pid = int(process.read_text())
        assert os.getsid(pid) == pid != os.getsid(0)
    finally:
        gate.write_text("done\n")


def test_a_terminal_program_that_gives_up_at_once_is_told(screen, home):
    program(screen, "xterm", "exit 1")
    told = bring_up(home)
    assert told.startswith("xterm could not be opened. Open a terminal and run `steepboard")


def test_without_a_terminal_program_it_is_told_what_to_run(screen, home, monkeypatch):
    told = "No terminal program was found. Open one and run "
    assert bring_up(home) == f"{told}`steepboard --home '{home.root}'`."
    monkeypatch.setenv("STEEPBOARD_HOME", str(home.root))
    assert bring_up(home) == f"{told}`steepboard`."
    assert list(screen.iterdir()) == []


def test_without_a_screen_nothing_is_started(screen, home, monkeypatch):
    words = written_by(screen, "xterm")
    monkeypatch.delenv("DISPLAY")
    assert bring_up(home).startswith("The reminders know of no screen. Open a terminal and run ")
    assert not words.exists()
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-0")
    assert bring_up(home) == ""
    assert words.exists()


@pytest.mark.parametrize("system", ["darwin", "win32"])
def test_on_other_systems_it_is_told_what_to_run(screen, home, monkeypatch, system):
    words = written_by(screen, "xterm")
    monkeypatch.setattr(sys, "platform", system)
    assert bring_up(home).startswith("Open a terminal and run `steepboard")
    assert not words.exists()


def test_a_board_that_runs_is_raised_and_no_other_opened(screen, tmp_path):
    words, home = written_by(screen, "xterm"), Home(tmp_path)
    with on_terminal("--home", tmp_path) as (process, terminal):
        read_until(terminal, "no notification service")
        assert holder(home.board_lock) == str(process.pid)
        assert bring_up(home) == ""
        read_until(terminal, RAISE_AND_BELL)
        with on_terminal("--home", tmp_path) as (second, beside):
            read_until(beside, f"reminders: process {process.pid}")
            assert bring_up(home) == ""
            read_until(terminal, RAISE_AND_BELL)
            assert close(second, beside) == 0
        assert close(process, terminal) == 0
    assert not words.exists()
    assert bring_up(home) == ""
    assert words.exists()


def test_a_board_that_keeps_the_reminders_itself_raises_itself(screen, home, capfd):
    with raised_on_signal(home):
        assert bring_up(home) == ""
    assert capfd.readouterr().err == RAISE_AND_BELL


def test_a_signal_that_comes_late_ends_nothing(home, capfd):
    with raised_on_signal(home):
        pass
    os.kill(os.getpid(), signal.SIGUSR1)
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize("left", ["{pid}", "unknown", "-1", ""])
def test_a_process_that_a_lock_left_behind_names_is_not_signalled(screen, home, left):
    heard = []
    signal.signal(signal.SIGUSR1, lambda *_: heard.append("signal"))
    Path(home.board_lock).write_text(left.format(pid=os.getpid()))
    assert bring_up(home).startswith("No terminal program")
    assert heard == []
