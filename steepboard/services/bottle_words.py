"""What is said of bottles wherever they are shown, and what the lines of their diaries say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain import figures
from steepboard.domain.bottles import BottleKind, BottleState
from steepboard.domain.figures import short
from steepboard.services.bottle_shelf import contained

if TYPE_CHECKING:
    from steepboard.domain.bottles import Bottle, BottleEntry
    from steepboard.services.bottle_shelf import Inside, Rest
    from steepboard.services.bottles import Counted
    from steepboard.services.formulas import Blend


def left(one: Bottle) -> str:
    """Return what a bottle holds: `62.0 ± 0.8 of 100 mL`, or how it ended."""
    if one.state is not BottleState.STANDING:
        return one.state.value
    return f"{one.left_ml:.1f} ± {one.left_u_ml:.1f} of {short(one.size_ml)} mL"


def short_cautions(inside: Inside) -> str:
    """Return the allergens and the titles of the botanicals' own other cautions, in one run."""
    allergens = contained((inside,))
    titles = [one.title for one in inside.own_cautions if not one.code.startswith("ALLERGEN")]
    told = [f"allergens: {', '.join(allergens)}" if allergens else "", *titles]
    return "; ".join(filter(None, told))


def contains(blend: Blend) -> str:
    """Return the sentence that names the allergens of a blend; nothing where it has none."""
    return f"Contains {', '.join(blend.allergens)}." if blend.allergens else ""


def rest_line(code: str, rest: Rest) -> str:
    """Return what of a jar is left over once bottled."""
    if rest.left_ml < -2.0 * rest.left_u_ml:
        return f"More is bottled of {code} than was recovered, by {-rest.left_ml:.1f} mL."
    return f"Of {code} {max(rest.left_ml, 0.0):.1f} ± {rest.left_u_ml:.1f} mL are left over."


def counted_line(found: Counted) -> str:
    """Return what a count found, beside what the diary had told."""
    one = found.bottle
    before = f"the diary had {found.expected_ml:.1f} ± {found.expected_u_ml:.1f} mL"
    line = f"{one.code} holds {one.left_ml:.1f} ± {one.left_u_ml:.1f} mL; {before}"
    if not found.is_off:
        return f"{line}, which agrees."
    less = "less" if found.off_ml < 0 else "more"
    return f"{line}: {abs(found.off_ml):.1f} mL {less}, beyond what the readings explain."


def entry_line(entry: BottleEntry) -> str:
    """Return what a line of a diary tells beside its kind."""
    told = (f"for {entry.purpose.value}" if entry.purpose else "", amount(entry), entry.note)
    return "; ".join(filter(None, told))


def amount(entry: BottleEntry) -> str:
    """Return what a line is about: what was drawn, poured in, or weighed."""
    if entry.kind is BottleKind.COUNT and entry.weighing:
        other = entry.weighing.empty or entry.weighing.full
        which = "empty" if entry.weighing.empty else "full"
        return f"{entry.weighing.now.value:g} g, {which} {other.value:g} g" if other else ""
    if entry.volume:
        return entry.typed or f"{figures.amount(entry.volume.value)} mL"
    poured = sum(part.volume.value for part in entry.poured)
    return f"{figures.amount(poured)} mL" if poured else ""
