"""A botanical of one's own: name and kind, and below them all that a person may know of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.domain import own
from steepboard.errors import SteepboardError
from steepboard.services import material, materials
from steepboard.tui.safe import plain
from steepboard.tui.screens.ask_form import Pick, widget
from steepboard.tui.screens.base import PAGES
from steepboard.tui.screens.botanical import BotanicalAnswer
from steepboard.tui.screens.own_botanical_fields import CHOSEN, GROUPS
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.form import Form, once

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from textual.app import ComposeResult

    from steepboard.services.desk import Desk


class AskBotanical(ModalScreen[str | None]):
    """Keeps it, and hands over its name; None when it was left by Esc."""

    CSS_PATH = PAGES
    BINDINGS = [  # noqa: RUF012
        Binding("ctrl+s", "keep", "Keep", priority=True),
        ("escape", "dismiss(None)", "Leave"),
    ]

    def __init__(self, desk: Desk, name: str, now: Callable[[], datetime]) -> None:
        super().__init__()
        self._desk, self._named, self._now = desk, name, now

    def compose(self) -> ComposeResult:
        """Put one line below the other, in groups."""
        about = (
            "A name is enough. What you leave empty stays as it is known, or goes by its kind. "
            "Other names, allergens and cautions are added to those that are known."
        )
        with Form(classes="question") as box:
            box.border_title = "A botanical of your own"
            box.border_subtitle = "Enter goes on   Ctrl+S keeps   Esc leaves"
            yield Static(plain(about), classes="question-about")
            yield BotanicalAnswer("Name", line=self._line(), hint="as you call it")
            for title, lines in GROUPS:
                yield Static(title, classes="question-group")
                for line in lines:
                    yield widget(line)

    def on_amount_input_changed(self, event: AmountInput.Changed) -> None:
        """Bring all of a refusal into view."""
        if event.answer.refusal:
            self.call_after_refresh(event.answer.scroll_visible, animate=False)

    @once
    def on_form_finished(self) -> None:
        """Keep it: the last line was answered."""
        self._keep()

    def action_keep(self) -> None:
        """Keep it, once the fields have taken in what was typed before."""
        self.call_later(self.call_later, self._keep)

    def _line(self) -> Any:
        if not self._named.strip():
            return None
        return material.weighed(self._named, 1.0, "", library=self._desk.library)

    def _keep(self) -> None:
        asked = self.query_one(BotanicalAnswer)
        for answer in self.query(AmountInput):
            if answer.refusal:
                answer.take_focus()
                return
        if not asked.called:
            asked.answer.refuse("A name is needed, say sweet gale.")
            asked.answer.take_focus()
            return
        try:
            kept = materials.keep_botanical(
                self._desk, asked.called, self._said(asked), self._now()
            )
        except SteepboardError as fault:
            asked.answer.refuse(str(fault))
            asked.answer.take_focus()
        else:
            self.dismiss(kept.name)

    def _said(self, asked: BotanicalAnswer) -> own.OwnBotanical:
        given: dict[str, Any] = {
            answer.id: answer.value for answer in self.query(AmountInput) if answer.id
        }
        for line in (line for _, lines in GROUPS for line in lines if isinstance(line, Pick)):
            chosen = self.query_one(f"#{line.name}", Choice).value
            given[line.name] = CHOSEN[line.name](chosen) if chosen else None
        return own.said(material_class=asked.material_class, fresh=asked.fresh, **given)
