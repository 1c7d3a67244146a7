"""What jars taught: beforehand, now, and each batch, as a page to scroll."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.table import Table
from textual.containers import VerticalScroll
from textual.widgets import Static

from steepboard.services.dry_lessons import dry_heading, dry_told
from steepboard.services.lessons import heading, told
from steepboard.tui.commands import bindings
from steepboard.tui.flow_commands import LEARNED
from steepboard.tui.safe import cell, plain
from steepboard.tui.screens.base import BoardScreen

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.app import ComposeResult

    from steepboard.domain.why import Why
    from steepboard.services.dry_lessons import DrySeen
    from steepboard.services.lessons import GroupSeen

_ABOUT = (
    "What a gram of spent solids holds, in mL: as it is usual, as your jars have shown, and as "
    "each measured it. ± is one standard uncertainty. Plans go by the newest, and say how sure "
    "it is; a marc weighed wet teaches most. A marc that was dried, and a dried sample of the "
    "liquid, teach water and soluble part."
)
_EMPTY = "No jar was bottled and measured yet: plans go by what is usual."


class LearnedScreen(BoardScreen):
    """One scrolling page; it shows what Losses had worked through."""

    PLACE = "What your jars taught"
    COMMANDS_HERE = LEARNED
    BINDINGS = bindings(LEARNED)
    ABOUT = (
        "Material is put together with what is alike: of one class, dry or fresh, strained one "
        "way. Beforehand is what such solids usually hold; each batch that was bottled and "
        "measured moves what is known of its botanical, and of its kind a little."
    )
    SIGNS = (
        ("±", "One standard uncertainty: in 2 of 3 cases the true figure lies within."),
        ("next batch ±", "How far one more batch may lie from it: batches differ."),
        ("as expected", "Jars that bottled what their range had said; 8 in 10 should."),
    )

    def __init__(self, groups: tuple[GroupSeen, ...], dried: tuple[DrySeen, ...]) -> None:
        super().__init__()
        self._groups, self._dried = groups, dried

    def body(self) -> ComposeResult:
        """Yield all of it."""
        with VerticalScroll(classes="outcome", id="learned"):
            yield Static(plain(_ABOUT if self._groups or self._dried else _EMPTY))
            for group in self._groups:
                yield Static(plain(heading(group)), classes="part")
                yield Static(_table(told(group)))
            for one in self._dried:
                yield Static(plain(dry_heading(one)), classes="part")
                yield Static(_table(dry_told(one)))

    def answers(self) -> tuple[Why, ...]:
        """Return where each figure of the page comes from."""
        from steepboard.services import why_dry_lessons, why_lessons

        held = why_lessons.of_groups(self.desk, self._groups)
        return (*held, *why_dry_lessons.of_dried(self.desk, self._dried))


def _table(rows: Iterable[tuple[str, str, str]]) -> Table:
    table = Table.grid(padding=(0, 2, 0, 0))
    for row in rows:
        table.add_row(*map(cell, row))
    return table
