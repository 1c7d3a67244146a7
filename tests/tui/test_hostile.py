"""Text that means mischief reaches the screen as text, and the terminal never."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time

import pytest

from steepboard.services import acts
from tests.shelves import MORNING, order
from tests.tui.flows import HOSTILE, SEEN, bar_desk, on_board, shown, told
from tests.tui.shelf_data import toasts


def mischief(folder):
    """Build a shelf on which every text is hostile, past what the use cases would let through."""
    desk = bar_desk(folder)
    jar = acts.charge(desk, order(name=HOSTILE), MORNING)
    acts.taste(desk, jar.code, HOSTILE, MORNING)
    with desk.store.writing() as db:
        db.execute("update jar set name = ?", [HOSTILE])
        db.execute("update botanical set name = ?, typed = ?", [HOSTILE, HOSTILE])
        db.execute("update spirit set name = ?, typed_volume = ?", [HOSTILE, HOSTILE])
        db.execute("update entry set note = ?, initials = ?", [HOSTILE, "[/x]\x1b"])
    return desk, jar.code


@pytest.mark.parametrize("size", [(80, 24), (200, 60)])
def test_every_screen_shows_it_as_it_is_and_without_control_characters(tmp_path, size):
    desk, code = mischief(tmp_path)

    async def go(board, pilot):
        seen = []
        for keys in (("right",), ("enter",), ("escape", "c"), ("w",), ("h", "f"), ("escape", "u")):
            await pilot.press(*keys)
            await pilot.pause()
            seen.append(shown(board))
        await pilot.press("escape", "s")
        await pilot.pause()
        seen.append(shown(board))
        assert toasts(board) == [f"{code} stirred; u takes it back."]
        for picture in seen:
            assert not any(ord(letter) < 32 and letter != "\n" for letter in picture)
        assert SEEN[:20] in seen[1]

    on_board(desk, go, size)


def test_the_questions_and_the_palette_show_it_too(tmp_path):
    desk, code = mischief(tmp_path)

    async def go(board, pilot):
        board.open_jar(code)
        await pilot.pause()
        for key in ("t", "r", "w", "m", "d", "u", "question_mark"):
            await pilot.press(key)
            await pilot.pause()
            assert len(board.screen_stack) == 3
            await pilot.press("escape")
        await pilot.press("ctrl+p", *"oops")
        for _ in range(50):
            if "[/oops]" in told(board):
                break
            await pilot.pause(0.1)
        assert "[/oops]" in told(board)

    on_board(desk, go)


def test_a_real_terminal_receives_no_title_and_the_board_ends_well(tmp_path):
    desk, _ = mischief(tmp_path)
    desk.store.close()
    said, status = in_terminal(tmp_path, [b"\r", b"\x1b[6~", b"u", b"n", b"\x1b", b"c", b"q"])
    assert b"oops" in said
    assert b"\x1b]0;" not in said
    assert os.waitstatus_to_exitcode(status) == 0


def in_terminal(folder, keys):
    """Run the board in a terminal, press keys one after another; return its output and status."""
    pid, terminal = pty.fork()
    if pid == 0:
        os.environ["TERM"] = "xterm-256color"
        os.execv(sys.executable, [sys.executable, "-m", "steepboard", "--home", str(folder)])
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    said, deadline = b"", time.monotonic() + 60
    try:
        while time.monotonic() < deadline:
            quiet = not select.select([terminal], [], [], 0.5)[0]
            if not quiet:
                try:
                    said += os.read(terminal, 65536)
                except OSError:  # the program has ended
                    return said, os.waitpid(pid, 0)[1]
            elif b"\x1b[24;1H" in said and keys:
                os.write(terminal, keys.pop(0))
        raise AssertionError(f"the board did not end: {said[-500:]!r}")
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)
        os.close(terminal)
