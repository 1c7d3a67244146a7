"""The help of a screen: what it is for, its signs and words, its keys."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.tui.commands import BOARD
from steepboard.tui.safe import say
from steepboard.tui.screens.base import PAGES, BoardScreen


class Explain(ModalScreen[None]):
    """Closed by Esc or by the key that opened it."""

    CSS_PATH = PAGES
    BINDINGS = [("escape,question_mark,f1,enter,q", "dismiss", "Close")]  # noqa: RUF012

    def __init__(self, screen: BoardScreen) -> None:
        super().__init__()
        self._place, self._about = screen.PLACE, screen.ABOUT
        self._signs = screen.SIGNS
        own = screen.COMMANDS_HERE
        keys = {command.key for command in own}
        self._commands = (*own, *(command for command in BOARD if command.key not in keys))

    def compose(self) -> ComposeResult:
        """Say it all on one scrolling page."""
        with VerticalScroll(id="page") as page:
            page.border_title = self._place
            page.border_subtitle = "Esc closes"
            yield Static(say("$about", about=self._about))
            if self._signs:
                yield from _table("Signs and words", self._signs)
            keys = tuple((command.key_name, command.help) for command in self._commands)
            yield from _table("Keys", keys)


def _table(title: str, rows: tuple[tuple[str, str], ...]) -> ComposeResult:
    """Yield rows whose words, where they wrap, go on under themselves."""
    yield Static(Content.styled(title, "bold"), classes="part")
    width = max(len(left) for left, _ in rows) + 2
    for left, right in rows:
        with Horizontal(classes="told"):
            sign = Static(Content.styled(left, "$primary bold"))
            sign.styles.width = width
            yield sign
            yield Static(Content(right))
