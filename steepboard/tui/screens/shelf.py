"""The shelf: what wants a hand now, the steeps over the days, the chosen jar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import Horizontal
from textual.widgets import Static

from steepboard.errors import SteepboardError
from steepboard.tui import words
from steepboard.tui.commands import SHELF, bindings
from steepboard.tui.safe import plain
from steepboard.tui.screens import doing, shelf_text
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.widgets.days import Days

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.events import Resize
    from textual.geometry import Size

    from steepboard.domain.records import Jar
    from steepboard.domain.why import Why
    from steepboard.services.desk import Desk
    from steepboard.services.details import Details
    from steepboard.services.views import ShelfView

_LOW = 30  # lines under which the screen says less


class ShelfScreen(BoardScreen):
    """What one leaves open."""

    PLACE = "Shelf"
    CSS_PATH = None
    COMMANDS_HERE = SHELF
    BINDINGS = bindings(SHELF)
    ABOUT = (
        "Above stands what wants a hand now, the most pressing first. Each jar is a row over the "
        "days: it darkens as it steeps. Arrows up and down choose a jar, left and right move the "
        "days by a week. Below stands the chosen jar."
    )
    SIGNS = (
        ("┃", "the day it was charged; above: a planned jar, to be charged"),
        ("≈", "stirred that day"),
        ("×", "not stirred, though it was a day to stir"),
        ("○", "to be stirred now"),
        ("·", "a stir to come"),
        ("-", "a day of rest, for jars that are not stirred daily"),
        ("▼", "the day to strain, or the day it was strained"),
        ("!", "past the strain day and not strained"),
        ("▽", "get ready: it is to be strained tomorrow"),
        ("◇", "to be tasted"),
        ("▁", "strained and settling; above: settled, to be bottled"),
        ("left", "days until the strain day; below zero when it is late"),
        ("ratio", "grams of botanical to millilitres of spirit; the house ratio is a rule"),
        ("intensity", "grams to each mL bottled, weighed by strength; compares two batches"),
        ("expect", "what will be bottled; in 4 jars of 5 it lies in the range"),
    )

    def __init__(self) -> None:
        super().__init__()
        self._view: ShelfView | None = None
        self._shown: tuple[Size, bool, Desk] | None = None

    def body(self) -> ComposeResult:
        """Yield wants, days, legend and the chosen jar, all filled for the first frame."""
        view, board = self.board.view, self.board
        # What the first resize would set, and have everything styled again for.
        for least, sizes in zip(self.app.size, board.BREAKPOINTS, strict=True):
            self.add_class(max(size for size in sizes if size[0] <= least)[1])
        self._days = Days(shelf_text.day_rows(view, self.desk.zone), view.today, id="days")
        self._texts = {part: Static(id=part) for part in ("wants", "legend", "facts", "mind")}
        self._chosen = Horizontal(self._texts["facts"], self._texts["mind"], id="chosen")
        self.reload()
        yield self._texts["wants"]
        yield self._days
        yield self._texts["legend"]
        yield self._chosen

    def on_resize(self, _event: Resize) -> None:
        """Say as much as there is room for."""
        self.reload()

    def reload(self) -> None:
        """Show the shelf as it is now, unless it shows just that."""
        view, size = self.board.view, self.app.size
        shown = (size, self.board.painted, self.desk)
        if view is self._view and shown == self._shown:
            return
        self._view, self._shown = view, shown
        self._days.show(shelf_text.day_rows(view, self.desk.zone), view.today)
        wants = shelf_text.wants(view, size.width, 4 if size.height < _LOW else 6)
        self._texts["wants"].update(wants if view.rows else shelf_text.empty())
        self._texts["legend"].update(shelf_text.legend(view, size.width))
        for part in (self._days, self._texts["legend"], self._chosen):
            part.display = bool(view.rows)
        self._show_chosen()
        self.refresh_bindings()

    def on_days_chosen(self) -> None:
        """Show another jar below."""
        self._show_chosen()
        self.refresh_bindings()

    def on_days_opened(self) -> None:
        """Open the jar that was clicked twice."""
        self.action_open()

    def chosen_jar(self) -> Jar | None:
        """Return the chosen jar, or None on an empty shelf."""
        rows = self.board.view.rows
        place = self._days.chosen
        return rows[place].jar if place < len(rows) else None

    def answers(self) -> tuple[Why, ...]:
        """Return where each figure of the chosen jar comes from."""
        from steepboard.services import why

        jar = self.chosen_jar()
        return why.of_jar(self.desk, jar) if jar else ()

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool:
        """Offer only what fits the chosen jar."""
        if action == "stir_all":
            return bool(doing.to_stir(self.board))
        jar = self.chosen_jar()
        return doing.may(jar, action) and (action != "open" or jar is not None)

    def action_stir(self) -> None:
        """Write down that the chosen jar was stirred."""
        if jar := self.chosen_jar():
            doing.stir(self.board, (jar.code,))

    def action_stir_all(self) -> None:
        """Write down that all that want it were stirred, after asking."""
        self.board.ask(doing.stir_all(self.board, doing.to_stir(self.board)))

    def action_strain(self) -> None:
        """Strain the chosen jar."""
        if jar := self.chosen_jar():
            doing.strain(self.board, jar.code)

    def action_later(self) -> None:
        """Put off what is due of the chosen jar."""
        if jar := self.chosen_jar():
            self.board.ask(doing.later(self.board, jar))

    def action_away(self) -> None:
        """Keep quiet for some days, or end that."""
        self.board.ask(doing.away(self.board))

    def action_new_jar(self) -> None:
        """Charge a new jar."""
        from steepboard.tui.screens.charge import ChargeScreen

        self.board.push_screen(ChargeScreen())

    def action_undo(self) -> None:
        """Take back what was done last, after asking."""
        self.board.ask(doing.undo(self.board))

    def action_open(self) -> None:
        """Open the chosen jar."""
        if jar := self.chosen_jar():
            self.board.open_jar(jar.code)

    def _show_chosen(self) -> None:
        jar = self.chosen_jar()
        if jar is None:
            return
        low, today, painted = self.app.size.height < _LOW, self.board.view.today, self.board.painted
        details = self._work_out(jar) if painted else None
        silence = self._silence(jar) if painted else ""
        facts = shelf_text.in_short(jar, details, silence, today, self.desk.zone, low=low)
        self._texts["facts"].update(facts)
        if details:
            from steepboard.services.material import cautions_of

            own = {
                found.code
                for line in jar.charge.botanicals
                for found in cautions_of(line, self.desk.library)
            }
            self._texts["mind"].update(shelf_text.to_mind(details, own, full=not low))

    def _silence(self, jar: Jar) -> str:
        """Return until when nothing is said of a jar; nothing where it is spoken of."""
        from steepboard.services.waiting import waiting

        again_at = waiting(self.desk, jar, self.now()).again_at
        return words.silence(jar, again_at, self.board.view.today, self.desk.zone)

    def _work_out(self, jar: Jar) -> Details | None:
        from steepboard.services.details import details

        try:
            return details(self.desk, jar)
        except SteepboardError as fault:
            self._texts["mind"].update(plain(str(fault)))
            return None
