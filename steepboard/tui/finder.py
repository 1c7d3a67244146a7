"""The command palette: every action of the screen, every jar of the shelf."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, cast

from textual.command import DiscoveryHit, Hit, Hits, Matcher, Provider
from textual.content import Content

from steepboard.services import views
from steepboard.text import visible
from steepboard.tui.commands import BOARD, PLACES
from steepboard.tui.screens.base import BoardScreen

if TYPE_CHECKING:
    from steepboard.tui.app import SteepBoard


_BY_HELP = 0.1  # below what is found by its label


class Finder(Provider):
    """Names of jars are never parsed: a bracket in one would silence the whole palette."""

    async def startup(self) -> None:
        """Read the codes and names once for each opening."""
        board = cast("SteepBoard", self.app)
        jars = views.all_jars(board.desk)
        self._entries = self._actions() + [
            (visible(f"{jar.code}  {jar.name}"), jar.state.value, partial(self._open, jar.code))
            for jar in jars
        ]

    async def discover(self) -> Hits:
        """Offer the actions before anything is typed."""
        for label, help_text, run in self._actions():
            yield DiscoveryHit(Content(label), run, text=label, help=help_text)

    async def search(self, query: str) -> Hits:
        """Offer what matches."""
        matcher = self.matcher(query)
        for label, help_text, run in self._entries:
            score = matcher.match(label)
            if not score and len(query) > 2 and query.casefold() in help_text.casefold():
                score = _BY_HELP
            if score > 0:
                yield Hit(score, _lit(matcher, label), run, text=label, help=help_text)

    def _actions(self) -> list[tuple[str, str, Callable[[], Any]]]:
        screen = self.screen
        own = screen.COMMANDS_HERE if isinstance(screen, BoardScreen) else ()
        commands = dict.fromkeys((*own, *PLACES, *BOARD))
        return [
            (c.label, c.help, partial(self.app.run_action, c.action, screen))
            for c in commands
            if c.action != "app.command_palette"
        ]

    def _open(self, code: str) -> None:
        from steepboard.tui.screens.jar import JarScreen

        self.app.push_screen(JarScreen(code))


def _lit(matcher: Matcher, text: str) -> Content:
    """Return the text with what matched lit up."""
    _, offsets = matcher.fuzzy_search.match(matcher.query, text)
    content = Content(text)
    for offset in offsets:
        content = content.stylize(matcher.match_style, offset, offset + 1)
    return content
