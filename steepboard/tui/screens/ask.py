"""Questions asked over a screen: yes or no, a line of text, a day with a reason."""

from __future__ import annotations

from datetime import date, time

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.services.reminder_acts import Later
from steepboard.text import clean
from steepboard.tui import words
from steepboard.tui.safe import plain
from steepboard.tui.screens.base import PAGES
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.day_reader import day_reader
from steepboard.tui.widgets.form import Form, once


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

    def __init__(
        self, title: str, question: str, label: str, *, needed: bool, does: str = "keeps it"
    ) -> None:
        super().__init__()
        self._title, self._question, self._label = title, question, label
        self._needed, self._does = needed, does

    def compose(self) -> ComposeResult:
        """Put the question over its line."""
        with Form(classes="question") as box:
            box.border_title = plain(self._title)
            box.border_subtitle = f"Enter {self._does}   Esc leaves"
            yield Static(plain(self._question), classes="question-about")
            yield AmountInput(self._label, lambda text: clean(text, 500), lambda _: "", id="line")

    @once
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

    @once
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


class AskLater(ModalScreen[Later | None]):
    """Until when; one key each, None when it was left by Esc."""

    CSS_PATH = PAGES
    BINDINGS = [  # noqa: RUF012
        ("1", "choose('1h')", "In an hour"),
        ("2", "choose('tonight')", "Tonight"),
        ("3", "choose('tomorrow')", "Tomorrow"),
        ("escape", "dismiss(None)", "Leave"),
    ]

    def __init__(self, title: str, evening: time) -> None:
        super().__init__()
        self._title, self._evening = title, evening

    def compose(self) -> ComposeResult:
        """List the choices with their keys."""
        with VerticalScroll(classes="question") as box:
            box.border_title = plain(self._title)
            box.border_subtitle = "Esc leaves"
            choices = (
                "in an hour",
                f"tonight at {self._evening:%H:%M}",
                "tomorrow, at its own time",
            )
            lines = (
                Content.assemble((f"{n}  ", "$primary bold"), text)
                for n, text in enumerate(choices, start=1)
            )
            yield Static(Content("\n").join(lines))

    def action_choose(self, choice: str) -> None:
        """Hand the choice over."""
        self.dismiss(Later(choice))


class AskSpan(ModalScreen[tuple[date, date] | None]):
    """The first and the last day away; None when it was left by Esc."""

    CSS_PATH = PAGES
    BINDINGS = [("escape", "dismiss(None)", "Leave")]  # noqa: RUF012

    def __init__(self, today: date) -> None:
        super().__init__()
        self._today = today

    def compose(self) -> ComposeResult:
        """Put what it means over its two lines."""
        about = "Nothing is said on these days. On return one notice tells what came due."
        with Form(classes="question") as box:
            box.border_title = "Away"
            box.border_subtitle = "Enter goes on   Esc leaves"
            yield Static(about, classes="question-about")
            for label, read, name in (
                ("First day", day_reader(self._today), "first"),
                ("Last day", self._last, "last"),
            ):
                hint = "say today, fri or 18 Mar"
                yield AmountInput(label, read, self._echo, hint=hint, id=name)

    def on_amount_input_changed(self, event: AmountInput.Changed) -> None:
        """Read the last day anew once the first is another."""
        if event.answer.id == "first":
            last = self.query_one("#last", AmountInput)
            last.typed = last.typed

    @once
    def on_form_finished(self) -> None:
        """Hand both days over, once they are given and in order."""
        first: AmountInput[date] = self.query_one("#first", AmountInput)
        last: AmountInput[date] = self.query_one("#last", AmountInput)
        for answer in (first, last):
            if answer.value is None:
                if not answer.typed.strip():
                    answer.refuse("Write the day like 18, 18 Mar, fri or +3.")
                answer.take_focus()
                return
        if first.value and last.value and first.value <= last.value:
            self.dismiss((first.value, last.value))
        else:
            last.refuse("It comes before the first day.")
            last.take_focus()

    def _echo(self, day: date) -> str:
        return f"→ {words.day(day)}, {words.until(day, self._today)}"

    def _last(self, text: str) -> date:
        """Return the day, the next such after the first where it names no year."""
        first = self.query_one("#first", AmountInput).value
        day = day_reader(self._today)(text)
        return day_reader(first)(text) if first and day < first else day
