"""Questions asked over a screen: yes or no, a line of text, a day with a reason."""

from __future__ import annotations

from datetime import date

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.text import clean
from steepboard.tui import words
from steepboard.tui.safe import plain
from steepboard.tui.screens.base import PAGES
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.day_reader import day_reader
from steepboard.tui.widgets.form import Form


class Confirm(ModalScreen[bool]):
    """A question that is answered by one key."""

    CSS_PATH = PAGES
    BINDINGS = [("y,enter", "dismiss(True)", "Yes"), ("n,escape", "dismiss(False)", "No")]  # noqa: RUF012

    def __init__(self, title: str, question: str) -> None:
        super().__init__()
        self._title, self._question = title, question

    def compose(self) -> ComposeResult:
        """Put the question in a box."""
        with VerticalScroll(classes="question") as box:
            box.border_title = plain(self._title)
            box.border_subtitle = "Y  yes   N  no"
            yield Static(Content("\n").join(map(plain, self._question.splitlines())))


class AskLine(ModalScreen[str | None]):
    """A line of text; None when it was left by Esc."""

    CSS_PATH = PAGES
    BINDINGS = [("escape", "dismiss(None)", "Leave")]  # noqa: RUF012

    def __init__(self, title: str, question: str, label: str, *, needed: bool) -> None:
        super().__init__()
        self._title, self._question, self._label = title, question, label
        self._needed = needed

    def compose(self) -> ComposeResult:
        """Put the question over its line."""
        with Form(classes="question") as box:
            box.border_title = plain(self._title)
            box.border_subtitle = "Enter keeps it   Esc leaves"
            yield Static(plain(self._question), classes="question-about")
            yield AmountInput(self._label, lambda text: clean(text, 500), lambda _: "", id="line")

    def on_form_finished(self) -> None:
        """Hand the text over, where there is any or none is needed."""
        answer = self.query_one("#line", AmountInput)
        if not answer.value and self._needed:
            answer.refuse("A few words are needed here.")
        else:
            self.dismiss(answer.value or "")


class AskDay(ModalScreen[tuple[date, str] | None]):
    """A day and the reason for it; None when it was left by Esc."""

    CSS_PATH = PAGES
    BINDINGS = [("escape", "dismiss(None)", "Leave")]  # noqa: RUF012

    def __init__(self, title: str, question: str, today: date) -> None:
        super().__init__()
        self._title, self._question, self._today = title, question, today

    def compose(self) -> ComposeResult:
        """Put the question over its two lines."""
        with Form(classes="question") as box:
            box.border_title = plain(self._title)
            box.border_subtitle = "Enter goes on   Esc leaves"
            yield Static(plain(self._question), classes="question-about")
            yield AmountInput("New day", day_reader(self._today), self._echo, id="day")
            yield AmountInput("Why", lambda text: clean(text, 500), lambda _: "", id="why")

    def on_form_finished(self) -> None:
        """Hand day and reason over, once both are given."""
        day, why = self.query_one("#day", AmountInput), self.query_one("#why", AmountInput)
        if day.value is None:
            if not day.typed.strip():
                day.refuse("Write the day like 18, 18 Mar, fri or +3.")
            day.take_focus()
        elif not why.value:
            why.refuse("A few words are needed: they stand in the diary.")
        else:
            self.dismiss((day.value, why.value))

    def _echo(self, day: date) -> str:
        return f"→ {words.day(day)}, {words.until(day, self._today)}"
