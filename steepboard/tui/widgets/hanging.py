"""Lines of a page whose further rows stand under the words of the first, not under its mark."""

from __future__ import annotations

import re
from collections.abc import Iterator

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

_MARK = re.compile(r" ?\d+\.|[✖▲·+!]")  # the number of a step, or a sign


class Hanging(Horizontal):
    """A mark, and the words beside it."""

    def __init__(self, mark: Content, text: Content) -> None:
        super().__init__()
        self._mark, self._text = mark, text

    def compose(self) -> ComposeResult:
        """Yield both, side by side."""
        yield Static(self._mark, classes="mark")
        yield Static(self._text, classes="words")


def hung(page: Content) -> Iterator[Widget]:
    """Yield the lines of a page, each that begins with a mark and a space hung on it."""
    for line in page.split("\n", allow_blank=True):
        mark = _MARK.match(line.plain)
        if mark and line.plain[mark.end() :].startswith(" "):
            yield Hanging(line[: mark.end()], line[mark.end() + 1 :])
        else:
            yield Static(line or " ")
