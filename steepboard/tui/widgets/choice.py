"""One of a few words, chosen with the arrow keys or the mouse."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import RenderResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from steepboard.text import visible

_LABEL_WIDTH = 15  # cells, as the labels of typed answers


class Choice(Widget, can_focus=True):
    """A label and its options: all in one line where they fit, else the chosen one alone."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "turn(-1)", "Before", show=False),
        Binding("right,space", "turn(1)", "Next", show=False),
    ]

    class Changed(Message):
        """Another option was chosen."""

        def __init__(self, choice: Choice) -> None:
            self.choice = choice
            super().__init__()

    def __init__(
        self,
        label: str,
        options: Sequence[tuple[str, str]],
        *,
        value: str | None = None,
        note: str = "",
        id: str | None = None,  # noqa: A002 - Textual's own name
    ) -> None:
        super().__init__(id=id, classes="choice")
        self._label = label
        self._options = tuple(options)
        self._note = note
        self._at = max((i for i, (key, _) in enumerate(options) if key == value), default=0)

    @property
    def value(self) -> str:
        """The chosen option."""
        return self._options[self._at][0]

    @value.setter
    def value(self, value: str) -> None:
        self._at = next((i for i, (key, _) in enumerate(self._options) if key == value), self._at)
        self.refresh()

    def note(self, text: str) -> None:
        """Say where the choice comes from."""
        if text != self._note:
            self._note = text
            self.refresh()

    def render(self) -> RenderResult:
        """Return the line: `◆` stands before the chosen option, `◇` before the others."""
        label = Content.styled(f"{self._label:<{_LABEL_WIDTH}}", "$faint")
        if self._fits():
            words = [self._word(i) for i in range(len(self._options))]
            shown = Content("  ").join(words)
        else:
            shown = Content(f"◂ {visible(self._options[self._at][1])} ▸").stylize("b")
        note = Content.styled(f"  {visible(self._note)}" if self._note else "", "$faint")
        line = label + shown
        return line + note if line.cell_length + note.cell_length <= self.size.width else line

    def action_turn(self, by: int) -> None:
        """Choose the option before or after, round the end."""
        self._choose((self._at + by) % len(self._options))

    def on_click(self, event: events.Click) -> None:
        """Choose the option under the pointer, or the next one."""
        if not self._fits():
            self.action_turn(1)
            return
        left = _LABEL_WIDTH
        for i, (_, words) in enumerate(self._options):
            right = left + len(words) + 4
            if left <= event.x < right:
                self._choose(i)
            left = right

    def _choose(self, at: int) -> None:
        if at != self._at:
            self._at = at
            self.refresh()
            self.post_message(self.Changed(self))

    def _fits(self) -> bool:
        return _LABEL_WIDTH + sum(len(words) + 4 for _, words in self._options) <= self.size.width

    def _word(self, i: int) -> Content:
        words = visible(self._options[i][1])
        return Content(f"◆ {words}").stylize("b") if i == self._at else Content(f"◇ {words}")
