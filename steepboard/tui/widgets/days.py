"""The steeps as rows over a calendar of days. The cost of a frame is that of the lines one sees."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.binding import Binding, BindingType
from textual.events import Click
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from steepboard.tui.safe import fitted

SIGNS: Mapping[str, tuple[str, str]] = {
    "charged": ("┃", "charged"),
    "stirred": ("≈", "stirred"),
    "missed": ("×", "missed"),
    "stir": ("○", "stir"),
    "ahead": ("·", "ahead"),
    "rest": ("-", "rest"),
    "strain": ("▼", "strain"),
    "late": ("!", "late"),
    "settling": ("▁", "settling"),
}
"""Sign and legend word of each mark a day may have."""
_HEAD = 2  # lines above the rows
_BANDS = 5  # tones through which a steep darkens
_LABEL = 18  # columns of a row before its days, without the name
_WIDE, _VAST = 110, 160  # columns from which on there is room for more
_PASSED = frozenset({"charged", "stirred", "missed", "stir", "rest"})
_STYLES = {
    "stir": "due",
    "missed": "missed",
    "strain": "strain",
    "late": "late",
    "ahead": "faint",
    "settling": "faint",
}


@dataclass(frozen=True, slots=True)
class DayRow:
    """One jar over the days; the texts are made safe already."""

    code: str
    name: str
    left: str
    """Until the strain day, or what else it waits for, in six columns: `5 d`."""
    wants: bool
    marks: Mapping[date, str]
    charged_on: date | None
    strain_on: date

    def band(self, day: date) -> int:
        """Return how far the steep has come on `day`: a tone from 1 to 5."""
        if self.charged_on is None:
            return 1
        length = max((self.strain_on - self.charged_on).days, 1)
        return min(1 + (day - self.charged_on).days * _BANDS // length, _BANDS)


class Days(ScrollView, can_focus=True):
    """Rows of jars; one is chosen. The window of days centres on today until it is moved."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "days--faint",
        "days--sign",
        "days--head",
        "days--today",
        "days--chosen",
        "days--wants",
        "days--due",
        "days--missed",
        "days--strain",
        "days--late",
        *(f"days--band-{tone}" for tone in range(1, _BANDS + 1)),
    }
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "choose(-1)", "Up", show=False),
        Binding("down", "choose(1)", "Down", show=False),
        Binding("pageup", "choose(-10)", "Ten up", show=False),
        Binding("pagedown", "choose(10)", "Ten down", show=False),
        Binding("left", "shift(-7)", "A week back", show=False),
        Binding("right", "shift(7)", "A week on", show=False),
        Binding("home", "choose(-100000)", "First jar", show=False),
        Binding("end", "choose(100000)", "Last jar", show=False),
    ]
    chosen: reactive[int] = reactive(0, repaint=False)

    @dataclass
    class Chosen(Message):
        """Another row was chosen."""

        index: int

    @dataclass
    class Opened(Message):
        """The chosen row was clicked twice."""

        index: int

    def __init__(self, rows: Sequence[DayRow], today: date, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._rows, self._today, self._shift = tuple(rows), today, 0
        self.virtual_size = Size(0, len(rows) + _HEAD)

    def show(self, rows: Sequence[DayRow], today: date) -> None:
        """Show other rows; the chosen jar stays chosen where it is still there."""
        codes = [row.code for row in rows]
        old = self._rows[self.chosen].code if self._rows else None
        self._rows, self._today = tuple(rows), today
        self.virtual_size = Size(0, len(rows) + _HEAD)
        place = codes.index(old) if old in codes else min(self.chosen, max(len(rows) - 1, 0))
        self.set_reactive(Days.chosen, place)
        if self.size.height > _HEAD:
            self._into_sight(place)
        self.refresh()

    def action_choose(self, by: int) -> None:
        """Choose another row."""
        if self._rows:
            self.chosen = max(0, min(len(self._rows) - 1, self.chosen + by))

    def action_shift(self, by: int) -> None:
        """Move the window of days."""
        self._shift += by
        self.refresh()

    def watch_chosen(self, old: int, new: int) -> None:
        """Repaint two lines, not the widget."""
        top = self.scroll_offset.y
        for index in (old, new):
            self.refresh(Region(0, index + _HEAD - top, self.size.width, 1))
        self._into_sight(new)
        self.post_message(self.Chosen(new))

    def _into_sight(self, index: int) -> None:
        top = self.scroll_offset.y
        if index < top:
            self.scroll_to(y=index, animate=False)
        elif index >= top + self.size.height - _HEAD:
            self.scroll_to(y=index - self.size.height + _HEAD + 1, animate=False)

    def on_click(self, event: Click) -> None:
        """Choose the row under the pointer; a double click opens it."""
        index = event.y - _HEAD + self.scroll_offset.y
        if event.y >= _HEAD and index < len(self._rows):
            self.chosen = index
            if event.chain == 2:
                self.post_message(self.Opened(index))

    def render_line(self, y: int) -> Strip:
        """Return one line: two of the calendar, then the rows."""
        width = self.size.width
        name_width = 8 if width < _WIDE else 18 if width < _VAST else 34
        wide = 2 if width < _WIDE else 3
        count = max(width - name_width - _LABEL, 0) // wide
        first = self._today + timedelta(days=self._shift - count // 2)
        days = [first + timedelta(days=n) for n in range(count)]
        index = y - _HEAD + self.scroll_offset.y
        if y == 0:
            segments = self._mondays(days, name_width + _LABEL, wide)
        elif y == 1:
            segments = self._weekdays(days, name_width, wide)
        elif index < len(self._rows):
            base = self.rich_style  # worked out anew each time it is asked for
            segments = self._label(index, name_width, base)
            segments += [self._cell(self._rows[index], day, wide, base) for day in days]
        else:
            segments = []
        return Strip(segments).extend_cell_length(width, self.rich_style).crop(0, width)

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"days--{name}", partial=True)

    def _mondays(self, days: list[date], label: int, wide: int) -> list[Segment]:
        """Return how many jars are out of sight, and the Mondays with their month."""
        line = [" "] * (len(days) * wide)
        for n, day in enumerate(days):
            if day.weekday() == 0 and n * wide + 6 <= len(line):
                line[n * wide : n * wide + 6] = f"{day.day:>2} {day:%b}"
        return [
            Segment(fitted(f" {self._unseen()}", label), self.rich_style),
            Segment("".join(line), self.rich_style + self._style("faint")),
        ]

    def _unseen(self) -> str:
        above = self.scroll_offset.y
        below = len(self._rows) + _HEAD - self.size.height - above
        told = ((above, "above"), (below, "below"))
        return ", ".join(f"{count} {where}" for count, where in told if count > 0)

    def _weekdays(self, days: list[date], name_width: int, wide: int) -> list[Segment]:
        """Return the weekdays; today shows its number, reversed."""
        base = self.rich_style
        head = f" {'jar':9}{'':{name_width}}{'left':>7} "
        segments = [Segment(head, base + self._style("faint"))]
        for day in days:
            if day == self._today:
                segments.append(Segment(f"{day.day:>2}", base + self._style("today")))
                segments.append(Segment(" " * (wide - 2), base))
            else:
                style = base + self._style("head" if day.weekday() == 0 else "faint")
                segments.append(Segment(f" {f'{day:%a}'[0].lower()}".ljust(wide), style))
        return segments

    def _label(self, index: int, name_width: int, plain: Style) -> list[Segment]:
        row, chosen = self._rows[index], index == self.chosen
        base = plain + (self._style("chosen") if chosen else Style())
        note = base + self._style("wants" if row.wants else "faint")
        return [
            Segment("▐" if chosen else " ", base),
            Segment(fitted(row.code, 8) + " ", base + Style(bold=True)),
            Segment(fitted(row.name, name_width) + " ", base),
            Segment(row.left.rjust(6), note),
            Segment(" ", plain),
        ]

    def _cell(self, row: DayRow, day: date, wide: int, base: Style) -> Segment:
        mark = row.marks.get(day)
        if mark is None:
            return Segment(" " * wide, base)
        sign, _ = SIGNS[mark]
        if mark in _PASSED and day <= self._today:
            base += self._style(f"band-{row.band(day)}")
        return Segment(f" {sign}".ljust(wide), base + self._style(_STYLES.get(mark, "sign")))
