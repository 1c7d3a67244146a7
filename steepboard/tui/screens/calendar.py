"""The month ahead or a week of it, and what the chosen day asks for."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from textual.containers import Container, Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from steepboard.domain.figures import days
from steepboard.services import calendar
from steepboard.services.calendar import DayItem, DayKind
from steepboard.text import visible
from steepboard.tui import words
from steepboard.tui.commands import CALENDAR, bindings
from steepboard.tui.safe import plain
from steepboard.tui.screens import doing
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.widgets.month import AWAY, DayMark, Month

if TYPE_CHECKING:
    from datetime import date

    from textual.app import ComposeResult

    from steepboard.domain.why import Why

KINDS = {
    DayKind.STRAIN: ("▼", "strain"),
    DayKind.START: ("┏", "start the next by this day"),
    DayKind.BOTTLE: ("▁", "bottle"),
    DayKind.GET_READY: ("▽", "get ready: filters, bottles, labels"),
    DayKind.TASTE: ("◇", "taste from this day on"),
    DayKind.CHARGED: ("┃", "charged"),
}
"""Sign and words of what a jar asks of a day."""
LATE = "!"


class CalendarScreen(BoardScreen):
    """A month or a week, and the list of the chosen day."""

    PLACE = "Calendar"
    COMMANDS_HERE = CALENDAR
    BINDINGS = bindings(CALENDAR)
    ABOUT = (
        "Arrows move by days and weeks, PgUp and PgDn by months; w shows the week alone, with "
        "the names of the jars. Tab goes to the list of the chosen day, where the arrows choose "
        "a jar; a strain day is moved from there."
    )
    SIGNS = (
        *KINDS.values(),
        (LATE, "late: to be strained, or the next to be started"),
        ("+2", "two more that day: see the list"),
        (AWAY, "away: nothing is said on these days"),
    )

    def __init__(self) -> None:
        super().__init__()
        self._items: dict[date, list[DayItem]] = {}

    def body(self) -> ComposeResult:
        """Yield the month, its legend, and the list of the day."""
        with Container(id="month-page"):
            yield Month(self.board.view.today, id="month")
            with Vertical(id="chosen-day"):
                yield Static(id="day-title")
                yield OptionList(id="day-list", markup=False)
        shown = [kind for kind in KINDS if kind is not DayKind.CHARGED]
        legend = [(LATE, "late"), *((KINDS[kind][0], kind.value) for kind in shown)]
        legend.append((AWAY, "away"))
        parts = [Content.assemble((sign, "bold"), f" {word}") for sign, word in legend]
        yield Static(Content("  ").join(parts), id="month-legend")

    def reload(self) -> None:
        """Show the days in sight as they are now."""
        month, today = self.query_one(Month), self.board.view.today
        last = month.first + timedelta(weeks=month.weeks)
        items: defaultdict[date, list[DayItem]] = defaultdict(list)
        for item in calendar.between(self.desk, month.first, last, self.now()):
            items[item.day].append(item)
        self._items = dict(items)
        span = self.board.view.away
        marks = {
            day: [_mark(item) for item in found if item.kind is not DayKind.CHARGED]
            for day, found in items.items()
        }
        month.show(marks, today, (span.first, span.last) if span else None)
        self._show_day()

    def on_month_chosen(self) -> None:
        """Show another day, and the other days that come in sight with it."""
        self.reload_or_tell()

    def on_option_list_option_highlighted(self) -> None:
        """Offer what fits the jar."""
        self.refresh_bindings()

    def on_option_list_option_selected(self) -> None:
        """Open the jar."""
        self.action_open()

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool:
        """Offer only what fits the chosen jar and the days in sight."""
        if action in {"week", "whole_month"}:
            alone = self.is_mounted and self.query_one(Month).alone
            return alone == (action == "whole_month")
        item = self._item()
        return doing.may(item.jar if item else None, action) and (action != "open" or bool(item))

    def action_open(self) -> None:
        """Open the chosen jar."""
        if item := self._item():
            self.board.open_jar(item.jar.code)

    def action_move(self) -> None:
        """Move the strain day of the chosen jar."""
        if item := self._item():
            self.board.ask(doing.move(self.board, item.jar))

    def action_week(self) -> None:
        """Show the week of the chosen day alone."""
        self.query_one(Month).alone = True

    def action_whole_month(self) -> None:
        """Show the month again."""
        self.query_one(Month).alone = False

    def action_away(self) -> None:
        """Keep quiet for some days, or end that."""
        self.board.ask(doing.away(self.board))

    def action_ahead(self) -> None:
        """See what to charge and to buy within four weeks."""
        from steepboard.tui.screens.ahead import AheadScreen

        self.board.push_screen(AheadScreen())

    def answers(self) -> tuple[Why, ...]:
        """Return where the start-by dates of the chosen day come from."""
        from steepboard.services import stock, why_bottles

        names = [
            item.jar.name
            for item in self._items.get(self.query_one(Month).chosen, ())
            if item.kind is DayKind.START
        ]
        return tuple(
            replace(answer, figure=f"{answer.figure}, {name}")
            for name in dict.fromkeys(names)
            for answer in why_bottles.start_next(stock.one(self.desk, name, self.now()))
        )

    def action_today(self) -> None:
        """Go to today."""
        month, today = self.query_one(Month), self.board.view.today
        if month.chosen == today:
            self.board.tell("Today is chosen already.")
        month.chosen = today

    def _item(self) -> DayItem | None:
        if not self.is_mounted:
            return None
        found = self._items.get(self.query_one(Month).chosen, [])
        place = self.query_one(OptionList).highlighted
        return found[place] if place is not None and place < len(found) else None

    def _show_day(self) -> None:
        day, today = self.query_one(Month).chosen, self.board.view.today
        found = self._items.get(day, [])
        title = Content.assemble((words.day(day), "bold"), f" · {_off(day, today)}")
        span = self.board.view.away
        if span and span.first <= day <= span.last:
            title += Content(f" · {AWAY} away")
        self.query_one("#day-title", Static).update(
            title if found else title + Content(": nothing is asked for")
        )
        day_list = self.query_one(OptionList)
        place = day_list.highlighted
        day_list.clear_options()
        day_list.add_options([Option(_line(item)) for item in found])
        day_list.highlighted = min(place or 0, len(found) - 1) if found else None
        self.refresh_bindings()


def _mark(item: DayItem) -> DayMark:
    code, name = visible(item.jar.code), visible(item.jar.name)
    asks = item.kind.value.removesuffix(" from")  # a day of the week has no room for it
    return DayMark(_sign(item), code, item.kind is DayKind.STRAIN, name, asks)


def _line(item: DayItem) -> Content:
    what = KINDS[item.kind][1]
    if item.late_days:
        next_one = " the next" if item.kind is DayKind.START else ""
        what = f"{item.kind.value}{next_one}, {days(item.late_days)} late"
    code = (item.jar.code.ljust(9), "bold")
    return Content.assemble(f"{_sign(item)} ", code, plain(f"{item.jar.name}  "), (what, "$faint"))


def _sign(item: DayItem) -> str:
    return LATE if item.late_days else KINDS[item.kind][0]


def _off(day: date, today: date) -> str:
    ahead = (day - today).days
    return f"{days(-ahead)} ago" if ahead < 0 else words.until(day, today)
