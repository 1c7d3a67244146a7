"""Everything of one jar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import Container, Vertical, VerticalScroll
from textual.widgets import Static

from steepboard.domain.records import State
from steepboard.services import views
from steepboard.services.details import details as work_out
from steepboard.tui import words
from steepboard.tui.commands import JAR, bindings
from steepboard.tui.safe import plain, say
from steepboard.tui.screens import doing, jar_text
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.telling import SIGNS
from steepboard.tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.content import Content

    from steepboard.domain.records import Jar
    from steepboard.domain.why import Why

_PARTS = {
    "charged": "In the jar",
    "worked": "What follows from it",
    "reminds": "How it reminds",
    "balance": "Where the liquor went",
    "bottled": "In bottles",
    "tasted": "Tasted",
    "diary": "Diary",
    "cautions": "Mind",
    "sources": "Where these figures come from",
}
"""Id and title of each part of the page."""
_COLUMNS = (
    ("charged", "worked", "reminds", "balance", "bottled", "tasted"),
    ("diary", "cautions", "sources"),
)


class JarScreen(BoardScreen):
    """One jar: its charge, what to expect, its balance, its diary."""

    PLACE = "Jar"
    COMMANDS_HERE = JAR
    BINDINGS = bindings(JAR)
    ABOUT = (
        "All that is known of one jar. Arrows and PgUp, PgDn move the page. What was taken back "
        "stays in the diary, struck out. Figures with ± come from what was measured; those that "
        "are only estimated say so."
    )
    SIGNS = (
        *SIGNS,
        ("marc", "the spent solids"),
        ("unaccounted", "evaporated, spilt or misread"),
        ("intensity", "grams to each mL bottled, weighed by strength; compares two batches"),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self.code = code
        self._jar: Jar | None = None

    def body(self) -> ComposeResult:
        """Yield the title and one scrolling page in two columns, or one below the other."""
        yield Static(id="jar-title")
        with VerticalScroll(id="page"), Container(id="columns"):
            for parts in _COLUMNS:
                with Vertical(classes="column"):
                    for part in parts:
                        yield Static(id=part, classes="part")

    def reload(self) -> None:
        """Show the jar as it is now."""
        jar = self._jar = views.jar(self.desk, self.code)
        zone, today = self.desk.zone, self.board.view.today
        details, entries = work_out(self.desk, jar), views.diary(self.desk, jar)
        title = say("[b $primary]$code[/]  [b]$name[/]", code=jar.code, name=jar.name)
        standing = plain(words.standing(jar, today, zone))
        self.query_one("#jar-title", Static).update(title + plain("   ") + standing)
        self._tell("charged", jar_text.charged(jar, zone))
        self._tell("worked", jar_text.worked_out(details))
        self._tell("reminds", self._reminds(jar))
        self._tell("balance", self._balance(jar))
        self._tell("bottled", self._bottled(jar))
        self._tell("tasted", jar_text.tasted(entries, zone))
        self._tell("diary", jar_text.diary(entries, zone))
        self._tell("cautions", jar_text.cautions(details))
        self._tell("sources", jar_text.sources(details))
        self.refresh_bindings()

    def answers(self) -> tuple[Why, ...]:
        """Return where each figure of the jar comes from."""
        from steepboard.services import why

        return why.of_jar(self.desk, self._jar) if self._jar else ()

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool:
        """Offer only what fits the jar."""
        return doing.may(self._jar, action)

    def action_stir(self) -> None:
        """Write down that it was stirred."""
        doing.stir(self.board, (self.code,))

    def action_later(self) -> None:
        """Put off what is due of it."""
        if self._jar:
            self.board.ask(doing.later(self.board, self._jar))

    def action_remind(self) -> None:
        """Say how it wants to be reminded of."""
        if self._jar:
            self.board.ask(doing.remind(self.board, self._jar))

    def action_strain(self) -> None:
        """Strain it, or go back to its straining."""
        doing.strain(self.board, self.code)

    def action_charge(self) -> None:
        """Charge it as planned."""
        from steepboard.tui.screens.charge import ChargeScreen

        self.board.push_screen(ChargeScreen(self.code))

    def action_fill(self) -> None:
        """Fill bottles from it."""
        from steepboard.tui.screens import bottle_acts

        self.board.ask(bottle_acts.fill(self.board, self.code))

    def action_labels(self) -> None:
        """Print labels for the bottles that stand of it."""
        from steepboard.tui.screens import bottle_prints

        self.board.ask(bottle_prints.labels_of(self.board, self.code))

    def action_tape(self) -> None:
        """Print its tape."""
        from steepboard.tui.screens import bottle_prints

        self.board.ask(bottle_prints.tape_of(self.board, self.code))

    def action_record(self) -> None:
        """Print its batch record."""
        from steepboard.tui.screens import bottle_prints

        self.board.ask(bottle_prints.record_of(self.board, [self.code]))

    def action_again(self) -> None:
        """Plan it again."""
        from steepboard.tui.screens.plan import PlanScreen

        self.board.push_screen(PlanScreen(self.code))

    def action_taste(self) -> None:
        """Keep a tasting note."""
        if self._jar:
            self.board.ask(doing.taste(self.board, self._jar))

    def action_move(self) -> None:
        """Move its strain day."""
        if self._jar:
            self.board.ask(doing.move(self.board, self._jar))

    def action_discard(self) -> None:
        """Throw its content away."""
        if self._jar:
            self.board.ask(doing.discard(self.board, self._jar))

    def action_undo(self) -> None:
        """Take back what was done to it last."""
        self.board.ask(doing.undo(self.board, self.code))

    def _reminds(self, jar: Jar) -> Content | None:
        if not doing.may(jar, "remind"):
            return None
        from steepboard.services.rhythms import rhythm_of
        from steepboard.services.waiting import waiting

        standing = waiting(self.desk, jar, self.now())
        rhythm, today = rhythm_of(self.desk, jar), self.board.view.today
        return jar_text.reminds(jar, rhythm, standing, today, self.desk.zone)

    def _balance(self, jar: Jar) -> Content | None:
        if jar.state not in (State.SETTLING, State.BOTTLED):
            return None
        from steepboard.services import straining

        found = straining.balance(self.desk, jar)
        return jar_text.balance(found) if found else None

    def _bottled(self, jar: Jar) -> Content | None:
        if not doing.may(jar, "fill"):
            return None
        from steepboard.services import bottle_shelf
        from steepboard.tui.screens.bottles_text import of_jar

        rest = bottle_shelf.rest(self.desk, jar)
        return of_jar(jar.code, bottle_shelf.of_jar(self.desk, jar), rest)

    def _tell(self, part: str, text: Content | None) -> None:
        place = self.query_one(f"#{part}", Static)
        place.display = bool(text)
        if text:
            place.update(Hanging(say("[b $primary]$title[/]\n", title=_PARTS[part]) + text))
