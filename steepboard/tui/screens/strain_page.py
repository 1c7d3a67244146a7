"""One page of a straining: what to do, what to expect, the fields, what is doubted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from steepboard.domain.records import Measure
from steepboard.tui.safe import plain
from steepboard.tui.screens.charge_fields import SEPARATIONS, echo
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.form import Form

if TYPE_CHECKING:
    from steepboard.amounts import Amount
    from steepboard.tui.screens.strain_steps import Step

_FAR_OFF = "Enter keeps it as it stands."


class StepPage(Vertical):
    """Fields are asked for by their measure; what was typed before stands in them."""

    def __init__(
        self, step: Step, jar: Content, typed: Mapping[str, str], separation: str | None
    ) -> None:
        super().__init__(classes="step-page")
        self.step, self._jar = step, jar
        self._typed, self._separation = typed, separation

    def compose(self) -> ComposeResult:
        """Yield title, words, expectation, fields and doubt."""
        with Horizontal(classes="step-title"):
            yield Static(plain(self.step.title))
            yield Static(self._jar, classes="step-jar")
        yield Static(plain(self.step.do), classes="step-do")
        yield Static(classes="step-expect")
        with Form(one_is_enough=self.step.key == "measure", classes="step-fields"):
            if self._separation:
                yield Choice("Straining", SEPARATIONS, value=self._separation)
            for ask in self.step.asks:
                yield AmountInput(
                    ask.label,
                    ask.read,
                    echo,
                    hint=f"say {ask.example}",
                    typed=self._typed.get(ask.measure.value, ""),
                )
        yield Static(classes="step-doubt")
        yield Static(classes="step-words")

    def on_mount(self) -> None:
        """Show only what has something to say."""
        for name in ("expect", "doubt", "words"):
            self._tell(name, Content(""))
        self.query_one(".step-do").display = bool(self.step.do)
        self.query_one(Form).display = bool(self.fields or self.query(Choice))

    @property
    def fields(self) -> dict[Measure, AmountInput[Amount]]:
        """The fields by what they measure."""
        found = list(self.query(AmountInput))
        return {ask.measure: field for ask, field in zip(self.step.asks, found, strict=True)}

    def expect(self, text: Content) -> None:
        """Say what to expect."""
        self._tell("expect", text)

    def doubt(self, questions: list[str]) -> None:
        """Ask about readings that are far off."""
        asked = [f"? {question} {_FAR_OFF}" for question in questions if question]
        self._tell("doubt", plain(" ".join(asked)))

    def words(self, text: Content) -> None:
        """Say more."""
        self._tell("words", text)

    def start(self) -> None:
        """Put the cursor into the first empty field, or else the first one."""
        fields = list(self.fields.values())
        empty = [field for field in fields if not field.typed]
        if fields:
            (empty or fields)[0].take_focus()

    def _tell(self, name: str, text: Content) -> None:
        line = self.query_one(f".step-{name}", Static)
        line.update(text)
        line.display = bool(text)
