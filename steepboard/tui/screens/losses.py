"""Losses: what past strainings kept back, put together by what they have in common."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import work
from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.geometry import Region
from textual.message import Message
from textual.widgets import DataTable, Static

from steepboard.domain.figures import percent
from steepboard.errors import SteepboardError
from steepboard.services import losses
from steepboard.services.advice import in_money, what_to_change
from steepboard.services.dry_lessons import dry_lessons
from steepboard.services.lessons import lessons
from steepboard.services.losses import By, Group
from steepboard.tui.commands import bindings
from steepboard.tui.flow_commands import LOSSES
from steepboard.tui.safe import cell, fitted, plain
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.screens.learned import LearnedScreen
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.loss_chart import PARTS, Bar, LossChart, legend

if TYPE_CHECKING:
    from datetime import datetime

    from rich.text import Text

    from steepboard.domain.why import Why
    from steepboard.services.desk import Desk
    from steepboard.services.dry_lessons import DrySeen
    from steepboard.services.lessons import GroupSeen

_COLUMNS = {
    "jars": 5, "poured": 7, "bottled": 8, "expected": 9, "yield": 7, "marc": 6, "filter": 7,
    "unacc.": 7, "mL/g": 5,
}  # fmt: skip
"""The columns of figures and their cells."""
_ROOMY = ("expected",)
"""Columns for wide screens only; the sum of them all stands above the table."""
_WIDE = 100  # cells
_NAME = (16, 32)  # cells, least and most
_EDGES = 6  # cells beside the table
_MOST = 500  # rows a table fills at once without a wait
_EMPTY = (
    "Nothing was bottled here yet. Strain a jar step by step, measure what you bottle, and weigh "
    "the marc: then this page tells where the rest goes and what to change."
)
_WORKING = "Working through the strainings …"


@dataclass
class Found(Message):
    """All strainings were worked through, for every way of putting them together."""

    groups: dict[By, tuple[Group, ...]]
    lessons: tuple[GroupSeen, ...]
    dried: tuple[DrySeen, ...]
    money: Why | None
    """What marc held of it, where there are prices."""


@dataclass
class Failed(Message):
    """They could not be read."""

    why: str


class LossesScreen(BoardScreen):
    """A table, its chart, and what to change."""

    PLACE = "Losses"
    COMMANDS_HERE = LOSSES
    BINDINGS = bindings(LOSSES)
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (170, "-broad")]  # noqa: RUF012
    ABOUT = (
        "Each line puts strainings together. Yield is what was bottled of what was poured; marc, "
        "filter and unaccounted are shares of the liquid that was in the jar. Expected is what "
        "had been worked out beforehand, with a range that should hold eight times in ten; what a "
        "rinse brought is added to it. "
        "A bar's bottled part holds tastings and mud as well."
    )
    SIGNS = (
        *((sign, f"{part.capitalize()}, in a bar.") for sign, part in PARTS),
        ("jars", "How many were strained."),
        ("poured", "mL of spirit in all, rinses too; bottled and expected in mL as well."),
        ("mL/g", "What a dry gram of marc holds, where it was weighed."),
        ("unacc.", "Unaccounted: evaporated, spilt or misread. Below zero, more came out."),
        ("–", "Not measured."),
    )

    def __init__(self) -> None:
        super().__init__()
        self._groups: dict[By, tuple[Group, ...]] | None = None
        self._lessons: tuple[GroupSeen, ...] = ()
        self._dried: tuple[DrySeen, ...] = ()
        self._money: Why | None = None

    def body(self) -> ComposeResult:
        """Yield what to put together by, the sentences, the table and the chart."""
        yield Choice("Together by", [(by.value, by.value) for by in By], id="by")
        yield Static(plain(_WORKING), id="advice")
        with Container(classes="losses"):
            yield DataTable(cursor_type="row", cell_padding=0, id="groups")
            with VerticalScroll(id="bars", can_focus=False):
                yield Static(legend(), id="legend")
                yield LossChart(id="chart")

    def on_mount(self) -> None:
        """Begin where the keys are."""
        self.query_one(DataTable).focus()

    def on_resize(self) -> None:
        """Give the names the room there is."""
        self._show()

    def reload(self) -> None:
        """Work through the strainings again if the record changed."""
        self._read(self.desk, self.now())

    def answers(self) -> tuple[Why, ...]:
        """Return where the figures of the chosen line come from, and those of all lines."""
        from steepboard.services import why_losses

        by = By(self.query_one(Choice).value)
        groups = self._groups[by] if self._groups else ()
        if not groups:
            return ()
        chosen = groups[self.query_one(DataTable).cursor_row]
        money = (self._money,) if self._money else ()
        return (*why_losses.of_line(self.desk, chosen, by), *why_losses.of_all(groups), *money)

    def on_choice_changed(self) -> None:
        """Put them together by something else."""
        self._show()

    def on_data_table_row_highlighted(self, event: DataTable.RowHighlighted) -> None:
        """Keep the bar of the chosen line in sight."""
        chart = self.query_one(LossChart)
        chart.scroll_to_region(Region(0, event.cursor_row, 1, 1), animate=False)

    def action_turn(self, by: int) -> None:
        """Choose the next thing to put together by."""
        self.query_one(Choice).action_turn(by)

    def action_learned(self) -> None:
        """Show what the strainings taught."""
        self.app.push_screen(LearnedScreen(self._lessons, self._dried))

    @work(thread=True, exclusive=True, exit_on_error=False)
    def _read(self, desk: Desk, now: datetime) -> None:
        from steepboard.services import why_losses

        try:
            with desk.opened_again() as own:
                found = tuple(losses.strained(own))
                groups = {by: losses.grouped(found, by, own) for by in By}
                taught, dried = lessons(own, found), dry_lessons(own)
                money = why_losses.of_money(own, found, now)
        except SteepboardError as fault:
            self.post_message(Failed(str(fault)))
        else:
            self.post_message(Found(groups, taught, dried, money))

    def on_found(self, event: Found) -> None:
        """Show what was found."""
        self._groups, self._money = event.groups, event.money
        self._lessons, self._dried = event.lessons, event.dried
        self._show()

    def on_failed(self, event: Failed) -> None:
        """Say why nothing is shown."""
        self.query_one("#advice", Static).update(plain(f"! {event.why}"))

    def _show(self) -> None:
        if self._groups is None:
            return
        groups = self._groups[By(self.query_one(Choice).value)]
        self.query_one(".losses").display = bool(groups)
        self.query_one("#advice", Static).update(_told(groups, self._money))
        table = self.query_one(DataTable)
        wide = self.size.width >= _WIDE
        columns = {name: width for name, width in _COLUMNS.items() if wide or name not in _ROOMY}
        room = self.size.width - sum(columns.values()) - _EDGES
        name_width = min(max(_NAME[0], room), _NAME[1])
        table.clear(columns=True)
        table.add_column("", width=name_width)
        for name, width in columns.items():
            table.add_column(cell(f"{name:>{width}}"), width=width)
        table.add_rows([_row(group, name_width, columns) for group in groups[:_MOST]])
        self.query_one(LossChart).show([_bar(group) for group in groups])


def _told(groups: tuple[Group, ...], money: Why | None) -> Content:
    if not groups:
        return plain(_EMPTY)
    count, held = sum(g.count for g in groups), sum(g.as_expected for g in groups)
    found = sum(g.recovered_ml for g in groups) / 1000
    expected = sum(g.expected_ml for g in groups) / 1000
    summed = (
        f"Bottled {found:.2f} L, expected {expected:.2f} L; {held} of {count} fell within the "
        "range, which 8 in 10 should."
    )
    lines = [*what_to_change(groups), summed, *([in_money(money.value)] if money else [])]
    return Content("\n").join([plain(line) for line in lines])


def _row(group: Group, name_width: int, columns: dict[str, int]) -> list[Text]:
    held = group.held_per_dry_g_ml
    figures = {
        "jars": f"{group.count}",
        "poured": f"{group.poured_ml:.0f}",
        "bottled": f"{group.recovered_ml:.0f}",
        "expected": f"{group.expected_ml:.0f}",
        "yield": _share(group.yield_fraction),
        "marc": _share(group.marc_share),
        "filter": _share(group.filter_share),
        "unacc.": _share(group.unaccounted_share),
        "mL/g": "–" if held is None else f"{held:.2f}",
    }
    cells = [cell(f"{figures[name]:>{width}}") for name, width in columns.items()]
    return [cell(fitted(group.name, name_width)), *cells]


def _share(part: float) -> str:
    return percent(part).replace(" ", "")


def _bar(group: Group) -> Bar:
    lost = (group.marc_share, group.filter_share, group.unaccounted_share)
    return Bar(group.name, (1 - sum(lost), *lost))
