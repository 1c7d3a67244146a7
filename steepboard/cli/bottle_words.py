"""Bottles in words for people and in JSON for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.cli.render import day, days, iso, volume, word
from steepboard.domain.bottles import BottleKind, BottleState
from steepboard.domain.figures import percent

if TYPE_CHECKING:
    from datetime import date

    from steepboard.domain.bottles import Bottle, BottleEntry
    from steepboard.services.bottle_shelf import Inside, Rest
    from steepboard.services.bottles import Counted
    from steepboard.services.desk import Desk


def left(one: Bottle) -> str:
    """Return what a bottle holds: `62.0 ± 0.8 of 100 mL`, or how it ended."""
    if one.state is not BottleState.STANDING:
        return one.state.value
    return f"{one.left_ml:.1f} ± {one.left_u_ml:.1f} of {one.size_ml:g} mL"


def short_cautions(inside: Inside) -> str:
    """Return the allergens and the titles of the botanicals' own other cautions, in one run."""
    allergens = dict.fromkeys((*inside.allergens_eu, *inside.allergens_us))
    titles = [one.title for one in inside.own_cautions if not one.code.startswith("ALLERGEN")]
    told = [f"allergens: {', '.join(allergens)}" if allergens else "", *titles]
    return "; ".join(filter(None, told))


def row(desk: Desk, one: Bottle, inside: Inside, today: date) -> tuple[str, ...]:
    """Return a bottle as a row of the list."""
    filled = desk.day(one.filled_at)
    return (
        one.code,
        left(one),
        percent(one.liquid.strength),
        f"{day(filled)}, {days((today - filled).days)}",
        one.tag.name,
        short_cautions(inside),
    )


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


def rest_line(code: str, rest: Rest) -> str:
    """Return what of a jar is left over once bottled."""
    if rest.left_ml < -2.0 * rest.left_u_ml:
        return f"More is bottled of {code} than was recovered, by {volume(-rest.left_ml)}."
    return f"Of {code} {max(rest.left_ml, 0.0):.1f} ± {rest.left_u_ml:.1f} mL are left over."


def counted_line(found: Counted) -> str:
    """Return what a count found, beside what the diary had told."""
    one = found.bottle
    before = f"the diary had {found.expected_ml:.1f} ± {found.expected_u_ml:.1f} mL"
    line = f"{one.code} holds {one.left_ml:.1f} ± {one.left_u_ml:.1f} mL; {before}"
    if not found.is_off:
        return f"{line}, which agrees."
    less = "less" if found.off_ml < 0 else "more"
    return f"{line}: {volume(abs(found.off_ml))} {less}, beyond what the readings explain."


def entry_row(desk: Desk, entry: BottleEntry, diary: tuple[BottleEntry, ...]) -> tuple[str, ...]:
    """Return a line of a bottle's diary."""
    at = entry.at.astimezone(desk.zone)
    undid = [other.kind.value for other in diary if other.act == entry.undoes]
    told = (
        f"for {entry.purpose.value}" if entry.purpose else "",
        _amount(entry),
        f"{undid[0]} taken back" if undid else "",
        entry.note,
        "taken back" if entry.undone else "",
    )
    when = f"{at:%Y-%m-%d %H:%M}"
    return when, entry.kind.value, entry.initials, "; ".join(filter(None, told))


def entry_json(entry: BottleEntry) -> dict[str, object]:
    """Return a line of a bottle's diary for programs."""
    weighing = entry.weighing
    return {
        "act": entry.act,
        "kind": word(entry.kind),
        "at": iso(entry.at),
        "source": word(entry.source),
        "initials": entry.initials,
        "note": entry.note,
        "undoes": entry.undoes,
        "undone": entry.undone,
        "purpose": entry.purpose.value if entry.purpose else None,
        "volume_ml": entry.volume.value if entry.volume else None,
        "poured_ml": [part.volume.value for part in entry.poured],
        "typed": entry.typed,
        "now_g": weighing.now.value if weighing else None,
        "empty_g": weighing.empty.value if weighing and weighing.empty else None,
        "full_g": weighing.full.value if weighing and weighing.full else None,
    }


def _amount(entry: BottleEntry) -> str:
    if entry.kind is BottleKind.COUNT and entry.weighing:
        other = entry.weighing.empty or entry.weighing.full
        which = "empty" if entry.weighing.empty else "full"
        return f"{entry.weighing.now.value:g} g, {which} {other.value:g} g" if other else ""
    if entry.volume:
        return entry.typed or f"{entry.volume.value:.4g} mL"
    poured = sum(part.volume.value for part in entry.poured)
    return f"{poured:.4g} mL" if poured else ""
