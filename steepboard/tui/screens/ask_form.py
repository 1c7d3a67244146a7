"""A few answers asked for together, over a screen; what is refused stays typed, and says why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from textual.app import ComposeResult
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.errors import Doubtful, SteepboardError
from steepboard.tui.safe import plain
from steepboard.tui.screens.base import PAGES
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.form import Form, once

T = TypeVar("T")
Given = Mapping[str, Any]
"""What was answered, by the names of the lines; None where a line was left empty."""


@dataclass(frozen=True, slots=True)
class Line:
    """One answer that is typed."""

    name: str
    label: str
    read: Callable[[str], Any]
    show: Callable[[Any], str] = lambda _: ""
    hint: str = ""
    typed: str = ""
    needed: str = ""
    """What is said where nothing was typed; empty where it may be left out."""
    suggestions: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Pick:
    """One answer of a few words."""

    name: str
    label: str
    options: Sequence[tuple[str, str]]
    value: str | None = None


class AskForm(ModalScreen[T | None], Generic[T]):
    """Does what is asked for once all is answered; None when it was left by Esc.

    `act` is handed what was answered, and whether one insists on what it doubted before. A fault
    of it is shown below the answers.
    """

    CSS_PATH = PAGES
    BINDINGS = [("escape", "dismiss(None)", "Leave")]  # noqa: RUF012

    def __init__(
        self,
        title: str,
        about: str,
        lines: Sequence[Line | Pick],
        act: Callable[[Given, bool], T],
    ) -> None:
        super().__init__()
        self._title, self._about, self._lines, self._act = title, about, tuple(lines), act
        self._doubted = False

    def compose(self) -> ComposeResult:
        """Put one line below the other, and room for a refusal."""
        with Form(classes="question") as box:
            box.border_title = plain(self._title)
            box.border_subtitle = "Enter goes on   Esc leaves"
            if self._about:
                yield Static(plain(self._about), classes="question-about")
            for line in self._lines:
                yield widget(line)
            yield Static(classes="ask-fault")

    def on_mount(self) -> None:
        """Begin with nothing refused."""
        self._refuse("")

    def on_amount_input_changed(self) -> None:
        """Doubt anew what was changed."""
        self._refuse("")

    def on_choice_changed(self) -> None:
        """Doubt anew what was changed."""
        self._refuse("")

    @once
    def on_form_finished(self) -> None:
        """Do it, once all that is needed was answered."""
        for line, answer in self._typed():
            if line.needed and not answer.refusal and answer.value is None:
                answer.refuse(line.needed)
            if answer.refusal:
                answer.take_focus()
                return
        try:
            made = self._act(self._given(), self._doubted)
        except Doubtful as fault:
            self._refuse(f"? {fault} Enter keeps it as it stands.")
            self._doubted = True
        except SteepboardError as fault:
            self._refuse(f"! {fault}")
        except OSError as fault:
            self._refuse(f"! {fault.strerror or fault}: {fault.filename or ''}")
        else:
            self.dismiss(made)

    def _given(self) -> dict[str, Any]:
        typed = {line.name: answer.value for line, answer in self._typed()}
        picks = (line for line in self._lines if isinstance(line, Pick))
        return typed | {one.name: self.query_one(f"#{one.name}", Choice).value for one in picks}

    def _typed(self) -> Iterator[tuple[Line, AmountInput[Any]]]:
        for line in self._lines:
            if isinstance(line, Line):
                yield line, self.query_one(f"#{line.name}", AmountInput)

    def _refuse(self, why: str) -> None:
        self._doubted = False
        told = self.query_one(".ask-fault", Static)
        told.update(plain(why) if why else Content(""))
        told.display = bool(why)


def kept_before(names: Iterable[str]) -> Callable[[str], str]:
    """Return what is shown beside a name: whether it is one of those that are kept already."""
    known = {name.casefold() for name in names}
    return lambda name: "kept before: replaced" if name.casefold() in known else ""


def widget(line: Line | Pick) -> AmountInput[Any] | Choice:
    """Return the field that asks for an answer, by the answer's name as its id."""
    if isinstance(line, Pick):
        return Choice(line.label, line.options, value=line.value, id=line.name)
    return AmountInput(
        line.label,
        line.read,
        line.show,
        hint=line.hint,
        typed=line.typed,
        suggestions=line.suggestions,
        id=line.name,
    )
