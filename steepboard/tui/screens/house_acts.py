"""What the house says of its droppers, prices and drinks sold, each asked for over Bottles."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from steepboard import amounts
from steepboard.domain.costs import Ware, price_on
from steepboard.domain.dosing import MOST_DROPS, Tool
from steepboard.domain.figures import percent
from steepboard.domain.readings import Measured
from steepboard.errors import BadAmount, BadList, DrawnBefore
from steepboard.numerals import quoted
from steepboard.services import bottle_shelf, costs, droppers, money, sold, undoing, wares
from steepboard.services.undo_words import what
from steepboard.text import clean
from steepboard.tui import words
from steepboard.tui.answers import whole_up_to
from steepboard.tui.answers import words as read_words
from steepboard.tui.screens.ask import Confirm
from steepboard.tui.screens.ask_form import AskForm, Line, Pick, kept_before

if TYPE_CHECKING:
    from steepboard.amounts import Amount
    from steepboard.domain.bottles import Bottle
    from steepboard.domain.costs import Price
    from steepboard.domain.dosing import Dropper
    from steepboard.services.sold import Sold
    from steepboard.tui.app import SteepBoard
    from steepboard.tui.screens.ask_form import Given

_TOLD = 200  # bad rows that are shown; assumed, nobody mends more by looking at them
_List = tuple[str, bytes, bool]
"""Name and content of a list of drinks, and whether drinks without a dose are left out."""


async def calibrate(board: SteepBoard, one: Bottle) -> None:
    """Ask how many drops of a bottle came to how much, by counting or by weighing."""
    kept = [each.name for each in droppers.droppers(board.desk)]
    lines = (
        Pick("tool", "It is", [(Tool.DROP.value, "a dropper"), (Tool.DASH.value, "a dasher")]),
        Line("name", "Its name", read_words, kept_before(kept), hint="say blue bulb",
             needed="A name is needed.", suggestions=kept),
        Line("number", "Drops", whole_up_to(MOST_DROPS), hint="how many; or dashes",
             needed="Say how many drops, like 50."),
        Line("amount", "They came to", _volume_or_mass, lambda read: str(read.echo),
             hint="say 1.0 mL or 1.06 g",
             needed="Say what they came to, like 1.0 mL or 1.06 g."),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> Dropper:
        read, tool, now = given["amount"], Tool(given["tool"]), board.now()
        told = (board.desk, given["name"], tool, given["number"])
        measured = Measured(read.value, read.resolution)
        if read.unit == "g":
            return droppers.weigh(*told, measured, one.liquid, now)
        return droppers.count(*told, measured, min(1.0, one.liquid.strength), now)

    about = (
        f"With {one.code}, {percent(one.liquid.strength)}: count the drops to 1 mL or more, or "
        "weigh 50 of them. Type 1.0 mL where you read tenths."
    )
    made = await board.push_screen_wait(AskForm("Calibrate a dropper", about, lines, act))
    if made:
        board.look_again()
        told = f"{made.each_ml:.3g} mL a {made.tool.value}, {1.0 / made.each_ml:.3g} to the mL"
        board.tell(f"{made.name}: {told}; U takes it back.")


async def price(board: SteepBoard, one: Bottle | None) -> None:
    """Ask what a litre of spirit or a kilogram of botanical costs, from a day on."""
    code, today = money.currency(board.desk.settings), board.desk.day(board.now())
    known = costs.prices(board.desk)
    bought = _bought(board, one)
    entry = wares.entries(board.desk)
    open_ = [(w, n) for w, n in bought if price_on(known, w, n, today, entry) is None]
    ware, name = (open_ or [(Ware.SPIRIT, "")])[0]

    def now_costs(typed: str) -> str:
        found = (price_on(known, each, typed, today, entry) for each in Ware)
        told = " or ".join(money.shown(p.amount, code) for p in found if p)
        return f"now {told}" if told else "no price yet"

    lines = (
        Pick("ware", "It is", [(Ware.SPIRIT.value, "a spirit, by the litre"),
                               (Ware.BOTANICAL.value, "a botanical, by the kilogram")], ware.value),
        Line("name", "Of what", read_words, now_costs, typed=name, hint="say neutral spirit",
             needed="Say of what.", suggestions=[n for _, n in bought] + [p.name for p in known]),
        Line("amount", "It costs", money.read, lambda told: f"= {money.shown(told, code)}",
             hint=f"in {code}, say 18.40", needed="Say what it costs, like 18.40."),
        Line("day", "From day", _past_day, words.day, hint="today, or 2026-03-02"),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> Price:
        return costs.keep_price(
            board.desk, Ware(given["ware"]), given["name"], given["amount"], board.now(),
            given["day"],
        )  # fmt: skip

    about = "A jar costs by the prices of the day it was charged."
    made = await board.push_screen_wait(AskForm("Price", about, lines, act))
    if made:
        board.look_again()
        board.tell(f"{made.name}: {money.told(made)}; U takes it back.")


async def sell(board: SteepBoard) -> None:
    """Ask for a list of drinks sold, show what it takes, and draw that when told so."""
    path, others = "", "no"
    while given := await board.push_screen_wait(_list_form(path, others)):
        path, others = str(given["path"]), given["others"]
        if await _looked_at(board, given["path"], known_only=others == "yes"):
            return


async def _looked_at(board: SteepBoard, path: Path, *, known_only: bool) -> bool:
    """Show what a list comes to, and draw it when told so; False to ask for the list anew."""
    while True:
        try:
            list_ = (path.name, sold.read_file(path), known_only)
            found = _preview(board, list_)
        except DrawnBefore as fault:
            await _take_back(board, list_, fault)
            return True
        except BadList as fault:
            if not await board.push_screen_wait(Confirm("Nothing is drawn", _faults(fault))):
                return False
        except OSError as fault:
            board.tell(f"{fault.strerror or fault}: {path}", "error")
            return False
        else:
            if await board.push_screen_wait(Confirm(f"Draw by {path.name}", _taken(found))):
                _draw(board, list_, found)
            return True


def _list_form(path: str, left_out: str) -> AskForm[Given]:
    lines = (
        Line("path", "File", _path, hint="say ~/friday.csv", typed=path,
             needed="Say where the list lies."),
        Pick("others", "Without a dose", [("no", "stop the list"), ("yes", "are left out")],
             left_out),
    )  # fmt: skip
    about = (
        "A CSV list with the columns date, drink and count, days as 2026-03-02. Each drink takes "
        "its house doses. What would be drawn is shown first; all of it is drawn or nothing."
    )
    return AskForm("Drinks sold", about, lines, lambda given, _sure: _read_once(given))


def _read_once(given: Given) -> Given:
    """Return what was answered, once there is such a file; a pipe would keep the board waiting."""
    if not given["path"].is_file():
        raise BadAmount(str(given["path"]), f"No file is at {given['path']}.", "~/friday.csv")
    sold.read_file(given["path"])
    return given


def _preview(board: SteepBoard, list_: _List) -> Sold:
    name, content, known_only = list_
    return sold.preview(board.desk, name, content, board.now(), known_only=known_only)


def _draw(board: SteepBoard, list_: _List, seen: Sold) -> None:
    """Draw by a list as it was shown; where it would come out otherwise by now, draw nothing."""
    name, content, known_only = list_
    if _preview(board, list_) != seen:
        board.tell("Something else was written meanwhile. Look at the list again.", "warning")
        return
    draw = partial(sold.sold, board.desk, name, content, board.now(), known_only=known_only)
    if made := board.done(draw):
        drinks = "1 drink" if made.drinks == 1 else f"{made.drinks} drinks"
        took = ", ".join(f"{one.volume_ml:.1f} mL from {one.code}" for one in made.taken)
        board.tell(f"{drinks} took {took}; U takes all of it back.")


async def _take_back(board: SteepBoard, list_: _List, fault: DrawnBefore) -> None:
    name, content, _ = list_
    question = f"{fault.name} was counted on {fault.day}.\n\nTake all of its draws back?"
    if not await board.push_screen_wait(Confirm("Counted before", question)):
        return
    undo = partial(undoing.undo_sold, board.desk, name, content, board.now())
    if undone := board.done(undo):
        board.tell(f"Taken back: drawn {what(board.desk, undone)}.")


def _faults(fault: BadList) -> str:
    told = [f"line {line}: {reason}" for line, reason in fault.faults[:_TOLD]]
    if (more := len(fault.faults) - _TOLD) > 0:
        told.append(f"and {more} more")
    return "\n".join((str(fault), "Mend the list. Read it again?", "", *told))


def _taken(found: Sold) -> str:
    rows = [f"{one.volume_ml:8.1f} mL   {one.code}   {one.name}" for one in found.taken]
    others = ["", f"Left out, for want of a dose: {', '.join(found.left_out)}"]
    drinks = "1 drink takes" if found.drinks == 1 else f"{found.drinks} drinks take"
    more = others if found.left_out else ()
    return "\n".join((f"{drinks} what stands here. Draw it all?", "", *rows, *more))


def _bought(board: SteepBoard, one: Bottle | None) -> list[tuple[Ware, str]]:
    """Return what the jars that a bottle came from were made of."""
    jars = bottle_shelf.inside(board.desk, one).jars if one else ()
    found = (ware for jar, _ in jars for ware in costs.bought(jar.charge))
    return list(dict.fromkeys((ware.ware, ware.name) for ware in found))


def _volume_or_mass(text: str) -> Amount:
    """Return mL or g, by what was typed."""
    for read in (amounts.parse_volume, amounts.parse_mass):
        try:
            return read(text)
        except BadAmount:
            continue
    raise BadAmount(text, f"{quoted(text)} is neither a volume nor a mass.", "1.0 mL or 1.06 g")


def _past_day(text: str) -> date:
    try:
        return date.fromisoformat(clean(text, 40))
    except ValueError:
        raise BadAmount(text, f"{quoted(text)} is not a day.", "2026-03-02") from None


def _path(text: str) -> Path:
    try:
        return Path(text.strip()).expanduser()
    except RuntimeError:  # ~ and the name of nobody
        raise BadAmount(text, f"No home is known for {quoted(text)}.", "~/friday.csv") from None
