"""Bottles in words for people and in JSON for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.cli.diary_rows import line, line_json
from steepboard.cli.render import day, iso, volume, word
from steepboard.domain.figures import days, percent
from steepboard.services.bottle_words import entry_line, left, short_cautions

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from steepboard.domain.bottles import Bottle, BottleEntry
    from steepboard.services.bottle_shelf import Inside
    from steepboard.services.desk import Desk


def row(desk: Desk, one: Bottle, today: date) -> tuple[str, ...]:
    """Return a bottle as a row of the list, with its age."""
    age = days((today - desk.day(one.filled_at)).days)
    return one.code, left(one), percent(one.liquid.strength), age, one.tag.name


def mind_rows(shown: Iterable[tuple[Bottle, Inside]]) -> list[tuple[str, str]]:
    """Return what is to be minded of bottles, one row for each batch that has something."""
    told = {one.tag.batch: short_cautions(inside) for one, inside in shown}
    return [(batch, cautions) for batch, cautions in told.items() if cautions]


def rows(desk: Desk, one: Bottle, inside: Inside) -> list[tuple[str, str]]:
    """Return what is to be told of one bottle, in rows."""
    liquid = one.liquid
    parts = ", ".join(f"{jar.code} {percent(share, 0)}" for jar, share in inside.jars)
    strength = f"{percent(liquid.strength)} ± {percent(liquid.strength_u)}"
    solids = f"{1e3 * liquid.dissolved_g_ml:.1f} g/L by calculation"
    told = [
        ("holds", left(one)),
        ("filled", f"{volume(one.filled_ml)} on {day(desk.day(one.filled_at))}"),
        ("strength", f"{strength} by volume, true"),
        ("dissolved", solids),
        ("intensity", f"{liquid.intensity:.2f}; a rule of thumb, taste it"),
        ("batches", parts),
        ("allergens, EU", ", ".join(inside.allergens_eu) or "none that its list names"),
        ("allergens, US", ", ".join(inside.allergens_us) or "none that its list names"),
    ]
    if one.counted_at:
        told.insert(1, ("counted", day(desk.day(one.counted_at))))
    return told


def bottle_json(one: Bottle, inside: Inside) -> dict[str, object]:
    """Return a bottle for programs."""
    liquid = one.liquid
    return {
        "code": one.code,
        "name": one.tag.name,
        "batch": one.tag.batch,
        "state": word(one.state),
        "size_ml": one.size_ml,
        "filled_ml": one.filled_ml,
        "filled_at": iso(one.filled_at),
        "left_ml": one.left_ml,
        "left_ml_u": one.left_u_ml,
        "counted_at": iso(one.counted_at),
        "ended_at": iso(one.ended_at),
        "strength": liquid.strength,
        "strength_u": liquid.strength_u,
        "dissolved_g_ml": liquid.dissolved_g_ml,
        "intensity": liquid.intensity,
        "batches": [{"code": jar.code, "share": share} for jar, share in inside.jars],
        "allergens_eu": list(inside.allergens_eu),
        "allergens_us": list(inside.allergens_us),
        "cautions": [caution.code for caution in inside.cautions],
    }


def entry_row(desk: Desk, entry: BottleEntry, diary: tuple[BottleEntry, ...]) -> tuple[str, ...]:
    """Return a line of a bottle's diary."""
    undid = [f"{other.kind.value} taken back" for other in diary if other.act == entry.undoes]
    told = (*undid[:1], entry_line(entry), "taken back" if entry.undone else "")
    return line(entry, "; ".join(filter(None, told)), desk.zone)


def entry_json(entry: BottleEntry) -> dict[str, object]:
    """Return a line of a bottle's diary for programs."""
    weighing = entry.weighing
    return {
        **line_json(entry),
        "purpose": entry.purpose.value if entry.purpose else None,
        "volume_ml": entry.volume.value if entry.volume else None,
        "poured_ml": [part.volume.value for part in entry.poured],
        "typed": entry.typed,
        "now_g": weighing.now.value if weighing else None,
        "empty_g": weighing.empty.value if weighing and weighing.empty else None,
        "full_g": weighing.full.value if weighing and weighing.full else None,
    }
