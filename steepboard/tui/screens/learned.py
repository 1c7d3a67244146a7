"""What jars taught: beforehand, now, and each batch, as a page to scroll."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.table import Table
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.services.lessons import heading, told
from steepboard.tui.safe import cell, plain
from steepboard.tui.screens.base import PAGES

if TYPE_CHECKING:
    from steepboard.services.lessons import GroupSeen

_ABOUT = (
    "What a gram of spent solids holds, in mL: as it is usual, as your jars have shown, and as "
    "each measured it. ± is one standard uncertainty. Plans go by the newest, and say how sure "
    "it is; a marc weighed wet teaches most."
)
_EMPTY = "No jar was bottled and measured yet: plans go by what is usual."


class LearnedPage(ModalScreen[None]):
    """Closed by Esc or by the key that opened it."""

    CSS_PATH = PAGES
    BINDINGS = [("escape,k,enter,q", "dismiss", "Close")]  # noqa: RUF012

    def __init__(self, groups: tuple[GroupSeen, ...]) -> None:
        super().__init__()
        self._groups = groups

    def compose(self) -> ComposeResult:
        """Say it all on one scrolling page."""
        with VerticalScroll(id="learned") as page:
            page.border_title = "What your jars taught"
            page.border_subtitle = "Esc closes"
            yield Static(plain(_ABOUT if self._groups else _EMPTY))
            for group in self._groups:
                yield Static(plain(heading(group)), classes="part")
                yield Static(_table(group))


def _table(group: GroupSeen) -> Table:
    table = Table.grid(padding=(0, 2, 0, 0))
    for row in told(group):
        table.add_row(*map(cell, row))
    return table
