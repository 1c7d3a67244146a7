"""Charging with material that has a caution one must have read."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.errors import NeedsAcknowledging, SteepboardError
from steepboard.services import material
from steepboard.tui.safe import plain
from steepboard.tui.telling import caution_lines

if TYPE_CHECKING:
    from steepboard.catalogue.load import Caution
    from steepboard.domain.records import BotanicalLine, Jar
    from steepboard.tui.app import SteepBoard


class Acknowledge(ModalScreen[bool]):
    """Shows cautions in full; answers whether they were read."""

    BINDINGS = [("y", "dismiss(True)", "Yes"), ("n,escape", "dismiss(False)", "No")]  # noqa: RUF012

    def __init__(self, cautions: tuple[Caution, ...]) -> None:
        super().__init__()
        self._cautions = cautions

    def compose(self) -> ComposeResult:
        """Say what is to be read, then ask."""
        with VerticalScroll(classes="question") as box:
            box.border_title = "Read this first"
            box.border_subtitle = "Y  I have read it   N  back"
            yield Static(caution_lines(self._cautions))
            yield Static(
                plain(
                    "Local rules and licensed practice come first. "
                    "Your word is kept with the jar. Have you read this?"
                ),
                classes="question-ask",
            )


def charge_asking(
    board: SteepBoard,
    lines: Iterable[BotanicalLine],
    act: Callable[[tuple[str, ...]], Jar],
    then: Callable[[Jar], None],
    refused: Callable[[SteepboardError], None],
) -> None:
    """Run `act` with the codes of the cautions that were read; ask where one must be read."""
    unread = tuple(
        {
            caution.code: caution
            for line in lines
            for caution in material.cautions_of(line, board.desk.library)
            if caution.needs_acknowledging
        }.values()
    )

    def attempt(codes: tuple[str, ...]) -> None:
        try:
            jar = act(codes)
        except NeedsAcknowledging:
            board.push_screen(Acknowledge(unread), answered)
        except SteepboardError as fault:
            refused(fault)
        else:
            board.look_again()
            then(jar)

    def answered(read: bool | None) -> None:
        if read:
            attempt(tuple(caution.code for caution in unread))

    attempt(())
