"""One line to type an answer into: what was understood beside it, or why not below it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Generic, TypeVar

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.suggester import SuggestFromList
from textual.widgets import Input, Label

from steepboard.errors import SteepboardError
from steepboard.text import visible
from steepboard.tui.safe import plain
from steepboard.tui.widgets.hanging import Hanging

T = TypeVar("T")


class AmountInput(Vertical, Generic[T]):
    """An answer of any kind that `read` understands; what was typed is kept, right or wrong.

    What the program filled in is marked on focus, so that typing replaces it. What a person typed,
    here or `by_hand` before, is not: they go on with it.
    """

    class Changed(Message):
        """Another text stands in the field."""

        def __init__(self, answer: AmountInput[Any]) -> None:
            self.answer = answer
            super().__init__()

    def __init__(
        self,
        label: str,
        read: Callable[[str], T],
        show: Callable[[T], str],
        *,
        hint: str = "",
        typed: str = "",
        by_hand: bool = False,
        suggestions: Iterable[str] = (),
        id: str | None = None,  # noqa: A002 - Textual's own name
    ) -> None:
        super().__init__(id=id, classes="answer")
        self._label, self._read, self._show = label, read, show
        self._hint, self._suggestions = hint, tuple(suggestions)
        self._typed = visible(typed)
        self._by_hand = by_hand
        self.value: T | None = None
        """What was understood; None where nothing or nothing readable was typed."""
        self.refusal = ""
        """Why what was typed cannot be used, with an example of what can."""
        self._understand()

    @property
    def typed(self) -> str:
        """What stands in the field."""
        return self._typed

    @typed.setter
    def typed(self, text: str) -> None:
        self._typed = visible(text)
        self._understand()
        for field in self.query(Input):
            if field.value != self._typed:
                field.select_on_focus = True
            field.value = self._typed
            self.post_message(self.Changed(self))
        self._tell()

    def compose(self) -> ComposeResult:
        """Yield label, field, note and refusal."""
        suggester = (
            SuggestFromList(self._suggestions, case_sensitive=False) if self._suggestions else None
        )
        with Horizontal(classes="answer-line"):
            yield Label(plain(self._label), classes="answer-label")
            yield Input(self._typed, compact=True, suggester=suggester,
                        select_on_focus=not self._by_hand)  # fmt: skip
            yield Label("", classes="answer-note")
        yield Label("", classes="answer-refusal")

    def on_mount(self) -> None:
        """Show what is understood from the start."""
        self._tell()

    def hint(self, text: str) -> None:
        """Say what holds while nothing is typed, and where it comes from."""
        if text != self._hint:
            self._hint = text
            self._tell()

    def refuse(self, why: str) -> None:
        """Show in place why the answer cannot be used."""
        self.refusal = why
        self._tell()

    def take_focus(self) -> None:
        """Put the cursor into the field."""
        self.query_one(Input).focus()

    def on_descendant_focus(self) -> None:
        """Stand out, and say in full what the default is and where it comes from."""
        self.add_class("-here")

    def on_descendant_blur(self) -> None:
        """Stand back."""
        self.remove_class("-here")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Read the new text."""
        event.stop()
        if event.value == self._typed:
            return
        event.input.select_on_focus = False
        self._typed = event.value
        self._understand()
        self._tell()
        self.post_message(self.Changed(self))

    def _understand(self) -> None:
        self.value, self.refusal = None, ""
        if not self._typed.strip():
            return
        try:
            self.value = self._read(self._typed)
        except SteepboardError as fault:
            self.refusal = str(fault)

    def _tell(self) -> None:
        labels = self.query(Label)
        if not labels:
            return
        note, refusal = labels[1], labels[2]
        self.set_class(bool(self.refusal), "-refused")
        self.set_class(self.value is not None, "-understood")
        text = self._hint if self.value is None else self._show(self.value)
        note.update(Content("") if self.refusal else plain(text))
        refusal.update(Hanging(plain(f"! {self.refusal}" if self.refusal else "")))
