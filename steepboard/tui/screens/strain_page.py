"""One page of a straining: what to do, what to expect, the fields, what is doubted."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from steepboard.domain.records import Measure
from steepboard.services.typed_bottles import read_all_fills
from steepboard.tui.safe import plain
from steepboard.tui.screens.charge_fields import SEPARATIONS
from steepboard.tui.screens.fill_form import EXAMPLE, fills_told
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.form import Form
from steepboard.tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from steepboard.services.bottling import Fill
    from steepboard.services.typed_readings import Typed
    from steepboard.tui.screens.strain_steps import Step

FILLS = "fills"
"""The field for the bottles, and what was typed into it."""
_FAR_OFF = "Enter keeps it as it stands."


class StepPage(Vertical):
    """Fields are asked for by their measure; what was typed before stands in them."""

    def __init__(
        self,
        step: Step,
        jar: Content,
        typed: Mapping[str, str],
        separation: str | None,
        finishing: Callable[[], None],
    ) -> None:
        super().__init__(classes="step-page")
        self.step, self._jar, self._finishing = step, jar, finishing
        self._typed, self._separation = typed, separation

    def compose(self) -> ComposeResult:
        """Yield title, words, expectation, fields and doubt."""
        with Horizontal(classes="step-title"):
            yield Static(plain(self.step.title))
            yield Static(self._jar, classes="step-jar")
        yield Static(plain(self.step.do), classes="step-do")
        yield Static(classes="step-expect")
        form = Form(
            one_is_enough=self.step.enter_ends,
            may_skip=self.step.may_skip,
            finishing=self._finishing,
            classes="step-fields",
        )
        with form:
            if self._separation:
                yield Choice("Straining", SEPARATIONS, value=self._separation)
            for ask in self.step.asks:
                yield AmountInput(
                    ask.label,
                    ask.read,
                    _echo,
                    hint=f"say {ask.example}",
                    typed=self._typed.get(ask.measure.value, ""),
                    by_hand=True,
                )
            if self.step.fills:
                yield AmountInput(
                    "Bottles",
                    read_all_fills,
                    fills_told,
                    hint=f"{EXAMPLE}, or leave it empty",
                    typed=self._typed.get(FILLS, ""),
                    by_hand=True,
                    id=FILLS,
                )
        yield Static(classes="step-doubt")
        yield Static(classes="step-words")

    def on_mount(self) -> None:
        """Show only what has something to say."""
        for name in ("expect", "doubt", "words"):
            self._tell(name, Content(""))
        self.query_one(".step-do").display = bool(self.step.do)
        self.query_one(Form).display = bool(self.query("AmountInput, Choice"))

    @property
    def fields(self) -> dict[Measure, AmountInput[Typed]]:
        """The fields by what they measure."""
        found = [field for field in self.query(AmountInput) if field.id != FILLS]
        return {ask.measure: field for ask, field in zip(self.step.asks, found, strict=True)}

    @property
    def fills(self) -> AmountInput[tuple[Fill, ...]] | None:
        """The field for the bottles, where this step has one."""
        return next(iter(self.query(f"#{FILLS}").results(AmountInput)), None)

    @property
    def refused(self) -> list[AmountInput[Any]]:
        """The fields with what cannot be used."""
        return [field for field in self.query(AmountInput) if field.refusal]

    @property
    def measures(self) -> set[Measure]:
        """All that may be read here."""
        return {measure for ask in self.step.asks for measure in ask.measures}

    def expect(self, text: Content, beside: Mapping[Measure, str]) -> None:
        """Say what to expect, and say it beside each field."""
        self._tell("expect", text)
        for ask in self.step.asks:
            if ask.measure in beside:
                self.fields[ask.measure].hint(f"expect {beside[ask.measure]}")

    def doubt(self, questions: Iterable[str], *, ask: bool = False) -> None:
        """Tell which readings are far off, and where an answer is wanted bring that into view."""
        asked = [f"? {question}" for question in questions]
        self._tell("doubt", plain(" ".join([*asked, _FAR_OFF] if asked else [])))
        if ask:
            line = self.query_one(".step-doubt")
            self.call_after_refresh(line.scroll_visible, animate=False)

    def words(self, text: Content) -> None:
        """Say more."""
        self._tell("words", text)

    def start(self) -> None:
        """Put the cursor into the first empty field, or else the first one."""
        fields = list(self.query(AmountInput))
        empty = [field for field in fields if not field.typed]
        if fields:
            (empty or fields)[0].take_focus()

    def _tell(self, name: str, text: Content) -> None:
        line = self.query_one(f".step-{name}", Static)
        line.update(Hanging(text))
        line.display = bool(text)


def _echo(typed: Typed) -> str:
    return typed.echo
