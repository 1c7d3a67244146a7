"""A whole blend: what goes in first, then addition by addition to the mark, each drawn by a key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.widgets import Static

from steepboard.domain.blending import APPROACH, FIRST
from steepboard.services import acts, formulas
from steepboard.text import clean
from steepboard.tui.commands import bindings
from steepboard.tui.flow_commands import BLEND
from steepboard.tui.screens import blend_text, doing
from steepboard.tui.screens.ask_form import AskForm, Line
from steepboard.tui.screens.base import BoardScreen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult

    from steepboard.domain.blending import Formula
    from steepboard.services.formulas import Blend
    from steepboard.tui.screens.ask_form import Given

PARTS = (FIRST, *APPROACH)


class BlendScreen(BoardScreen):
    """The pours, the additions with the one whose turn it is, and what the blend is then."""

    PLACE = "Blend"
    COMMANDS_HERE = BLEND
    BINDINGS = bindings(BLEND)
    ABOUT = (
        "What the whole takes of each bottle. Put 80 % in first, stir, let it rest a day and "
        "taste; then one addition after the other, tasting after each, and stop when it is right. "
        "d writes down as drawn what the arrow points at, of all bottles together. Volume, "
        "strength and sugar afterwards are reckoned by mass."
    )
    SIGNS = (
        ("▸", "the addition whose turn it is"),
        ("●", "drawn and written down"),
        ("±", "in two of three cases the true figure lies within it"),
    )

    def __init__(self, blend: Blend, trials: Sequence[str] = ()) -> None:
        super().__init__()
        self._blend, self._trials = blend, tuple(trials)
        self._at = 0
        self._drawn: set[int] = set()

    def body(self) -> ComposeResult:
        """Yield one scrolling page."""
        with VerticalScroll(classes="sheet"):
            yield Static(id="blend")

    def reload(self) -> None:
        """Show the additions as far as they are drawn."""
        told = blend_text.blend(self._blend, PARTS, self._at, self._drawn)
        self.query_one("#blend", Static).update(told)
        self.refresh_bindings()

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool:
        """Offer only what can be done now."""
        if action == "keep":
            return bool(self._trials)
        if action == "undo":
            return bool(self._drawn)
        return action != "draw" or self._at not in self._drawn

    def action_draw(self) -> None:
        """Write down as drawn what is next."""
        at, part = self._at, PARTS[self._at]
        drawn = self.board.done(
            lambda: formulas.draw(self.desk, self._blend, part, self.board.now())
        )
        if drawn:
            self._drawn.add(at)
            self._at = min(at + 1, len(PARTS) - 1)
            self.reload()
            codes = ", ".join(one.code for one in drawn)
            self.board.tell(f"Drawn from {codes}: {part * 100:.0f} % of it. u takes it back.")

    def action_turn(self, by: int) -> None:
        """Go to another addition."""
        self._at = min(max(self._at + by, 0), len(PARTS) - 1)
        self.reload()

    def action_keep(self) -> None:
        """Keep it as a formula."""
        self.board.ask(self._keep())

    def action_undo(self) -> None:
        """Take back what was drawn last."""
        self.board.ask(self._undo())

    async def _undo(self) -> None:
        code = self._blend.bottles[0].code
        before = acts.last_act(self.desk, code)
        await doing.undo(self.board, code)
        if acts.last_act(self.desk, code) != before:
            self._at = max(self._drawn)
            self._drawn.discard(self._at)
            self.reload()

    async def _keep(self) -> None:
        lines = (
            Line("name", "Its name", _words, typed=self._blend.name, needed="A name is needed."),
            Line("note", "Note", _words, hint="what to know of it; may stay empty"),
        )

        def act(given: Given, _sure: bool) -> Formula:
            name, note = given["name"], given["note"] or ""
            return formulas.keep(self.desk, name, self._trials, self.board.now(), note=note)

        about = "Kept in intensity, not in mL, so that it can be made from any batch."
        made = await self.board.push_screen_wait(AskForm("Keep as a formula", about, lines, act))
        if made:
            self.board.tell(f"{made.name} is kept. On the bench f makes it again.")


def _words(text: str) -> str:
    return clean(text, 200)
