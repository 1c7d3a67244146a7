"""A column of answers: arrow keys and Enter go from one to the next."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.message import Message
from textual.widgets import Input

from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice


class Form(VerticalScroll, can_focus=False):
    """Answers one below the other; Enter on the last says that all are given."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", "Answer above", show=False),
        Binding("down", "step(1)", "Answer below", show=False),
    ]

    class Finished(Message):
        """Enter was pressed on the last answer."""

    def on_amount_input_done(self, event: AmountInput.Done) -> None:
        """Go on to the next answer."""
        event.stop()
        self._go_on()

    def on_choice_done(self, event: Choice.Done) -> None:
        """Go on to the next answer."""
        event.stop()
        self._go_on()

    def action_step(self, by: int) -> None:
        """Go to the answer above or below."""
        fields = self._fields()
        at = next((i for i, field in enumerate(fields) if field.has_focus), None)
        if at is not None and 0 <= at + by < len(fields):
            fields[at + by].focus()

    def go_on(self) -> bool:
        """Go to the next answer; returns False on the last one."""
        fields = self._fields()
        if not fields or fields[-1].has_focus or not any(field.has_focus for field in fields):
            return False
        self.action_step(1)
        return True

    def _go_on(self) -> None:
        if not self.go_on():
            self.post_message(self.Finished())

    def _fields(self) -> list[Input | Choice]:
        return [
            widget
            for widget in self.query("Input, Choice")
            if isinstance(widget, Input | Choice) and widget.focusable and _is_shown(widget)
        ]


def _is_shown(widget: Input | Choice) -> bool:
    return all(node.display for node in widget.ancestors_with_self)
