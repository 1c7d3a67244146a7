"""Four weeks on: what to charge, what that takes, and the room it wants, as a page to scroll."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from steepboard.domain.figures import amount, days
from steepboard.services.ahead import WEEKS, ahead
from steepboard.text import visible
from steepboard.tui import words
from steepboard.tui.commands import bindings
from steepboard.tui.flow_commands import AHEAD
from steepboard.tui.safe import plain
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.telling import headed, parts

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from steepboard.services.ahead import Ahead, Begin, Buy

_EMPTY = f"Nothing has to be started within {WEEKS} weeks."


class AheadScreen(BoardScreen):
    """One scrolling page, worked out anew when the record changed."""

    PLACE = "Four weeks on"
    COMMANDS_HERE = AHEAD
    BINDINGS = bindings(AHEAD)
    ABOUT = (
        "What to charge by which day so that no kind runs out, each like the last jar of its "
        "name; what all of these take together; how many jars steep at one time, and what they "
        "fill. Days are counted back from what goes in a week, which Bottles tells of each kind."
    )

    def body(self) -> ComposeResult:
        """Yield the page."""
        with VerticalScroll(classes="outcome"):
            yield Static(id="ahead")

    def reload(self) -> None:
        """Show what is ahead as it is now."""
        found = ahead(self.desk, self.now())
        self.query_one("#ahead", Static).update(_told(found))


def _told(found: Ahead) -> Content:
    if not found.begins:
        return plain(_EMPTY)
    alone = found.jars_most == 1
    jars = "1 jar steeps" if alone else f"{found.jars_most} jars steep"
    room = (
        f"At most {jars} at one time, today {found.jars_now}. "
        f"{'It fills' if alone else 'They fill'} {found.room_most_ml / 1e3:.1f} L at most."
    )
    return parts(
        headed("Charge", Content("\n").join([_begin(one) for one in found.begins])),
        headed("It takes", Content("\n").join([_buy(one) for one in found.buys])),
        headed("Jars and room", plain(room)),
    )


def _begin(one: Begin) -> Content:
    when, late = f"by {words.day(one.day)}", ""
    if one.late_days:
        when, late = "now", f", it was due {days(one.late_days)} ago"
    fills = f"fills {one.fill_ml:.0f} mL, brings {one.brings_ml:.0f} mL"
    return Content.assemble(
        (when, "bold"),
        (late, "$warning"),
        plain(f"  {one.like.name}, like {one.like.code}"),
        f"\n  {words.charge(one.like.charge)}\n",
        (f"  {fills} on {words.day(one.ready_on)}", "$faint"),
    )


def _buy(one: Buy) -> Content:
    unit = "g" if one.strength is None else "mL"
    what = one.name if one.strength is None else f"{one.name} {words.percent(one.strength)}"
    return Content.assemble(
        (f"{amount(one.amount):>6} {unit}".ljust(11), "bold"),
        visible(what),
        (f"  by {words.day(one.by)}", "$faint"),
    )
