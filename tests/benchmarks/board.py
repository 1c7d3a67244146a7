"""The board's first paint on 40 active and 2,000 past jars, against an empty Textual app's."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import statistics
import struct
import sys
import tempfile
import termios
import time
from datetime import UTC, datetime
from pathlib import Path

from tests.benchmarks import long_shelf
from tests.benchmarks.compiled import environment

RUNS = 15
ROWS, COLUMNS = 24, 80
LAST_LINE = f"\x1b[{ROWS};1H".encode()
"""Moves to the last line: what comes with it completes the first frame."""
EMPTY = (sys.executable, "-c", "from textual.app import App; App().run()")


def main() -> None:
    """Print the ratio of the medians; the runs alternate, so that both meet the same machine."""
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as compiled:
        long_shelf.fill(Path(folder), datetime.now(UTC))
        board = (sys.executable, "-m", "steepboard", "--home", folder)
        empty_s, board_s = [], []
        for _ in range(RUNS + 1):  # the first of each only compiles
            empty_s.append(first_paint_s(EMPTY, compiled))
            board_s.append(first_paint_s(board, compiled))
    floor, taken = statistics.median(empty_s[1:]), statistics.median(board_s[1:])
    sys.stdout.write(
        f"first paint {taken / floor:.2f} × an empty Textual app "
        f"({1e3 * taken:.0f} ms against {1e3 * floor:.0f} ms); at most 1.8\n"
    )


def first_paint_s(command: tuple[str, ...], compiled: str) -> float:
    """Return the seconds from start to the first whole frame in a real terminal.

    Its bytecode is kept in a folder.
    """
    started = time.perf_counter()
    pid, terminal = pty.fork()
    if pid == 0:
        looks = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
        os.execve(command[0], command, environment(compiled) | looks)
    try:
        fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        seen = b""
        while LAST_LINE not in seen:
            if not select.select([terminal], [], [], 20)[0]:
                raise TimeoutError(f"{command} painted nothing: {seen[-500:]!r}")
            seen += os.read(terminal, 65536)
        return time.perf_counter() - started
    finally:
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.close(terminal)


if __name__ == "__main__":
    main()
