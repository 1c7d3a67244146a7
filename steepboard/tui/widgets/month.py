"""The days of a month, or of one week, each with the jars that ask for something on it."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from rich.cells import cell_len, set_cell_size
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
_LOW, _HIGH = 2, 8  # lines that a week of the month takes at least and at most
_OPEN = 4  # lines of a mark that says all, with one of air
_WIDE = 16  # cells of a day from which on a mark is indented
_DAY = timedelta(days=1)
_WEEK = timedelta(weeks=1)


@dataclass(frozen=True, slots=True)
class DayMark:
    """One jar on one day; its texts are made safe already."""

    sign: str
    code: str
    pressing: bool
    name: str = ""
    asks: str = ""
    """What it asks for; a week has room for that and the name."""

    def lines(self) -> tuple[str, ...]:
        """Return what it says, what matters most first."""
        return f"{self.sign} {self.code}", self.name, self.asks, ""


class Month(Widget, can_focus=True):
    """The month of the chosen day, in weeks from Monday, or its week alone."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "month--title",
        "month--head",
        "month--other",
        "month--today",
        "month--chosen",
        "month--part",
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
    alone: reactive[bool] = reactive(False, init=False)
    """Whether the week of the chosen day is shown alone."""

    @dataclass
    class Chosen(Message):
        """Other days are in sight, or another of them was chosen."""

        day: date

    def __init__(self, today: date, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._today = today
        self._marks: Mapping[date, Sequence[DayMark]] = {}
        self._away: tuple[date, date] | None = None
        self.set_reactive(Month.chosen, today)

    @property
    def first(self) -> date:
        """The Monday that begins what is in sight."""
        start = self.chosen if self.alone else self.chosen.replace(day=1)
        return start - timedelta(days=start.weekday())

    @property
    def weeks(self) -> int:
        """How many weeks are in sight."""
        if self.alone:
            return 1
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

    def watch_alone(self) -> None:
        """Tell that other days are in sight."""
        self.post_message(self.Chosen(self.chosen))

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
            segments = [Segment(f" {self._title()}", base + self._style("title"))]
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
        room = max((self.size.height - _HEAD) // self.weeks, _LOW)
        return room if self.alone else min(room, _HIGH)

    def _title(self) -> str:
        if not self.alone:
            return f"{self.chosen:%B} {self.chosen.year}"
        last = self.first + 6 * _DAY
        month = "" if self.first.month == last.month else f" {self.first:%B}"
        days = f"{self.first.day}{month} to {last.day} {last:%B} {last.year}"
        return f"Week {last.isocalendar().week} · {days}"

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"month--{name}", partial=True)

    def _cell(self, day: date, line: int) -> list[Segment]:
        base, width = self.rich_style, self._column
        if day == self.chosen:
            base += self._style("chosen")
        marks, room = self._marks.get(day, ()), self._lines - 1
        each = min(max(room // len(marks), 1), _OPEN) if self.alone and marks else 1
        room //= each
        if line == 0:
            other = not self.alone and day.month != self.chosen.month
            style = base + self._style("other") if other else base
            if day == self._today:
                style = base + self._style("today")
            more = f" +{len(marks) - room}" if len(marks) > room else ""
            if self._away and self._away[0] <= day <= self._away[1]:
                told = f" {AWAY} away{more}"
                more = told if len(told) <= width - 3 else f" {AWAY}{more}"
            edge = "▐" if day == self.chosen else " "
            rest = set_cell_size(more, width - 3)
            return [Segment(edge, base), Segment(f"{day.day:>2}", style), Segment(rest, base)]
        place, part = divmod(line - 1, each)
        if place >= len(marks):
            return [Segment(" " * width, base)]
        return [self._part(marks[place], part, width, base)]

    def _part(self, mark: DayMark, part: int, width: int, base: Style) -> Segment:
        """Return one of the lines of a mark, cut where it is too long."""
        if not part:
            style = base + self._style("pressing") if mark.pressing else base
            return Segment(set_cell_size(f" {mark.lines()[0]}", width - 1) + " ", style)
        indent = 3 if width >= _WIDE else 1
        text, room = mark.lines()[part], width - indent - 1
        if cell_len(text) > room:
            text = set_cell_size(text, room - 1).rstrip() + "…"
        return Segment(" " * indent + set_cell_size(text, room) + " ", base + self._style("part"))
