"""Showing a notice on the terminal, for a machine without a desktop."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from steepboard.daemon.notify import Sent
from steepboard.text import visible

if TYPE_CHECKING:
    from steepboard.domain.notices import Notice

_BELL = "\a"


class TerminalNotifier:
    """Rings the bell and writes one plain line; a line cannot be pressed or taken back."""

    def __init__(self, write: Callable[[str], None]) -> None:
        """Take what writes text to the terminal; it raises OSError where nobody can read it."""
        self._write = write
        self._elsewhere: set[str] = set()

    async def check(self) -> Sent:
        """Say that a notice would be taken: a terminal is there until a write fails."""
        return Sent(True)

    async def send(self, notice: Notice, on_answer: Callable[[str], None]) -> Sent:  # noqa: ARG002
        """Write the notice; shown where nothing refused it."""
        try:
            self._write(f"{_BELL}{visible(notice.title)}: {visible(notice.body)}\n")
        except OSError as fault:
            return Sent(False, f"The terminal cannot be written to: {fault.strerror or fault}.")
        return Sent(True)

    async def withdraw(self, slot: str) -> None:
        """Do nothing: what was written stays, and a desktop cannot be reached from here."""

    def adopt(self, notice: Notice, token: str, on_answer: Callable[[str], None]) -> None:  # noqa: ARG002
        """Leave what another process showed on a desktop to the next that can answer for it."""
        self._elsewhere.add(notice.slot)

    def standing(self) -> frozenset[str]:
        """Return what was adopted; a line of ours is gone as soon as others follow."""
        return frozenset(self._elsewhere)

    async def close(self) -> None:
        """Do nothing: the terminal is not ours."""
