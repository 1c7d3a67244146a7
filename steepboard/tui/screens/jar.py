"""Everything of one jar."""

from __future__ import annotations

from steepboard.tui.commands import JAR, bindings
from steepboard.tui.screens.base import BoardScreen


class JarScreen(BoardScreen):
    """One jar: its charge, what to expect, its balance, its diary."""

    PLACE = "Jar"
    COMMANDS_HERE = JAR
    BINDINGS = bindings(JAR)

    def __init__(self, code: str) -> None:
        super().__init__()
        self.code = code
