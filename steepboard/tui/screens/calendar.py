"""The month ahead, day by day."""

from __future__ import annotations

from steepboard.tui.commands import CALENDAR, bindings
from steepboard.tui.screens.base import BoardScreen


class CalendarScreen(BoardScreen):
    """A month, and the list of the chosen day."""

    PLACE = "Calendar"
    COMMANDS_HERE = CALENDAR
    BINDINGS = bindings(CALENDAR)
