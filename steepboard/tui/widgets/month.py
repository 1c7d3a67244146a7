"""A month of days, each with the jars that ask for something on it."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from rich.cells import set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.binding import Binding, BindingType
from textual.events import Click
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

AWAY = "╌"
"""Sign of a day away."""
_HEAD = 2  # lines above the weeks
_LOW, _HIGH = 2, 8  # lines that a week takes at least and at most
_DAY = timedelta(days=1)
_WEEK = timedelta(weeks=1)


@dataclass(frozen=True, slots=True)
class DayMark:
    """One jar on one day; the code is made safe already."""

    sign: str
    code: str
    pressing: bool


class Month(Widget, can_focus=True):
    """The month of the chosen day, in weeks from Monday."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "month--title",
        "month--head",
        "month--other",
        "month--today",
        "month--chosen",
        "month--pressing",
    }
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "A day back", show=False),
        Binding("right", "step(1)", "A day on", show=False),
        Binding("up", "step(-7)", "A week back", show=False),
        Binding("down", "step(7)", "A week on", show=False),
        Binding("pageup", "step_month(-1)", "A month back", show=False),
        Binding("pagedown", "step_month(1)", "A month on", show=False),
    ]
    chosen: reactive[date] = reactive(date.today, init=False)

    @dataclass
    class Chosen(Message):
        """Another day was chosen."""

        day: date

    def __init__(self, today: date, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._today = today
        self._marks: Mapping[date, Sequence[DayMark]] = {}
        self._away: tuple[date, date] | None = None
        self.set_reactive(Month.chosen, today)

    @property
    def first(self) -> date:
        """The Monday that the month in sight begins with."""
        start = self.chosen.replace(day=1)
        return start - timedelta(days=start.weekday())

    @property
    def weeks(self) -> int:
        """How many weeks are in sight."""
        length = monthrange(self.chosen.year, self.chosen.month)[1]
        return -(-(self.chosen.replace(day=1).weekday() + length) // 7)

    def show(
        self,
        marks: Mapping[date, Sequence[DayMark]],
        today: date,
        away: tuple[date, date] | None = None,
    ) -> None:
        """Show other marks, and the first and the last day away."""
        self._marks, self._today, self._away = marks, today, away
        self.refresh()

    def action_step(self, days: int) -> None:
        """Choose a day so many days off."""
        self.chosen += timedelta(days=days)

    def action_step_month(self, by: int) -> None:
        """Choose the same day of another month, or its last one."""
        months = self.chosen.year * 12 + self.chosen.month - 1 + by
        year, month = divmod(months, 12)
        last = monthrange(year, month + 1)[1]
        self.chosen = date(year, month + 1, min(self.chosen.day, last))

    def watch_chosen(self, day: date) -> None:
        """Tell the day."""
        self.post_message(self.Chosen(day))

    def on_click(self, event: Click) -> None:
        """Choose the day under the pointer."""
        week, column = (event.y - _HEAD) // self._lines, event.x // self._column
        if event.y >= _HEAD and week < self.weeks and column < 7:
            self.chosen = self.first + week * _WEEK + column * _DAY

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002
        """Take at least what six weeks need."""
        return _HEAD + 6 * _LOW

    def render_line(self, y: int) -> Strip:
        """Return one line: title, weekdays, then the weeks."""
        base = self.rich_style
        if y == 0:
            title = f" {self.chosen:%B} {self.chosen.year}"
            segments = [Segment(title, base + self._style("title"))]
        elif y == 1:
            names = (f" {self.first + n * _DAY:%a}" for n in range(7))
            head = "".join(name.ljust(self._column) for name in names)
            segments = [Segment(head, base + self._style("head"))]
        else:
            week, line = divmod(y - _HEAD, self._lines)
            days = [self.first + week * _WEEK + n * _DAY for n in range(7)]
            segments = [part for day in days for part in self._cell(day, line)]
            if week >= self.weeks:
                segments = []
        return Strip(segments).extend_cell_length(self.size.width, base).crop(0, self.size.width)

    @property
    def _column(self) -> int:
        return max(self.size.width // 7, 4)

    @property
    def _lines(self) -> int:
        return min(max((self.size.height - _HEAD) // self.weeks, _LOW), _HIGH)

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"month--{name}", partial=True)

    def _cell(self, day: date, line: int) -> list[Segment]:
        base, width = self.rich_style, self._column
        if day == self.chosen:
            base += self._style("chosen")
        marks = self._marks.get(day, ())
        room = self._lines - 1
        if line == 0:
            style = base + self._style("other") if day.month != self.chosen.month else base
            if day == self._today:
                style = base + self._style("today")
            more = f" +{len(marks) - room}" if len(marks) > room else ""
            if self._away and self._away[0] <= day <= self._away[1]:
                told = f" {AWAY} away{more}"
                more = told if len(told) <= width - 3 else f" {AWAY}{more}"
            edge = "▐" if day == self.chosen else " "
            rest = set_cell_size(more, width - 3)
            return [Segment(edge, base), Segment(f"{day.day:>2}", style), Segment(rest, base)]
        if line > len(marks):
            return [Segment(" " * width, base)]
        mark = marks[line - 1]
        style = base + self._style("pressing") if mark.pressing else base
        return [Segment(set_cell_size(f" {mark.sign} {mark.code}", width - 1) + " ", style)]
