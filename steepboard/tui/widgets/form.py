"""A column of answers: arrow keys and Enter go from one to the next."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, ClassVar, TypeVar

from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Input

from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice

_Asking = TypeVar("_Asking", bound=Screen[Any])


def once(finished: Callable[[_Asking], None]) -> Callable[[_Asking], None]:
    """Let a screen answer `Form.Finished` only while it is on top: Enter may come twice in a hurry.

    The screen looks as it answers, for both may be under way when the form posts the second.
    """

    @wraps(finished)
    def answered(screen: _Asking) -> None:
        if screen.is_current:
            finished(screen)

    return answered


class Form(VerticalScroll, can_focus=False):
    """Answers one below the other; Enter on the last says that all are given.

    Enter and Tab come before the field sees them, so that quick hands find the next one in time.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", "Answer above", show=False),
        Binding("down", "step(1)", "Answer below", show=False),
        Binding("tab", "app.focus_next", "Next", show=False, priority=True),
        Binding("shift+tab", "app.focus_previous", "Back", show=False, priority=True),
        Binding(
            "enter", "go_on", "Go on", key_display="↵", tooltip="Go on to what follows.",
            priority=True,
        ),
    ]  # fmt: skip

    class Finished(Message):
        """Enter was pressed on the last answer, on any where one is enough, or to skip them all."""

    def __init__(
        self,
        *,
        one_is_enough: bool = False,
        may_skip: bool = False,
        finishing: Callable[[], None] | None = None,
        classes: str | None = None,
    ) -> None:
        """Take what to call at once at the last Enter, before any key that comes after it."""
        super().__init__(classes=classes)
        self._one_is_enough, self._may_skip = one_is_enough, may_skip
        self._finishing = finishing

    def action_step(self, by: int) -> None:
        """Go to the answer above or below."""
        fields = self._fields()
        at = next((i for i, field in enumerate(fields) if field is self.screen.focused), None)
        if at is not None and 0 <= at + by < len(fields):
            self.screen.set_focus(fields[at + by])

    def action_go_on(self) -> None:
        """Go on to the next answer, or finish."""
        here, fields = self.screen.focused, self._fields()
        skips = self._may_skip and here is fields[0] and not getattr(here, "value", "")
        if here in fields[:-1] and not self._one_is_enough and not skips:
            self.action_step(1)
            return
        answer = here.query_ancestor(AmountInput) if isinstance(here, Input) else None
        if self._finishing:
            self._finishing()
        if here is None or answer is None:
            self.post_message(self.Finished())
        else:  # once field and answer have taken in what was typed before
            here.call_later(answer.call_later, self.post_message, self.Finished())

    def _fields(self) -> list[Input | Choice]:
        return [
            widget
            for widget in self.query("Input, Choice")
            if isinstance(widget, Input | Choice) and widget.focusable and _is_shown(widget)
        ]


def _is_shown(widget: Input | Choice) -> bool:
    return all(node.display for node in widget.ancestors_with_self)
