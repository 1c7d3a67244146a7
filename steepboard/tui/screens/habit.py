"""How one jar wants to be reminded: one line for each of its ways, empty for those of the house."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.screen import ModalScreen
from textual.widgets import Static

from steepboard.domain.figures import every
from steepboard.domain.records import Habit, State
from steepboard.domain.spans import LONGEST_DAYS, MOST_DAYS_BETWEEN
from steepboard.errors import BadAmount
from steepboard.text import clean
from steepboard.tui import answers, words
from steepboard.tui.safe import plain
from steepboard.tui.screens.base import PAGES
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.day_reader import day_reader
from steepboard.tui.widgets.form import Form, once

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.app import ComposeResult

    from steepboard.domain.records import Jar
    from steepboard.domain.schedule import Rhythm

_HOUSE = "as the house does"


class AskHabit(ModalScreen[Habit | None]):
    """The jar's own ways; None when it was left by Esc."""

    CSS_PATH = PAGES
    BINDINGS = [  # noqa: RUF012
        Binding("ctrl+s", "keep", "Keep", priority=True),
        ("escape", "dismiss(None)", "Leave"),
    ]

    def __init__(self, jar: Jar, house: Rhythm, today: date, charged_on: date | None) -> None:
        """Take the jar, how it would be reminded of without ways of its own, and local days."""
        super().__init__()
        self._jar, self._house, self._today, self._charged_on = jar, house, today, charged_on

    def compose(self) -> ComposeResult:
        """Put one line below the other, each with what holds while it is empty."""
        about = "Leave a line empty for what stands beside it."
        with Form(classes="question") as box:
            box.border_title = plain(f"Remind of {self._jar.code}")
            box.border_subtitle = "Enter goes on   Ctrl+S keeps   Esc leaves"
            yield Static(about, classes="question-about")
            yield from self._lines()

    @once
    def on_form_finished(self) -> None:
        """Keep it: the last line was answered."""
        self._keep()

    def action_keep(self) -> None:
        """Keep it, once the fields have taken in what was typed before."""
        self.call_later(self.call_later, self._keep)

    def _keep(self) -> None:
        lines = list(self.query(AmountInput))
        for line in lines:
            if line.refusal:
                line.take_focus()
                return
        given = {line.id or "": line.value for line in lines if line.value is not None}
        self.dismiss(Habit(**given))

    def _lines(self) -> Iterator[AmountInput[Any]]:
        house, own = self._house, self._jar.habit
        often, at = (answers.days_up_to(MOST_DAYS_BETWEEN), every), (answers.clock, _hour)
        late = (answers.days_up_to(LONGEST_DAYS), self._first_tasting)
        last = "Bottle at" if self._jar.state is State.SETTLING else "Strain at"
        tasting = "by its botanical" if self._jar.charge.taste_from_day else _HOUSE
        for name, label, (read, echo), hint, typed in (
            (
                "stir_every_days", "Stir every", often,
                f"{every(house.stir_every_days)}, as it was charged", own.stir_every_days,
            ),
            ("stir_at", "Stir at", at, f"{_hour(house.stir_at)}, {_HOUSE}", own.stir_at),
            (
                "taste_from_day", "First tasting", late,
                f"{self._first_tasting(house.taste_from_day)}, {tasting}", own.taste_from_day,
            ),
            (
                "taste_every_days", "Taste every", often,
                f"{every(house.taste_every_days)}, {_HOUSE}", own.taste_every_days,
            ),
            ("taste_at", "Taste at", at, f"{_hour(house.taste_at)}, {_HOUSE}", own.taste_at),
            ("strain_at", last, at, f"{_hour(house.strain_at)}, {_HOUSE}", own.strain_at),
            (
                "muted_until", "Quiet until", (self._quiet_day, self._day),
                "not quiet", own.muted_until,
            ),
        ):  # fmt: skip
            yield AmountInput(label, read, echo, hint=hint, typed=_as_typed(typed), id=name)

    def _first_tasting(self, count: int) -> str:
        if self._charged_on is None:
            return f"day {count}"
        return f"day {count}, {words.day(self._charged_on + timedelta(days=count))}"

    def _quiet_day(self, text: str) -> date:
        on = day_reader(self._today)(text)
        if not 1 <= (on - self._today).days <= LONGEST_DAYS:
            told = f"{clean(text, 40)} is not within {LONGEST_DAYS} days from tomorrow on."
            raise BadAmount(text, told, "fri, 18 Mar or +3")
        return on

    def _day(self, on: date) -> str:
        return f"→ {words.day(on)}, {words.until(on, self._today)}"


def _hour(at: time) -> str:
    return f"{at:%H:%M}"


def _as_typed(value: int | time | date | None) -> str:
    return _hour(value) if isinstance(value, time) else str(value or "")
