"""A whole blend: what goes in first, then addition by addition to the mark, each drawn by a key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.widgets import Static

from steepboard.domain.blending import STAGES
from steepboard.services import formulas
from steepboard.text import clean
from steepboard.tui.commands import bindings
from steepboard.tui.flow_commands import BLEND
from steepboard.tui.screens import blend_text, doing
from steepboard.tui.screens.ask import Confirm
from steepboard.tui.screens.ask_form import AskForm, Line, kept_before
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.app import ComposeResult

    from steepboard.domain.blending import Formula
    from steepboard.domain.why import Why
    from steepboard.services.formulas import Blend
    from steepboard.tui.screens.ask_form import Given


class BlendScreen(BoardScreen):
    """The pours, the additions with the one whose turn it is, and what the blend is then."""

    PLACE = "Blend"
    COMMANDS_HERE = BLEND
    BINDINGS = bindings(BLEND)
    ABOUT = (
        "What the whole takes of each bottle. Put 80 % in first, stir, let it rest a day and "
        "taste; then one addition after the other, tasting after each, and stop when it is right. "
        "d writes down as drawn what the arrow points at, of all bottles together. What is drawn "
        "is in the record: leave and come back to it, here or on the command line. Volume, "
        "strength and sugar afterwards are reckoned by mass."
    )
    SIGNS = (
        ("▸", "the addition whose turn it is"),
        ("●", "drawn and written down"),
        ("±", "in two of three cases the true figure lies within it"),
    )

    def __init__(self, make: Callable[[bool], Blend], trials: Sequence[str] = ()) -> None:
        """Show what `make` gives by the record as it is now, or, told so, of it made anew."""
        super().__init__()
        self._make, self._trials = make, tuple(trials)
        self._anew = False
        self._blend = make(self._anew)

    def body(self) -> ComposeResult:
        """Yield one scrolling page."""
        with VerticalScroll(classes="sheet"):
            yield Static(id="blend")

    def reload(self) -> None:
        """Show the additions as far as they are drawn."""
        self._blend = self._make(self._anew)
        self.query_one("#blend", Static).update(Hanging(blend_text.blend(self._blend)))
        self.refresh_bindings()

    def answers(self) -> tuple[Why, ...]:
        """Return where each figure of the blend comes from."""
        from steepboard.services import why_blend

        return why_blend.of_blend(self._blend)

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool:
        """Offer only what can be done now."""
        if action == "keep":
            return bool(self._trials)
        scaled = self._blend.scaled
        if action in ("undo", "anew"):
            return any(pour.share.drawn_ml for pour in scaled.pours)
        return action != "draw" or scaled.stage < len(STAGES)

    def action_draw(self) -> None:
        """Write down as drawn what is next."""
        blend, now = self._blend, self.board.now()
        part = STAGES[blend.scaled.stage] - blend.scaled.reached
        if drawn := self.board.done(lambda: formulas.draw(self.desk, blend, part, now)):
            self._anew = False
            self.reload_or_tell()
            codes = ", ".join(one.code for one in drawn)
            told = f"{part * 100:.3g} % of what it takes is drawn from {codes}"
            self.board.tell(f"{told}; u takes it back.")

    def action_anew(self) -> None:
        """Make the same once more."""
        self.board.ask(self._ask_anew())

    def action_keep(self) -> None:
        """Keep it as a formula."""
        self.board.ask(self._keep())

    def action_undo(self) -> None:
        """Take back what was drawn last."""
        self.board.ask(self._undo())

    async def _undo(self) -> None:
        if code := formulas.drawn_last(self.desk, self._blend):
            await doing.undo(self.board, code)

    async def _ask_anew(self) -> None:
        question = f"Make {self._blend.name} once more? What was drawn stays drawn."
        if await self.board.push_screen_wait(Confirm("Anew", question)):
            self._anew = True
            self.reload_or_tell()

    async def _keep(self) -> None:
        known = kept_before(one.name for one in formulas.formulas(self.desk))
        lines = (
            Line("name", "Its name", _words, known, typed=self._blend.name,
                 needed="A name is needed."),
            Line("note", "Note", _words, hint="what to know of it; may stay empty"),
        )  # fmt: skip

        def act(given: Given, _sure: bool) -> Formula:
            name, note = given["name"], given["note"] or ""
            return formulas.keep(self.desk, name, self._trials, self.board.now(), note=note)

        about = "Kept in intensity, not in mL, so that it can be made from any batch."
        made = await self.board.push_screen_wait(AskForm("Keep as a formula", about, lines, act))
        if made:
            self.board.tell(f"{made.name} is kept. On the bench f makes it again.")


def _words(text: str) -> str:
    return clean(text, 200)
