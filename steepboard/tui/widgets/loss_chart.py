"""Where the liquid went, one bar of signs for each group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.content import Content
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from steepboard.tui.safe import fitted

PARTS = (("▆", "bottled"), ("▃", "marc"), ("≡", "filter"), ("?", "unaccounted"))
"""Each part of a bar with its sign, so that it is told without colour."""
_NAME = 22  # cells
_SHOWN = 0.25  # of a cell; less is not drawn
_LEAST = 10  # cells of a bar, however narrow the screen


@dataclass(frozen=True, slots=True)
class Bar:
    """One group; its shares, in the order of `PARTS`, are drawn as parts of their sum."""

    name: str
    shares: tuple[float, ...]


class LossChart(ScrollView):
    """Draws the lines that are seen, however many bars there are."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "chart--name",
        "chart--bottled",
        "chart--marc",
        "chart--filter",
        "chart--unaccounted",
    }

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=id)
        self._bars: tuple[Bar, ...] = ()

    def show(self, bars: Sequence[Bar]) -> None:
        """Show these bars from the top."""
        self._bars = tuple(bars)
        self.virtual_size = Size(0, len(self._bars))
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one bar."""
        at, width = y + self.scroll_offset.y, self.size.width
        if at >= len(self._bars):
            return Strip.blank(width, self.rich_style)
        bar = self._bars[at]
        name = fitted(bar.name, _NAME - 1) + " "
        cells = spread(bar.shares, max(width - _NAME - 1, _LEAST))
        segments = [Segment(name, self._style("name"))]
        for (sign, part), count in zip(PARTS, cells, strict=True):
            segments.append(Segment(sign * count, self._style(part)))
        return Strip(segments).adjust_cell_length(width, self.rich_style)

    def _style(self, part: str) -> Style:
        return self.get_component_rich_style(f"chart--{part}")


def legend() -> Content:
    """Return what the signs mean."""
    return Content("   ").join([Content(f"{sign} {part}") for sign, part in PARTS])


def spread(shares: Sequence[float], cells: int) -> list[int]:
    """Return whole cells for shares: they add up, and what is not nothing gets one."""
    positive = [max(share, 0.0) for share in shares]
    total = sum(positive)
    if total <= 0:
        return [0] * len(positive)
    exact = [share / total * cells for share in positive]
    whole = [
        max(round(part), 1) if part >= 0.25 else 0 for part in exact
    ]  # a quarter of a cell shows
    whole[max(range(len(whole)), key=lambda i: whole[i])] += cells - sum(whole)
    return whole
