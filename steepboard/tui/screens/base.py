"""What the main screens share: heading above, keys below, and the board within reach."""

from __future__ import annotations

from datetime import datetime
from pathlib import PurePath
from typing import TYPE_CHECKING, ClassVar, cast

from textual.containers import VerticalScroll
from textual.screen import Screen

from steepboard.errors import SteepboardError
from steepboard.tui.widgets.heading import Heading
from steepboard.tui.widgets.key_line import KeyLine

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.events import Key

    from steepboard.domain.why import Why
    from steepboard.services.desk import Desk
    from steepboard.tui.app import SteepBoard
    from steepboard.tui.commands import Command

PAGES: list[str | PurePath] = [f"../{name}.tcss" for name in ("pages", "flows", "reviews", "rack")]
"""The looks of all but the Shelf, which are read when the first of them comes up."""


class BoardScreen(Screen[None]):
    """A screen of the board. Subclasses give `body` and `reload`, and say what they are."""

    PLACE: ClassVar[str] = ""
    """Its name, in the heading."""
    COMMANDS_HERE: ClassVar[tuple[Command, ...]] = ()
    """For the help and the palette; `BINDINGS = bindings(COMMANDS_HERE)` makes them keys."""
    ABOUT: ClassVar[str] = ""
    """A few plain sentences for the help."""
    SIGNS: ClassVar[tuple[tuple[str, str], ...]] = ()
    """Signs and words of this screen, and what they mean, for the help."""
    CSS_PATH: ClassVar[list[str | PurePath] | None] = PAGES

    @property
    def board(self) -> SteepBoard:
        """The application."""
        return cast("SteepBoard", self.app)

    @property
    def desk(self) -> Desk:
        """Record, zone and settings."""
        return self.board.desk

    def now(self) -> datetime:
        """Return the time of the board's clock, in UTC."""
        return self.board.now()

    def compose(self) -> ComposeResult:
        """Put the body between heading and keys."""
        yield Heading(self.PLACE)
        yield from self.body()
        yield KeyLine()

    def body(self) -> ComposeResult:
        """Yield the widgets of this screen."""
        yield from ()

    def reload(self) -> None:
        """Show the record as it is now; called when it changed and when the screen comes up."""

    def on_screen_resume(self) -> None:
        """Come up with what is true now."""
        self.board.show_now()
        self.reload_or_tell()

    def on_key(self, event: Key) -> None:
        """Say of a key that is for something else than what stands here now, what it is for."""
        meant = [one for one in self.COMMANDS_HERE if event.key in one.key.split(",")]
        if meant and event.key not in self.active_bindings:
            self.board.tell(f"Not now. {meant[0].key_name}: {meant[0].help}")

    def answers(self) -> tuple[Why, ...]:
        """Return where each figure of this screen comes from."""
        return ()

    def action_read(self, by: int) -> None:
        """Scroll what is told beside a list or below answers."""
        page = self.query_one(".outcome", VerticalScroll)
        page.scroll_page_down() if by > 0 else page.scroll_page_up()

    def reload_or_tell(self) -> None:
        """Reload, and tell why where the record does not let itself be read."""
        try:
            self.reload()
        except SteepboardError as fault:
            self.board.tell(str(fault), "error")
