"""The prep sheet of a plan: read it at the bench, then charge the jar or keep the plan."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from steepboard.services import acts, why
from steepboard.tui.commands import bindings
from steepboard.tui.flow_commands import SHEET
from steepboard.tui.screens.acknowledge import charge_asking
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.screens.charge_outcome import charged_text
from steepboard.tui.screens.plan_text import sheet_text
from steepboard.tui.screens.tape import Tape
from steepboard.tui.telling import SIGNS
from steepboard.tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from steepboard.domain.records import Jar
    from steepboard.domain.why import Why
    from steepboard.errors import SteepboardError
    from steepboard.services.plans import Planned


class PrepSheet(BoardScreen):
    """What to fetch, what to do, what to mind."""

    PLACE = "Prep sheet"
    COMMANDS_HERE = SHEET
    BINDINGS = bindings(SHEET)
    ABOUT = (
        "Work through it at the bench. Charge the jar once it is weighed and poured, or keep "
        "the plan on the shelf and charge it another day."
    )
    SIGNS = SIGNS

    def __init__(self, planned: Planned) -> None:
        super().__init__()
        self._planned = planned

    def body(self) -> ComposeResult:
        """Yield the sheet."""
        with VerticalScroll(classes="sheet"):
            yield Static(Hanging(sheet_text(self._planned, self.desk.day(self.now()))))

    def answers(self) -> tuple[Why, ...]:
        """Return where each figure of the plan comes from."""
        return why.of_plan(self._planned, self.desk.settings, self.desk.library)

    def action_charge(self) -> None:
        """Charge the jar as planned."""
        order = self._planned.order

        def act(codes: tuple[str, ...]) -> Jar:
            return acts.charge(self.desk, replace(order, acknowledged=codes), self.now())

        charge_asking(self.board, order.botanicals, act, self._done, self._refused)

    def action_keep(self) -> None:
        """Put the plan on the shelf."""
        jar = self.board.done(lambda: acts.plan(self.desk, self._planned.order, self.now()))
        if jar:
            self._done(jar)

    def _done(self, jar: Jar) -> None:
        told = charged_text(self.desk, jar)
        if jar.charged_at is None:
            told += Content("\nIt waits on the shelf to be charged.")
        self.app.push_screen(Tape(jar.code, told), lambda _: self.dismiss())

    def _refused(self, fault: SteepboardError) -> None:
        self.board.tell(str(fault), "error")
