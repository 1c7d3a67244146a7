"""Who sends the reminders while the board is open, as far as the board needs to know."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

STARTING = "reminders: starting"


class Keeper(Protocol):
    """Keeps the reminders, or knows who does. The command line hands one in."""

    state: str
    """For the heading, say `reminders: this board`."""

    async def run(
        self, on_change: Callable[[str], None], on_undelivered: Callable[[str, str], None]
    ) -> None:
        """Run until cancelled; tell the new state, and title and body of what was not shown."""
