"""What the button *Open* of a notification does: raise the board, or open one in a terminal."""

from __future__ import annotations

import os
import shlex
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from steepboard import paths
from steepboard.daemon.lock import held_lock, holder
from steepboard.errors import AlreadyRunning
from steepboard.paths import Home

# XTWINOPS, "raise the window", as the xterm control sequences publish it; many terminals only mind
# the bell, which marks the window.
RAISE = b"\x1b[5t\a"
# The freedesktop proposal, Debian's name, and what nearly every X11 desktop has.
_TERMINALS = ("xdg-terminal-exec", "x-terminal-emulator", "xterm")
# How a terminal program wants its command where it is not `-e` and then words; from memory.
_BEFORE_COMMAND = {
    "xdg-terminal-exec": (),
    "gnome-terminal": ("--",),
    "xfce4-terminal": ("-x",),
    "mate-terminal": ("-x",),
}
_LISTEN_S = 0.5  # assumed: a terminal program without its display gives up in a tenth of that


@contextmanager
def raised_on_signal(home: Home) -> Iterator[None]:
    """Let *Open* find the board that runs in the block, unless another has that place already."""
    with ExitStack() as held:
        if sys.platform != "win32":
            signal.signal(signal.SIGUSR1, lambda *_: _raise())
            # Not back to the default: a signal that comes late would end the process.
            held.callback(signal.signal, signal.SIGUSR1, signal.SIG_IGN)
        with suppress(AlreadyRunning):
            held.enter_context(held_lock(home.board_lock))
        yield


def bring_up(home: Home) -> str:
    """Raise the board of a shelf or open one; return why that failed, in plain words, or nothing.

    It may wait half a second, to hear whether the terminal program gives up at once.
    """
    if _raised(home):
        return ""
    command = board_command(home)
    if sys.platform in ("win32", "darwin"):  # never run there
        return f"Open a terminal and run {command}."
    if not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return f"The reminders know of no screen. Open a terminal and run {command}."
    terminal = terminal_words(os.environ)
    if terminal is None:
        return f"No terminal program was found. Open one and run {command}."
    board = (sys.executable, "-P", "-m", "steepboard", "--home", str(home.root))
    if not _started((*terminal, *board)):
        name = Path(terminal[0]).name
        return f"{name} could not be opened. Open a terminal and run {command}."
    return ""


def terminal_words(environ: Mapping[str, str]) -> tuple[str, ...] | None:
    """Return what to write before a command so that it runs in the person's terminal program."""
    for words in (environ.get("TERMINAL", "").split(), *([name] for name in _TERMINALS)):
        if words and shutil.which(words[0], path=environ.get("PATH")):
            return (*words, *_BEFORE_COMMAND.get(Path(words[0]).name, ("-e",)))
    return None


def board_command(home: Home) -> str:
    """Return what a person types to open the board of a shelf."""
    usual = paths.home(None, os.environ) == home
    return "`steepboard`" if usual else f"`steepboard --home {shlex.quote(str(home.root))}`"


def _raised(home: Home) -> bool:
    if sys.platform == "win32":
        return False
    pid = holder(home.board_lock) or ""
    if not pid.isdecimal():
        return False
    try:
        os.kill(int(pid), signal.SIGUSR1)
    except (ProcessLookupError, PermissionError):
        return False
    return True


def _raise() -> None:
    """Ask the terminal, on which the board draws by way of stderr, to come to the front."""
    with suppress(OSError):
        os.write(2, RAISE)


def _started(words: tuple[str, ...]) -> bool:
    """Start a program of its own and say whether it did not fail at once."""
    nothing = subprocess.DEVNULL
    try:
        process = subprocess.Popen(  # noqa: S603 - our own words
            words, stdin=nothing, stdout=nothing, stderr=nothing, start_new_session=True
        )
    except OSError:
        return False
    try:
        return process.wait(_LISTEN_S) == 0
    except subprocess.TimeoutExpired:
        # Else it would stay in the list of processes once it ends.
        threading.Thread(target=process.wait, daemon=True).start()
        return True
