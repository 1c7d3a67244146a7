"""Bottles: what stands on the shelf, how full, how strong, and what is done with it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from textual.containers import Container, VerticalScroll
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from steepboard.domain.bottles import Purpose
from steepboard.services import bottle_shelf, costs, doses, stock
from steepboard.tui.flow_commands import BOTTLES, answering
from steepboard.tui.safe import plain
from steepboard.tui.screens import bottle_acts, bottle_prints, bottles_text, doing, house_acts
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.telling import parts

if TYPE_CHECKING:
    from collections.abc import Callable, Coroutine
    from typing import Any

    from textual.app import ComposeResult
    from textual.events import Resize

    from steepboard.domain.bottles import Bottle
    from steepboard.domain.why import Why
    from steepboard.services.bottle_shelf import Inside
    from steepboard.services.doses import DoseFor
    from steepboard.services.stock import Stock
    from steepboard.tui.app import SteepBoard

_EDGES = 4  # cells beside a line of the list


class BottlesScreen(BoardScreen):
    """The list, and below it the chosen bottle with its diary."""

    PLACE = "Bottles"
    COMMANDS_HERE = BOTTLES
    BINDINGS = answering(BOTTLES)
    ABOUT = (
        "Each line is a bottle, lying down: how far it is drawn full is how full it is. What it "
        "holds follows from its diary, which stands below with all that is known of it. The keys "
        "1 to 4 write down what was drawn for what; d draws the same once more. Weigh a bottle "
        "now and then: a count begins anew from what the scale says. u takes back what was done "
        "to this bottle, U what was done last of all: also a dose, a dropper, a price, a list. "
        "A kind that has run out has no line until v shows the ended bottles too."
    )
    SIGNS = (
        ("▆·" + bottles_text.NECK, "a bottle on its side, how full it is"),
        ("±", "in two of three cases the true figure lies within it"),
        ("vol", "strength, alcohol by volume"),
        ("lasts", "days or weeks, 8 times in 10, that all that stands of it will last; – unknown"),
        ("start next", "the day by which a jar must be charged so as to be ready in time"),
        ("drops", "by your own dropper, once it is calibrated, else by published figures"),
        (bottles_text.ALLERGEN, "holds an allergen; below stands which"),
        (bottles_text.HOT, "hot on the tongue: keep it apart, and label it"),
        (bottles_text.MIND, "take care; below stands of what"),
        ("intensity", "grams to each mL bottled, weighed by strength; compares two batches"),
    )

    def __init__(self) -> None:
        super().__init__()
        self._found: tuple[Bottle, ...] = ()
        self._insides: dict[tuple[tuple[int, float], ...], Inside] = {}
        self._kinds: dict[str, Stock] = {}
        self._version = -1
        self._ended = False

    def body(self) -> ComposeResult:
        """Yield the list under its columns, what its signs mean, and the chosen bottle."""
        yield Static(id="rack-head")
        yield OptionList(id="rack", compact=True)
        yield Static(plain(bottles_text.LEGEND), id="rack-legend")
        with VerticalScroll(id="bottle", can_focus=False), Container(id="bottle-parts"):
            yield Static(id="bottle-facts")
            yield Static(id="bottle-diary")

    def on_mount(self) -> None:
        """Begin where the keys are."""
        self._rack.focus()

    def on_resize(self, _event: Resize) -> None:
        """Give each line the room there is."""
        if self.is_mounted:
            self.reload_or_tell()

    def reload(self) -> None:
        """List what stands, as the record has it now; the chosen one stays chosen."""
        chosen, at = self.chosen(), self._rack.highlighted or 0
        version = self.desk.version()
        if version != self._version:
            self._version, self._insides = version, {}
        self._found = bottle_shelf.bottles(self.desk, ended=self._ended)
        self._kinds = {kind.name.casefold(): kind for kind in stock.stock(self.desk, self.now())}
        width = self.app.size.width - _EDGES
        self._rack.clear_options()
        self._rack.add_options(
            Option(
                bottles_text.row(one, self._inside(one), bottles_text.lasts(self._kind(one)), width)
            )
            for one in self._found
        )
        codes = [one.code for one in self._found]
        if chosen and chosen.code in codes:
            at = codes.index(chosen.code)
        if codes:
            self._rack.highlighted = min(at, len(codes) - 1)
        self.query_one("#rack-head", Static).update(
            bottles_text.head(width) if codes else parts(*map(plain, bottles_text.EMPTY))
        )
        for part in ("#rack", "#rack-legend", "#bottle"):
            self.query_one(part).display = bool(codes)
        self._show_chosen()

    def on_option_list_option_highlighted(self) -> None:
        """Show the chosen one."""
        self._show_chosen()

    def on_option_list_option_selected(self) -> None:
        """Open the jar: Enter, or a click."""
        self.action_open()

    def answers(self) -> tuple[Why, ...]:
        """Return where the figures of the chosen bottle come from."""
        from steepboard.services import why_bottles, why_doses

        one = self.chosen()
        if one is None:
            return ()
        of_bottle = why_bottles.of_bottle(self.desk, one, self._inside(one), self._kind(one))
        poured = (why_doses.of_dose(made) for made in self._doses(one))
        return (*of_bottle, *(answer for answers in poured for answer in answers))

    def chosen(self) -> Bottle | None:
        """Return the chosen bottle, or None where there is none."""
        at = self._rack.highlighted
        return self._found[at] if at is not None and at < len(self._found) else None

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool:
        """Offer only what fits the chosen bottle."""
        return bottle_acts.may(self.chosen(), action)

    def action_draw(self, purpose: str) -> None:
        """Write down what was drawn for something."""
        self._ask(partial(bottle_acts.draw, purpose=Purpose(purpose)))

    def action_again(self) -> None:
        """Draw the same once more."""
        self._ask(bottle_acts.again)

    def action_count(self) -> None:
        """Weigh it."""
        self._ask(bottle_acts.count)

    def action_correct(self) -> None:
        """Say anew what it holds."""
        self._ask(bottle_acts.correct)

    def action_top_up(self) -> None:
        """Pour something in."""
        self._ask(bottle_acts.top_up)

    def action_combine(self) -> None:
        """Pour it together with others."""
        self._ask(partial(bottle_acts.combine, made=self._choose))

    def action_end(self) -> None:
        """Take it off the shelf."""
        self._ask(bottle_acts.end)

    def action_dose(self) -> None:
        """Keep a house dose as it is right with it."""
        self._ask(bottle_acts.keep_dose)

    def action_least(self) -> None:
        """Say how much of it is always to stand."""
        self._ask(bottle_acts.least)

    def action_calibrate(self) -> None:
        """Calibrate a dropper with what is in it."""
        self._ask(house_acts.calibrate)

    def action_price(self) -> None:
        """Say what something costs that it was made of, or anything else."""
        self.board.ask(house_acts.price(self.board, self.chosen()))

    def action_sell(self) -> None:
        """Draw by a list of drinks sold."""
        self.board.ask(house_acts.sell(self.board))

    def action_label(self) -> None:
        """Print its label."""
        self._ask(bottle_prints.label)

    def action_record(self) -> None:
        """Print the record of its batch."""
        self._ask(bottle_prints.record)

    def action_fill(self) -> None:
        """Fill bottles from a jar."""
        self.board.ask(bottle_acts.fill(self.board, made=self._choose))

    def action_undo(self) -> None:
        """Take back what was done last to it."""
        if one := self.chosen():
            self.board.ask(doing.undo(self.board, one.code))

    def action_undo_any(self) -> None:
        """Take back what was done last of all."""
        self.board.ask(doing.undo(self.board))

    def action_open(self) -> None:
        """Open the jar that most of it came from."""
        one = self.chosen()
        if one and (jars := self._inside(one).jars):
            self.board.open_jar(jars[0][0].code)

    def action_ended(self) -> None:
        """Show also what is used up, broken or gone, or no longer."""
        self._ended = not self._ended
        self.reload_or_tell()

    def action_read(self, by: int) -> None:
        """Scroll the chosen one."""
        page = self.query_one("#bottle", VerticalScroll)
        page.scroll_page_down() if by > 0 else page.scroll_page_up()

    @property
    def _rack(self) -> OptionList:
        return self.query_one("#rack", OptionList)

    def _choose(self, code: str) -> None:
        """Go to a bottle of the list, for its label comes next."""
        self._rack.highlighted = [one.code for one in self._found].index(code)

    def _ask(self, talk: Callable[[SteepBoard, Bottle], Coroutine[Any, Any, None]]) -> None:
        if one := self.chosen():
            self.board.ask(talk(self.board, one))

    def _inside(self, one: Bottle) -> Inside:
        shares = one.liquid.shares
        if shares not in self._insides:
            self._insides[shares] = bottle_shelf.inside(self.desk, one)
        return self._insides[shares]

    def _kind(self, one: Bottle) -> Stock | None:
        return self._kinds.get(one.tag.name.casefold())

    def _doses(self, one: Bottle) -> tuple[DoseFor, ...]:
        return doses.for_bottle(self.desk, one.code) if one.liquid.intensity else ()

    def _show_chosen(self) -> None:
        self.refresh_bindings()
        one = self.chosen()
        if one is None:
            return
        inside, kind, today = self._inside(one), self._kind(one), self.desk.day(self.now())
        cost, made = costs.cost_of_bottle(self.desk, one), self._doses(one)
        told = bottles_text.facts(self.desk, one, inside, kind, made, cost, today)
        self.query_one("#bottle-facts", Static).update(told)
        entries = bottle_shelf.diary(self.desk, one)
        self.query_one("#bottle-diary", Static).update(bottles_text.diary(entries, self.desk.zone))
