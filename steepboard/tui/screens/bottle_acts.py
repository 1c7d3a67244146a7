"""What is done with bottles, each asked for in a form over the screen."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from steepboard import amounts
from steepboard.domain.bottles import BottleKind, BottleState, Purpose
from steepboard.domain.readings import Measured
from steepboard.errors import BadAmount
from steepboard.services import bottle_shelf, bottles, bottling, doses, stock
from steepboard.services.bottle_words import counted_line, left, rest_line
from steepboard.services.bottles import Drawn
from steepboard.services.droppers import sizes
from steepboard.services.typed_bottles import on_scale, read_drawn, read_part
from steepboard.text import clean
from steepboard.tui.screens.ask_form import AskForm, Line, Pick, kept_before
from steepboard.tui.screens.base_form import base_lines, read_base
from steepboard.tui.screens.fill_form import fill_lines, read_bottling

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from steepboard.amounts import Amount
    from steepboard.domain.bottles import Bottle, BottleEntry
    from steepboard.services.bottling import Part
    from steepboard.tui.app import SteepBoard
    from steepboard.tui.screens.ask_form import Given

_WHY = "A few words are needed: they stand in the diary."
_ENDS = {
    BottleKind.USE_UP: "used up",
    BottleKind.BREAK: "broken",
    BottleKind.DISCARD: "poured away",
}
_MORE = (2, 3)  # further liquids that are poured together


async def draw(board: SteepBoard, one: Bottle, purpose: Purpose) -> None:
    """Ask how much was drawn for something; what was drawn for it last stands there already."""
    before = [e.typed for e in _live(board, one) if e.purpose is purpose and _is_read(e.typed)]
    if purpose is Purpose.DOSE and not before and one.liquid.intensity:
        before = [f"{made.volume_ml:.3g} ml" for made in doses.for_bottle(board.desk, one.code)]
    read = partial(read_drawn, size=sizes(board.desk, min(1.0, one.liquid.strength)))
    lines = (
        Line(
            "amount", "How much", read, lambda drawn: f"= {drawn.volume.value:.4g} mL",
            hint="say 30 mL, 12 drops or 2 dashes", typed=before[-1] if before else "",
            needed="Say how much, like 30 mL.",
        ),
        _note(),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> Bottle:
        drawn, note = given["amount"], given["note"] or ""
        return bottles.draw(board.desk, one.code, drawn, purpose, board.now(), note=note)

    await _done(board, f"{purpose.value.capitalize()} from {one.code}", left(one), lines, act)


async def again(board: SteepBoard, one: Bottle) -> None:
    """Draw the same once more, without a question; ask where nothing was drawn yet."""
    last = next((e for e in reversed(_live(board, one)) if e.purpose and e.volume), None)
    if last is None or last.purpose is None or last.volume is None:
        await draw(board, one, Purpose.DOSE)
        return
    drawn, purpose = Drawn(last.volume, last.typed, last.tool, last.tool_u), last.purpose
    if made := board.done(lambda: bottles.draw(board.desk, one.code, drawn, purpose, board.now())):
        told = f"{purpose.value} of {last.typed} once more"
        board.tell(f"{made.code}: {told}, {left(made)}; u takes it back.")


async def count(board: SteepBoard, one: Bottle) -> None:
    """Ask what a bottle weighs, and say how that agrees."""
    scale = (amounts.parse_mass, _echo)
    known = {name: getattr(one, name) for name in ("empty", "full")}
    hints = {
        name: f"{read.value:g} g, as last told" if read else f"what it weighed {name}"
        for name, read in known.items()
    }
    lines = (
        Line(
            "now", "Weighs now", *scale, hint="say 151 g", needed="Say what it weighs, like 151 g."
        ),
        Line("empty", "Empty", *scale, hint=hints["empty"]),
        Line("full", "or when filled", *scale, hint=hints["full"]),
        _note(),
    )
    about = "Closed or open, but as it was weighed before. Empty or filled, one of them is enough."

    def act(given: Given, sure: bool) -> bottles.Counted:
        read = {name: on_scale(board.desk, given[name]) for name in known if given[name]}
        now_g, note = on_scale(board.desk, given["now"]), given["note"] or ""
        return bottles.count(board.desk, one.code, now_g, board.now(), note=note, sure=sure, **read)

    await _counted(board, AskForm(f"Count {one.code}", about, lines, act))


async def correct(board: SteepBoard, one: Bottle) -> None:
    """Ask what a bottle holds, and why that is said anew."""
    lines = (
        Line(
            "holds", "It holds", _volume_or_none, _echo, hint=left(one), needed="Say it like 40 mL."
        ),
        Line("why", "Why", _words, needed=_WHY),
    )

    def act(given: Given, _sure: bool) -> bottles.Counted:
        held = given["holds"]
        read = Measured(held.value, held.resolution)
        why, now = given["why"], board.now()
        return bottles.correct(board.desk, one.code, read, why, now, typed=held.typed)

    await _counted(board, AskForm(f"Correct {one.code}", "", lines, act))


async def end(board: SteepBoard, one: Bottle) -> None:
    """Ask how a bottle ended, and why."""
    lines = (
        Pick("how", "It is", [(kind.value, text) for kind, text in _ENDS.items()]),
        Line("why", "Why", _words, hint="needed where it is broken or poured away"),
    )
    about = f"{left(one)} are taken off the shelf. The diary stays."

    def act(given: Given, _sure: bool) -> Bottle:
        how = BottleKind(given["how"])
        return bottles.end(board.desk, one.code, how, given["why"] or "", board.now())

    await _done(board, f"Take {one.code} off", about, lines, act)


async def top_up(board: SteepBoard, one: Bottle) -> None:
    """Ask what is poured into a bottle, and how much."""
    lines = (*_source(board, 1, "Poured in from", needed=True, but=one.code), _note())

    def act(given: Given, sure: bool) -> Bottle:
        (part,) = _parts(given, (1,))
        note = given["note"] or ""
        return bottling.top_up(board.desk, one.code, part, board.now(), note=note, sure=sure)

    await _done(board, f"Top up {one.code}", left(one), lines, act)


async def combine(board: SteepBoard, one: Bottle, *, made: Callable[[str], None]) -> None:
    """Ask what is poured together with a bottle, into a new one; hand its code to `made`."""
    needed = "Say how much, like 40 mL."
    lines = (
        Line("own", f"Of {one.code}", amounts.parse_volume, _echo, hint=left(one), needed=needed),
        *_source(board, 2, "With", needed=True, but=one.code),
        *_source(board, 3, "and with", needed=False, but=one.code),
        Line("size", "Into a bottle", amounts.parse_volume, _echo, hint="its size",
             needed="Say its size, like 100 mL."),
        Line("name", "Its name", _words, hint="where several batches go into it"),
    )  # fmt: skip

    def act(given: Given, sure: bool) -> Bottle:
        own = read_part(one.code, given["own"])
        size, name = given["size"].value, given["name"] or ""
        parts = (own, *_parts(given, _MORE))
        return bottling.combine(board.desk, parts, size, board.now(), name=name, sure=sure)

    title = f"Pour {one.code} together with others"
    if new := await _done(board, title, "", lines, act):
        made(new.code)


async def fill(
    board: SteepBoard, code: str = "", *, made: Callable[[str], None] = lambda _code: None
) -> None:
    """Ask how a strained jar is bottled: how many of which size, and what stays over.

    `made` is handed the code of the first bottle.
    """
    lines = fill_lines(board.desk, code)

    def act(given: Given, sure: bool) -> bottling.Filled:
        told = read_bottling(given)
        return bottling.fill(
            board.desk, told.code, told.fills, board.now(), left=told.left, sure=sure
        )

    about = (
        "A jar that still settles ends with it. What was not measured is told by what is filled."
    )
    filled = await board.push_screen_wait(AskForm("Fill bottles", about, lines, act))
    if filled:
        board.look_again()
        made(filled.bottles[0].code)
        codes = ", ".join(one.code for one in filled.bottles)
        over = f" {rest_line(filled.bottles[0].tag.batch, filled.rest)}" if filled.rest else ""
        board.tell(f"Filled: {codes}.{over}")


async def keep_dose(board: SteepBoard, one: Bottle) -> None:
    """Ask what a drink takes of a bottle, and what that does."""
    known = [each.name for each in doses.doses(board.desk)]
    lines = (
        Line("name", "Its name", _words, kept_before(known), hint="say mule edge",
             needed="A name is needed."),
        Line("amount", "How much", amounts.parse_volume, _echo, hint="right with this bottle",
             needed="Say how much, like 1.5 mL."),
        Line("gives", "What it gives", _words, hint="say in place of 10 mL syrup"),
        Line("drink", "Which drink", _words, hint="may stay empty, with all below"),
        *base_lines("Drink"),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> doses.DoseFor:
        drink = read_base(given, given["drink"]) if given["drink"] else None
        name, volume_ml, gives = given["name"], given["amount"].value, given["gives"] or ""
        return doses.keep(board.desk, name, volume_ml, one.code, gives, board.now(), drink=drink)

    about = "From another batch it is then told what does the same. A rule of thumb: taste it."
    made = await board.push_screen_wait(AskForm(f"House dose of {one.tag.name}", about, lines, act))
    if made:
        board.look_again()
        told = f"{made.volume_ml:.3g} mL of {one.code}"
        board.tell(f"{made.dose.name} is kept: {told}; U takes it back.")


async def least(board: SteepBoard, one: Bottle) -> None:
    """Ask how much of a kind is always to stand."""
    hint = "say 60 mL; 0 mL: it is not made again"
    line = Line("least", "At least", _volume_or_none, _echo, hint=hint, needed="Say it like 60 mL.")

    def act(given: Given, _sure: bool) -> str:
        stock.set_par(board.desk, one.tag.name, given["least"].value, board.now())
        if not given["least"].value:
            return f"{one.tag.name} is not made again"
        return f"Of {one.tag.name} {given['least'].echo} are always to stand"

    about = "The next jar is then asked for in time, so that never less stands."
    told = await board.push_screen_wait(AskForm(f"Least of {one.tag.name}", about, (line,), act))
    if told:
        board.look_again()
        board.tell(f"{told}; U takes it back.")


def may(one: Bottle | None, action: str) -> bool:
    """Say whether an action fits the state of a bottle."""
    if action in (
        "draw",
        "again",
        "count",
        "correct",
        "end",
        "top_up",
        "combine",
        "dose",
        "calibrate",
    ):
        return one is not None and one.state is BottleState.STANDING
    return action not in ("label", "record", "undo", "open", "least") or one is not None


async def _done(
    board: SteepBoard,
    title: str,
    about: str,
    lines: Sequence[Line | Pick],
    act: Callable[[Given, bool], Bottle],
) -> Bottle | None:
    """Ask, and tell what the bottle holds then."""
    made = await board.push_screen_wait(AskForm(title, about, lines, act))
    if made:
        board.look_again()
        board.tell(f"{made.code}: {left(made)}; u takes it back.")
    return made


async def _counted(board: SteepBoard, ask: AskForm[bottles.Counted]) -> None:
    found = await board.push_screen_wait(ask)
    if found:
        board.look_again()
        board.tell(counted_line(found), "warning" if found.is_off else "information")


def _live(board: SteepBoard, one: Bottle) -> list[BottleEntry]:
    return [entry for entry in bottle_shelf.diary(board.desk, one) if not entry.undone]


def _source(board: SteepBoard, n: int, label: str, *, needed: bool, but: str) -> tuple[Line, Line]:
    codes = [one.code for one in bottle_shelf.bottles(board.desk) if one.code != but]
    return (
        Line(f"source{n}", label, _words, hint="a bottle, a jar, water, or a strength: 45 %",
             needed="Say from what: a code, water or 45 %." if needed else "", suggestions=codes),
        Line(f"amount{n}", "so much of it", amounts.parse_volume, _echo, hint="say 40 mL",
             needed="Say how much, like 40 mL." if needed else ""),
    )  # fmt: skip


def _parts(given: Given, numbers: Sequence[int]) -> tuple[Part, ...]:
    """Return what is poured. Raises `BadAmount` where one was told by halves."""
    told = [(given[f"source{n}"], given[f"amount{n}"]) for n in numbers]
    for source, amount in told:
        if source and not amount:
            raise BadAmount(source, f"How much of {source} is poured?", "40 mL")
        if amount and not source:
            reason = f"Of what are the {amount.echo} poured?"
            raise BadAmount(amount.typed, reason, "a code, water or 45 %")
    return tuple(read_part(source, amount) for source, amount in told if source and amount)


def _note() -> Line:
    return Line("note", "Note", _words, hint="for the diary; may stay empty")


def _is_read(typed: str) -> bool:
    try:
        read_drawn(typed)
    except BadAmount:
        return False
    return True


def _volume_or_none(text: str) -> Amount:
    return amounts.parse_volume(text, zero=True)


def _words(text: str) -> str:
    return clean(text, 500)


def _echo(amount: Any) -> str:
    return str(amount.echo)
