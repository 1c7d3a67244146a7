"""A botanical of one's own: what a person knows of it, each line with a default."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.amounts import parse_fraction, parse_ratio
from steepboard.catalogue.cautions import caution_codes
from steepboard.catalogue.tables import nearest
from steepboard.domain.figures import one_to
from steepboard.domain.own import OwnBotanical
from steepboard.errors import BadAmount, SteepboardError
from steepboard.services import material, materials
from steepboard.services.cautions import titles
from steepboard.text import clean
from steepboard.tui import answers
from steepboard.tui.safe import plain
from steepboard.tui.screens.base import PAGES
from steepboard.tui.screens.botanical import BotanicalAnswer
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.form import Form

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
        """Put one line below the other."""
        about = "What you leave empty stays as it is known, or goes by its kind."
        with Form(classes="question") as box:
            box.border_title = "A botanical of your own"
            box.border_subtitle = "Enter goes on   Ctrl+S keeps   Esc leaves"
            yield Static(plain(about), classes="question-about")
            yield BotanicalAnswer("Name", line=self._line(), hint="as you call it")
            yield AmountInput("Latin name", answers.words, str, hint="if you know it", id="latin")
            yield self._number("water", "Water in it", parse_fraction, lambda a: a.echo, "say 11 %")
            yield self._number(
                "soluble", "Soluble part", parse_fraction, lambda a: a.echo, "of the dry mass"
            )
            yield self._number("least", "Least ratio", parse_ratio, one_to, "mL a gram, say 1:5")
            yield self._number("most", "Most ratio", parse_ratio, one_to, "mL a gram, say 1:10")
            yield self._number("first", "Least days", answers.days, str, "of steeping, say 1")
            yield self._number("days", "Usual days", answers.days, str, "of steeping, say 7")
            yield self._number("last", "Most days", answers.days, str, "of steeping, say 12")
            yield self._number("taste", "Taste from", answers.days, str, "the day, say 2")
            yield AmountInput(
                "Prepare", answers.words, str, hint="how it is made ready", id="prepare"
            )
            yield AmountInput(
                "To mind", cautions, titles, hint="cautions, say daisy, pungent", id="cautions"
            )

    def on_form_finished(self) -> None:
        """Keep it: the last line was answered."""
        if not self.is_current:  # Enter came twice, and the first one did it
            return
        self._keep()

    def action_keep(self) -> None:
        """Keep it, once the fields have taken in what was typed before."""
        self.call_later(self.call_later, self._keep)

    def _line(self) -> Any:
        if not self._named.strip():
            return None
        return material.weighed(self._named, 1.0, "", library=self._desk.library)

    def _number(self, name: str, label: str, read: Any, echo: Any, hint: str) -> AmountInput[Any]:
        return AmountInput(label, read, echo, hint=hint, id=name)

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

    def _said(self, asked: BotanicalAnswer) -> OwnBotanical:
        given = {answer.id: answer.value for answer in self.query(AmountInput) if answer.id}
        water, soluble = given["water"], given["soluble"]
        return OwnBotanical(
            "",
            "",
            material_class=asked.material_class,
            latin=given["latin"] or "",
            fresh=asked.fresh,
            moisture=water.value if water else None,
            soluble=soluble.value if soluble else None,
            ratio_min=given["least"],
            ratio_max=given["most"],
            days_min=given["first"],
            days_typical=given["days"],
            days_max=given["last"],
            taste_from_day=given["taste"],
            cautions=given["cautions"] or (),
            preparation=given["prepare"] or "",
        )


def cautions(text: str) -> tuple[str, ...]:
    """Return the codes of cautions, from codes parted by commas. Raises `BadAmount`."""
    codes = tuple(filter(None, map(str.strip, text.upper().replace(";", ",").split(","))))
    known = tuple(caution_codes())
    if wrong := next((code for code in codes if code not in known), None):
        told = f"“{clean(wrong, 40)}” is not a caution. {nearest(wrong, known)}."
        raise BadAmount(text, told, "DAISY, PUNGENT")
    return codes
