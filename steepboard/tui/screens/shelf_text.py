"""What the shelf says beside its rows: who wants a hand, and the chosen jar in short."""

from __future__ import annotations

from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.catalogue.cautions import LAST_WORD
from steepboard.domain.figures import one_to
from steepboard.domain.findings import Severity
from steepboard.services.views import Hand, Row, ShelfView, Want
from steepboard.text import visible
from steepboard.tui import words
from steepboard.tui.safe import plain
from steepboard.tui.widgets.days import SIGNS, DayRow

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import date, tzinfo

    from steepboard.domain.records import Jar
    from steepboard.services.details import Details

HANDS = {
    Hand.STRAIN_LATE: ("!", "strain, late", "$error bold"),
    Hand.STRAIN: ("▼", "strain today", "$primary bold"),
    Hand.GET_READY: ("▽", "get ready", "$accent bold"),
    Hand.START: ("┏", "start the next", "$accent bold"),
    Hand.TASTE: ("◇", "taste", "$accent bold"),
    Hand.STIR: ("○", "stir", "$warning bold"),
    Hand.BOTTLE: ("▁", "bottle", "$accent bold"),
    Hand.CHARGE: ("┃", "charge", "$secondary bold"),
}
"""Sign, words and style of what a jar may want."""
EMPTY = (
    ("", "Nothing steeps on this shelf. To begin:"),
    ("p", "Plan: say how much you want bottled; it says what to weigh and to pour."),
    ("n", "Charge a jar: what, how much of it, how much spirit, how strong."),
    ("", "Then leave this board open, or run `steepboard watch`."),
    ("", "It reminds you to stir each day, and to strain on the right one."),
)


def day_rows(view: ShelfView, zone: tzinfo) -> list[DayRow]:
    """Return the jars as the widget takes them."""
    asked = {want.jar.code: want.hand for want in reversed(view.wants)}  # the first one counts
    return [_day_row(row, asked.get(row.jar.code), zone) for row in view.rows]


def _day_row(row: Row, hand: Hand | None, zone: tzinfo) -> DayRow:
    jar = row.jar
    left = {Hand.BOTTLE: "bottle", Hand.CHARGE: "charge"}.get(hand, "settle") if hand else "settle"
    if row.days_left is not None:
        left = "today" if row.days_left == 0 else f"{row.days_left} d"
    charged = jar.charged_at.astimezone(zone).date() if jar.charged_at else None
    marks = {on: mark.value for on, mark in row.marks.items()}
    return DayRow(
        jar.code, visible(jar.name), left, hand is not None, marks, charged, jar.strain_on
    )


def wants(view: ShelfView, width: int, most: int) -> Content:
    """Return what wants a hand now, kind by kind; put side by side to need `most` lines at most."""
    if not view.wants:
        return Content.assemble(" ", _quiet(view))
    groups = groupby(view.wants, lambda want: want.hand)
    lines = [_hand_line(hand, list(found), width) for hand, found in groups]
    while len(lines) > most:
        pairs = [a.cell_length + b.cell_length for a, b in pairwise(lines)]
        first = min(range(len(pairs)), key=pairs.__getitem__)
        lines[first : first + 2] = [lines[first] + Content("  ") + lines[first + 1]]
    return Content("\n").join(lines)


def legend(view: ShelfView, width: int) -> Content:
    """Return the signs that are in sight, with their words."""
    there = {mark.value for row in view.rows for mark in row.marks.values()}
    parts = [
        Content.assemble((sign, "bold"), f" {word}")
        for mark, (sign, word) in SIGNS.items()
        if mark in there
    ]
    airy = Content(" ") + Content("  ").join(parts)
    return airy if airy.cell_length <= width else Content(" ") + Content(" ").join(parts)


def empty() -> Content:
    """Return what to do first."""
    lines = [Content.assemble(" ", (key.ljust(3), "$primary bold"), text) for key, text in EMPTY]
    return Content("\n").join([Content(""), *lines])


def in_short(
    jar: Jar, details: Details | None, silence: str, today: date, zone: tzinfo, *, low: bool
) -> Content:
    """Return the chosen jar in four lines, or five where there is room.

    Without `details` it is only what the record says, and until when nothing is said of it.
    """
    lines = [
        Content.assemble(
            " ",
            (jar.code, "$primary bold"),
            "  ",
            (f"{silence} · " if silence else "", "$accent bold"),
            plain(words.standing(jar, today, zone)),
        ),
        _fact("charge", words.charge(jar.charge)),
    ]
    if details:
        expected = details.expected
        rule = f"{one_to(details.ratio)}, house {one_to(details.house_ratio)}"
        thumb = f"intensity {details.intensity:.2g} (by rule of thumb: taste)"
        bottle = f"{expected.expected_ml:.0f} mL, {expected.low_ml:.0f} to {expected.high_ml:.0f}"
        strength = words.percent(details.liquor.true_strength)
        ratio = [("ratio", f"{rule} · {thumb}")] if low else [("ratio", rule), ("", thumb)]
        lines += [
            *(_fact(label, text) for label, text in ratio),
            _fact("expect", f"{bottle} eight times in ten · {strength}"),
        ]
    return Content("\n").join(lines)


def to_mind(details: Details, own: Collection[str], *, full: bool) -> Content:
    """Return cautions by title, and in full the `own` ones of the material where there is room.

    There it ends with whose word comes first.
    """
    warned = [found.text for found in details.findings if found.severity is not Severity.NOTE]
    if not full:
        titles = [caution.title for caution in details.cautions]
        return _fact("mind", " · ".join(warned + titles))
    lines = [
        Content.assemble((f"{caution.title}. ", "bold"), plain(caution.text))
        for caution in details.cautions
        if caution.code in own
    ]
    usual = [caution.title for caution in details.cautions if caution.code not in own]
    always = Content.assemble(("As always: ", "bold"), plain(" · ".join(usual)))
    warnings = map(plain, warned)
    return Content("\n").join([*warnings, *lines, always, Content(LAST_WORD)])


def _quiet(view: ShelfView) -> Content:
    ahead = [row.jar for row in view.rows if row.days_left is not None]
    if not ahead:
        return Content("Nothing wants a hand now.")
    jar = ahead[0]
    return plain(
        f"Nothing wants a hand now. Next: strain {jar.code} on {words.day(jar.strain_on)}."
    )


def _hand_line(hand: Hand, found: list[Want], width: int) -> Content:
    sign, word, style = HANDS[hand]
    line = Content.assemble(f" {sign} ", (f"{word}  ", style))
    for n, want in enumerate(found):
        part = Content.assemble("  " if n else "", (want.jar.code, "bold"), _note(want, len(found)))
        more = f"  +{len(found) - n}"
        if line.cell_length + part.cell_length + len(more) > width and n:
            return line + Content(more)
        line += part
    return line


def _note(want: Want, together: int) -> Content:
    name = f" {want.jar.name}" if together <= 2 else ""
    if want.hand is Hand.STRAIN_LATE:
        name += f" {want.days} d"
    elif want.hand is Hand.START and want.days:
        name += f" {want.days} d late"
    elif want.hand is Hand.BOTTLE:
        name += f" settled {want.days} d"
    return plain(name)


def _fact(label: str, text: str) -> Content:
    return Content.assemble(" ", (label.ljust(8), "$secondary"), plain(text))
