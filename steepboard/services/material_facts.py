"""Every value that is known of a botanical, in plain words, with where it comes from."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from steepboard.catalogue.cautions import LAST_WORD, caution
from steepboard.catalogue.cautions import source as caution_source
from steepboard.catalogue.classes import class_label
from steepboard.catalogue.tables import GIVEN
from steepboard.domain.figures import one_to, percent
from steepboard.domain.records import Separation
from steepboard.services import material

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from steepboard.catalogue.library import Library
    from steepboard.catalogue.records import Botanical, Estimate, Sourced

STRENGTHS = ("none", "slight", "clear", "strong")
"""Words for heat and bitterness from 0 to 3."""
_HOLDS = {
    Separation.DRIP: "holds, dripped out",
    Separation.HAND: "holds, pressed by hand",
    Separation.PRESS: "holds, pressed hard",
}


class Fact(NamedTuple):
    """One value in words, and its source."""

    label: str
    text: str
    source: str


def facts(library: Library, botanical: Botanical) -> tuple[Fact, ...]:
    """Return every value of a botanical with its source, in the order a person wants them.

    Of what is never to be steeped nothing is told that one would steep by.
    """
    if botanical.use == "never":
        return (*_identity(botanical), *_to_mind(botanical))
    return (*_identity(botanical), *_steep(botanical), *_figures(library, botanical),
            *_taste(botanical), *_to_mind(botanical))  # fmt: skip


def short(botanical: Botanical) -> str:
    """Return what matters of a botanical in one line: ratio, days, and how it may be used."""
    if botanical.use == "never":
        return "do not steep it"
    told = (_span_of(one_to, botanical.ratio_min, botanical.ratio_max), _days(botanical))
    use = "" if botanical.use == "usual" else botanical.use
    return ", ".join(filter(None, (*told, use))) or class_label(
        botanical.material_class, botanical.fresh
    )


def _identity(one: Botanical) -> Iterator[Fact]:
    told = one.identity_source or GIVEN
    if one.latin:
        yield Fact("Latin", one.latin, told)
    if one.part or one.form:
        yield Fact("part", ", ".join(filter(None, (one.part, one.form))), told)
    if one.aliases:
        yield Fact("also called", ", ".join(one.aliases), told)
    state = "fresh" if one.fresh else "dried"
    label = class_label(one.material_class, one.fresh)
    yield Fact("kind", f"{label} ({one.material_class}, {state})", told)


def _steep(one: Botanical) -> Iterator[Fact]:
    if one.preparation:
        yield Fact("prepare", one.preparation, one.preparation_source)
    if ratio := _span_of(one_to, one.ratio_min, one.ratio_max):
        yield Fact("ratio", f"{ratio}, grams to mL", one.ratio_source)
    if strength := _span_of(lambda a: percent(a, 0), one.strength_min, one.strength_max):
        yield Fact("spirit", f"{strength} by volume", one.strength_source)
    if days := _days(one):
        yield Fact("days", days, one.days_source)
    if one.taste_from_day is not None:
        yield Fact("taste from", _after(one.taste_from_day), one.days_source)


def _figures(library: Library, one: Botanical) -> Iterator[Fact]:
    line = material.weighed(one.id, 1.0, "", library=library)
    water, soluble = library.dryness(line)
    yield Fact("water", _known(water, one.moisture), water.source)
    yield Fact("dissolves", f"{_known(soluble, one.soluble)} of the dry mass", soluble.source)
    for way, label in _HOLDS.items():
        held = library.absorption(line, way)
        basis = "dry g" if held.per_dry else "g as charged"
        yield Fact(label, f"{held.mean:.2g} ± {held.sd:.2g} mL per {basis}", held.source)


def _taste(one: Botanical) -> Iterator[Fact]:
    for label, score in (("heat", one.pungency), ("bitterness", one.bitterness)):
        if score is not None:
            yield Fact(label, f"{STRENGTHS[score]} ({score} of 3)", one.taste_source)


def _to_mind(one: Botanical) -> Iterator[Fact]:
    if one.allergen_source:
        for label, named in (("EU", one.allergens_eu), ("US", one.allergens_us)):
            text = ", ".join(named) or "none of the list"
            yield Fact(f"allergens, {label}", text, one.allergen_source)
    for code in one.cautions:
        found = caution(code)
        last = f" {LAST_WORD}" if code == one.cautions[-1] else ""
        yield Fact("mind", f"{found.title}. {found.text}{last}", caution_source(found))
    if one.use != "usual":
        yield Fact("use", one.use, one.use_source)
    soft = "It is soft and does not keep." if one.fresh_soft else ""
    for label, text in (("fresh", one.fresh_note or soft), ("note", one.note)):
        if text:
            yield Fact(label, text, one.use_source)


def _days(one: Botanical) -> str:
    """Return `2 to 12 days, usually 6`; each with its unit where one of them is in hours."""
    known = [days for days in (one.days_min, one.days_max, one.days_typical) if days is not None]
    in_days = len(known) == 3 and min(known) >= 1.0 and one.days_min != one.days_max
    if in_days:
        low, high, usual = known
        return f"{low:g} to {lasting(high)}, usually {usual:g}"
    span = _span_of(lasting, one.days_min, one.days_max)
    usually = "" if one.days_typical is None else f"usually {lasting(one.days_typical)}"
    return ", ".join(filter(None, (span, usually)))


def lasting(days: float) -> str:
    """Return a length in days, or in hours where it is less than one."""
    if days < 1:
        return f"{max(24 * days, 1):.0f} h"
    return f"{days:g} day{'s' * (days != 1)}"


def _after(days: float) -> str:
    return f"{lasting(days)} on" if days < 1 else f"day {days:g}"


def _span_of(written: Callable[[float], str], low: float | None, high: float | None) -> str:
    """Return `low to high`, or one of them where there is no other."""
    ends = (written(value) for value in (low, high) if value is not None)
    return " to ".join(dict.fromkeys(ends))


def _known(now: Estimate, usual: Sourced) -> str:
    """Return a figure with its range or, where it was measured here, with its ±."""
    if now.source == usual.source:
        return _range(usual)
    return f"{percent(now.value)} ± {percent(now.u)}"


def _range(figure: Sourced) -> str:
    return f"{percent(figure.value)} ({percent(figure.low)} to {percent(figure.high)})"
