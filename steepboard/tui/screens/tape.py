"""The code of a jar, to be written on its tape."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.text import visible


class Tape(ModalScreen[None]):
    """Shown after a jar was charged or planned; Enter closes it."""

    BINDINGS = [("enter,escape,space", "dismiss(None)", "Close")]  # noqa: RUF012

    def __init__(self, code: str, told: Content) -> None:
        super().__init__()
        self._code, self._told = code, told

    def compose(self) -> ComposeResult:
        """Show the code as large as letters go, and what it stands for."""
        with Vertical(classes="question") as box:
            box.border_title = "Write this on tape and stick it to the jar"
            box.border_subtitle = "Enter closes"
            yield Static(Content(" ".join(visible(self._code))), classes="tape-code")
            yield Static(self._told)
