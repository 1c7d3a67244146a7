"""Charging with material that has a caution one must have read."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.errors import NeedsAcknowledging, SteepboardError
from steepboard.services.cautions import to_read
from steepboard.text import clean
from steepboard.tui.safe import plain
from steepboard.tui.telling import caution_lines
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.form import Form, once
from steepboard.tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from steepboard.catalogue.load import Caution
    from steepboard.domain.records import BotanicalLine, Jar
    from steepboard.tui.app import SteepBoard

_WORD = "read"
_SAID = re.compile(rf"(i have )?{_WORD}( it| this)?\.?", re.IGNORECASE)


class Acknowledge(ModalScreen[bool]):
    """Shows cautions in full; answers whether a person typed that they were read."""

    BINDINGS = [("escape", "dismiss(False)", "Leave")]  # noqa: RUF012

    def __init__(self, cautions: tuple[Caution, ...]) -> None:
        super().__init__()
        self._cautions = cautions

    def compose(self) -> ComposeResult:
        """Say what is to be read, then ask for a word."""
        with Form(classes="question") as box:
            box.border_title = "Read this first"
            box.border_subtitle = "Enter charges   Esc leaves"
            yield Static(Hanging(caution_lines(self._cautions)))
            yield Static(
                plain(
                    f"Once you have read this, type {_WORD} and press Enter. The diary of the jar "
                    "keeps that you did, and when."
                ),
                classes="question-ask",
            )
            yield AmountInput(
                "I have",
                lambda text: clean(text, 20),
                lambda _: "",
                hint=f"type {_WORD}",
                id="word",
            )

    def on_mount(self) -> None:
        """Show the beginning: what is to be read may be longer than the screen."""
        self.call_after_refresh(self.query_one(Form).scroll_home, animate=False)

    @once
    def on_form_finished(self) -> None:
        """Go on where the word was typed."""
        answer = self.query_one("#word", AmountInput)
        if _SAID.fullmatch(answer.value or ""):
            self.dismiss(True)
        else:
            answer.refuse(f"Type {_WORD} to charge the jar, or press Esc to leave.")


def charge_asking(
    board: SteepBoard,
    lines: Iterable[BotanicalLine],
    act: Callable[[tuple[str, ...]], Jar],
    then: Callable[[Jar], None],
    refused: Callable[[SteepboardError], None],
) -> None:
    """Run `act` with the codes of the cautions that were read; ask where one must be read."""
    unread = to_read(lines, board.desk.library)

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
