"""What stands in bottles, in lines: the list, and all of the chosen one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.domain import limits
from steepboard.domain.bottles import BottleKind, BottleState
from steepboard.domain.figures import days, short
from steepboard.services import bottle_shelf, money
from steepboard.services.bottle_words import entry_line, left, rest_line
from steepboard.services.done_words import DONE
from steepboard.text import visible
from steepboard.tui import words
from steepboard.tui.safe import plain
from steepboard.tui.telling import finding_lines, headed, minded, parts

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date, tzinfo

    from steepboard.domain.bottles import Bottle, BottleEntry
    from steepboard.domain.dosing import Added, Counted
    from steepboard.services.bottle_shelf import Inside, Rest
    from steepboard.services.costs import BottleCost
    from steepboard.services.desk import Desk
    from steepboard.services.doses import DoseFor
    from steepboard.services.stock import Stock

ALLERGEN, HOT, MIND = "A", "H", "▲"
NECK = "╼"
_HOT = frozenset({"PUNGENT", "CAPSAICIN"})
_NAMED = _HOT | {"ALLERGEN_EU", "ALLERGEN_US"}
_GRAVE = frozenset({"stop", "limit", "warn"})
_CODE, _LEFT, _STRENGTH, _DAYS, _MARKS = 11, 15, 6, 7, 3  # cells
_NAME = (12, 34)  # cells, least and most
_BAR = (10, 16)  # cells, least and most
_LABEL = 12  # cells of what a line of the chosen bottle is about

_FILL = (
    "n fills the first ones from a jar that is strained: how many of which size. Each gets a code "
    "that points back to its jar."
)
EMPTY = (
    "Nothing stands in bottles yet.",
    _FILL,
)
"""What an empty shelf says, part by part."""
LEGEND = f"{ALLERGEN} allergen  {HOT} hot  {MIND} take care  ± in 2 of 3 cases within it"


def head(width: int) -> Content:
    """Return what the columns of the list are."""
    name, bar = _widths(width)
    cells = (
        "bottle".ljust(_CODE),
        "what".ljust(name),
        "".ljust(bar),
        "mL left".rjust(_LEFT),
        "vol".rjust(_STRENGTH),
        "lasts".rjust(_DAYS),
        "".ljust(_MARKS),
    )
    return Content.styled(" ".join(cells), "$faint")


def row(one: Bottle, inside: Inside, lasts: str, width: int) -> Content:
    """Return a bottle in one line, its fill drawn."""
    name, bar = _widths(width)
    named = plain(one.tag.name).truncate(name, ellipsis=True, pad=True)
    code = plain(one.code).truncate(_CODE, ellipsis=True, pad=True)
    if one.state is not BottleState.STANDING:
        return Content.assemble(code, " ", named, " ", one.state.value).stylize("$faint")
    holds = f"{one.left_ml:.1f} ± {one.left_u_ml:.1f}"
    return Content.assemble(
        code.stylize("bold"), " ", named, " ", fill(one.left_ml / one.size_ml, bar), " ",
        holds.rjust(_LEFT), " ", words.percent(one.liquid.strength).rjust(_STRENGTH), " ",
        lasts.rjust(_DAYS), " ", marks(inside),
    )  # fmt: skip


def fill(part: float, width: int) -> Content:
    """Draw a bottle that lies on its side, its neck to the right, filled to a part of it."""
    room = width - 1
    full = round(min(max(part, 0.0), 1.0) * room)
    if 0.0 < part < 1.0:
        full = min(max(full, 1), room - 1)
    return Content.assemble(
        ("▆" * full, "$secondary"), ("·" * (room - full), "$faint"), (NECK, "$faint")
    )


def marks(inside: Inside) -> Content:
    """Return a letter for allergens, one for what is hot, and a sign for other things to mind."""
    own = {one.code for one in inside.own_cautions if one.severity in _GRAVE}
    shown = (
        (ALLERGEN, "$warning bold", bool(inside.allergens_eu or inside.allergens_us)),
        (HOT, "$error bold", any(one.code in _HOT for one in inside.own_cautions)),
        (MIND, "$warning", bool(own - _NAMED)),
    )
    return Content.assemble(*((sign if is_so else " ", style) for sign, style, is_so in shown))


def lasts(kind: Stock | None) -> str:
    """Return how long what stands of a kind lasts, 8 times in 10: `34–61 d`; `–` if unknown."""
    run_out = kind.run_out if kind else None
    if run_out is None or run_out.early is None:
        return "–"
    early, late, unit = run_out.early, run_out.late, "d"
    if max(early, late or 0) > 99:
        if early < 7 and late:
            return f"{early} d–{late // 7} w"
        early, late, unit = early // 7, late and late // 7, "w"
    return f"{early}+ {unit}" if late is None else f"{early}–{late} {unit}"


def facts(
    desk: Desk,
    one: Bottle,
    inside: Inside,
    kind: Stock | None,
    doses: Sequence[DoseFor],
    cost: BottleCost | None,
    today: date,
) -> Content:
    """Return all that is known of a bottle, and what its doses come to."""
    liquid, code = one.liquid, desk.settings.money.currency
    batches = ", ".join(f"{jar.code} {100 * share:.0f} %" for jar, share in inside.jars)
    lines = [
        ("holds", left(one)),
        ("filled", f"{one.filled_ml:.1f} mL, {words.day(desk.day(one.filled_at))}"),
        ("counted", words.day(desk.day(one.counted_at)) if one.counted_at else ""),
        *(_ahead(kind, today) if kind else ()),
        ("strength", f"{100 * liquid.strength:.1f} ± {words.percent(liquid.strength_u)} vol"),
        ("dissolved", f"{1e3 * liquid.dissolved_g_ml:.1f} g/L"),
        ("intensity", f"{liquid.intensity:.2g} by rule of thumb: taste first"),
        ("from", batches),
        ("cost", _cost(cost, code) if cost else ""),
        ("allergens", ", ".join(bottle_shelf.contained((inside,)))),
    ]
    told = [
        Content.assemble((label.ljust(_LABEL), "$secondary"), plain(text))
        for label, text in lines
        if text
    ]
    title = Content.assemble((visible(one.code), "$primary b"), "  ", (visible(one.tag.name), "b"))
    each = {dose.name: money.shown_finely(dose.amount, code) for dose in cost.doses} if cost else {}
    poured = [_dose(made, each.get(made.dose.name, "")) for made in doses]
    return parts(
        Content("\n").join([title, *told]),
        headed("House doses", Content("\n").join(poured)),
        minded(inside.own_cautions),
    )


def diary(entries: Sequence[BottleEntry], zone: tzinfo) -> Content:
    """Return all that was done to a bottle, the last first; what was taken back is struck."""
    lines = (_entry(entry, entries, zone) for entry in reversed(entries))
    return headed("Diary", Content("\n").join(lines))


def _ahead(kind: Stock, today: date) -> list[tuple[str, str]]:
    """Return how fast a kind goes, what is to stand, and by when the next jar is to be started."""
    told = []
    if kind.use:
        span = kind.run_out.middle if kind.run_out else None
        ends = f"; {kind.left_ml:.0f} mL last about {days(span)}" if span else ""
        told.append(("goes", f"{kind.use.ml_per_week:.1f} mL a week{ends}"))
    if kind.par_ml is not None:
        told.append(("at least", f"{short(kind.par_ml)} mL" if kind.par_ml else "not made again"))
    if kind.start:
        day = kind.start.day
        told.append(("start next", f"by {words.day(day)}, {words.until(day, today)}"))
    return told


def _cost(cost: BottleCost, code: str) -> str:
    """Return what a mL costs and what is left, and what has no price."""
    told = f"{money.shown_finely(cost.per_ml, code)} a mL, {money.shown(cost.held, code)} in it"
    missing = ", ".join(cost.unpriced)
    return f"{told}; no price is kept of {missing}" if missing else told


def _dose(made: DoseFor, cost: str) -> Content:
    """Return a house dose as it is poured from this bottle, what it adds, and what to mind."""
    gives = f"  {visible(made.dose.gives)}" if made.dose.gives else ""
    volume = f"{made.volume_ml:.3g} mL"
    poured = Content.assemble(
        (f"{visible(made.dose.name)}  ", "bold"),
        " · ".join(filter(None, (volume, _counted(made.drops), _counted(made.dashes), cost))),
        Content.styled(gives, "$faint"),
    )
    mind = finding_lines((*made.findings, *map(limits.finding, made.limits)))
    return Content("\n").join(filter(None, (poured, _adds(made.added), mind)))


def _counted(found: Counted) -> str:
    """Return whole drops or dashes: `1 dash, 82 % over`; how far off only where it is coarse."""
    off = ""
    if found.is_coarse:
        off = f", {abs(found.off):.0%} {'over' if found.off > 0.0 else 'under'}".replace("%", " %")
    return f"{found.portion.words(found.whole)}{off}"


def _adds(added: Added | None) -> Content:
    """Return the alcohol of a dose, and what that does to the drink where the drink is known."""
    if added is None:
        return Content("")
    before, after = words.percent(added.strength_before), words.percent(added.strength_after)
    alcohol = f"+{added.ethanol_ml:.2g} mL alcohol ({added.ethanol_g:.2g} g)"
    return Content.styled(f"{alcohol}, drink {before} to {after}", "$faint")


def of_jar(code: str, found: Sequence[Bottle], rest: Rest | None) -> Content:
    """Return the bottles that a jar went into, and what of it stands in none."""
    lines = [
        Content.assemble((visible(one.code).ljust(_CODE + 1), "bold"), plain(left(one)))
        for one in found
    ]
    return Content("\n").join([*lines, plain(rest_line(code, rest) if found and rest else "")])


def _entry(entry: BottleEntry, entries: Iterable[BottleEntry], zone: tzinfo) -> Content:
    what = _told(entry)
    if entry.kind is BottleKind.UNDO:
        what = next((f"took back: {_told(e)}" for e in entries if e.act == entry.undoes), what)
    line = Content.assemble(
        (words.moment(entry.at, zone).ljust(18), "$faint"),
        plain(what),
        Content.styled(f"  {visible(entry.initials)}", "$faint"),
    )
    if entry.undone:
        return line.stylize("strike") + Content.styled("  taken back", "$error")
    return line


def _told(entry: BottleEntry) -> str:
    what = "drawn" if entry.kind is BottleKind.DRAW else DONE[entry.kind]
    return " ".join(filter(None, (what, entry_line(entry))))


def _widths(width: int) -> tuple[int, int]:
    """Return the cells of the name and of the bottle drawn, for so many cells of a line."""
    room = width - (_CODE + _LEFT + _STRENGTH + _DAYS + _MARKS + 6)
    bar = min(max(room // 3, _BAR[0]), _BAR[1])
    return min(max(room - bar, _NAME[0]), _NAME[1]), bar
