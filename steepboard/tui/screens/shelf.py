"""The shelf: what wants a hand now, the steeps over the days, the chosen jar."""

from __future__ import annotations

from steepboard.tui.commands import SHELF, bindings
from steepboard.tui.screens.base import BoardScreen


class ShelfScreen(BoardScreen):
    """What one leaves open."""

    PLACE = "Shelf"
    COMMANDS_HERE = SHELF
    BINDINGS = bindings(SHELF)
