"""A row of a file as a botanical: units, ranges and codes are checked on the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from steepboard.catalogue.allergens import named_on, on_lists
from steepboard.catalogue.cautions import caution_codes
from steepboard.catalogue.classes import class_defaults, classes
from steepboard.catalogue.records import Botanical, Sourced
from steepboard.catalogue.tables import GIVEN, Row, nearest, source
from steepboard.domain.own import OwnBotanical

USES = ("usual", "with care", "poor choice", "never")
_YES_NO = ("yes", "no")
_RATIO = ("ratio_min", "ratio_max")
_STRENGTH = ("strength_min_percent", "strength_max_percent")
_DAYS = ("days_min", "days_typical", "days_max")
_TASTE = ("pungency", "bitterness")
_ALLERGENS = ("allergens_eu", "allergens_us")
_IDENTITY = ("name", "latin", "part", "form", "class", "fresh", "aliases")
_USE = ("use", "fresh_soft", "fresh_note", "note")
_FIGURES = ("water", "soluble")
_TEXTS = ("latin", "part", "form", "preparation", "fresh_note", "note")
_ADDED = (*_ALLERGENS, "cautions", "aliases")
"""What an entry in the record adds to and takes nothing away from."""


def _span(stem: str) -> tuple[str, str, str]:
    return f"{stem}_low_percent", f"{stem}_percent", f"{stem}_high_percent"


GROUPS: Mapping[str, tuple[str, ...]] = {
    "identity_source": _IDENTITY,
    "preparation_source": ("preparation",),
    "ratio_source": _RATIO,
    "strength_source": _STRENGTH,
    "days_source": (*_DAYS, "taste_from_day"),
    **{f"{stem}_source": _span(stem) for stem in _FIGURES},
    "taste_source": _TASTE,
    "allergen_source": _ALLERGENS,
    "cautions_source": ("cautions",),
    "use_source": _USE,
}
"""From the column of each source to the columns it speaks of."""
COLUMNS = ("id", *(name for group, values in GROUPS.items() for name in (*values, group)))
_FIGURE_SOURCES = tuple(f"{stem}_source" for stem in _FIGURES)
# Wide enough for any sensible steep; assumed.
_MOST_RATIO, _MOST_DAYS = 1000.0, 400.0
# Of a value given without its range, in points; assumed, as for the published ones.
_HALF_DRIED, _HALF_FRESH = 2.0, 3.0


def botanical(id_: str, row: Row, sources: Mapping[str, str]) -> Botanical:
    """Return the botanical of a row; raises BadCatalogue."""
    material_class = row.one_of("class", classes(), "other")
    fresh = row.one_of("fresh", _YES_NO, "no") == "yes"
    moisture, soluble = class_defaults(material_class, fresh)
    told = {group: _source(row, group, values, sources) for group, values in GROUPS.items()}
    water_source, soluble_source = told.pop("water_source"), told.pop("soluble_source")
    ratio_min, ratio_max = row.rising(_RATIO, 0.1, _MOST_RATIO)
    strength_min, strength_max = (_fraction(n) for n in row.rising(_STRENGTH, 0, 100))
    days_min, days_typical, days_max = row.rising(_DAYS, 0, _MOST_DAYS)
    pungency, bitterness = (_score(row, column) for column in _TASTE)
    allergens_eu, allergens_us = (_allergens(row, place) for place in range(2))
    return Botanical(
        id=id_,
        name=row["name"] or id_,
        material_class=material_class,
        aliases=_added(row, "aliases"),
        fresh=fresh,
        moisture=_figure(row, "water", moisture, water_source, material_class, fresh),
        soluble=_figure(row, "soluble", soluble, soluble_source, material_class, fresh),
        ratio_min=ratio_min,
        ratio_max=ratio_max,
        strength_min=strength_min,
        strength_max=strength_max,
        days_min=days_min,
        days_typical=days_typical,
        days_max=days_max,
        taste_from_day=row.rising(("taste_from_day", "days_max"), 0, _MOST_DAYS)[0],
        pungency=pungency,
        bitterness=bitterness,
        allergens_eu=allergens_eu,
        allergens_us=allergens_us,
        cautions=_cautions(row),
        use=row.one_of("use", USES, "usual"),
        fresh_soft=row.one_of("fresh_soft", _YES_NO, "no") == "yes",
        own=row.own,
        **{column: row[column] for column in _TEXTS},
        **told,
    )


def _figure(
    row: Row, stem: str, of_class: Sourced, told: str, material_class: str, fresh: bool
) -> Sourced:
    low_column, column, high_column = _span(stem)
    value = row.number(column, 0, 99.9)
    if value is None:
        about = f"{of_class.source}; the figure of its class, {material_class}"
        return Sourced(of_class.value, of_class.low, of_class.high, about)
    layer = row.top((column,))
    assert layer  # noqa: S101 - the number stands somewhere
    span = row.down_to(layer)  # a range belongs to the value it was given with
    low, high = span.number(low_column, 0, value), span.number(high_column, value, 99.9)
    half = _HALF_FRESH if fresh else _HALF_DRIED
    if low is None and high is None and told == GIVEN:
        told = f"{GIVEN}; range assumed"
    low = max(value - half, 0.0) if low is None else low
    high = min(value + half, 99.9) if high is None else high
    return Sourced(value / 100, low / 100, high / 100, told)


def _fraction(percent: float | None) -> float | None:
    return None if percent is None else percent / 100


def _score(row: Row, column: str) -> int | None:
    value = row.number(column, 0, 3)
    if value is not None and value % 1:
        raise row.fault(column, f"{value:g} must be a whole number from 0 to 3")
    return None if value is None else int(value)


def _cautions(row: Row) -> tuple[str, ...]:
    codes = _added(row, "cautions")
    if unknown := next((code for code in codes if code not in caution_codes()), None):
        near = nearest(unknown, tuple(caution_codes()))
        raise row.fault("cautions", f"“{unknown}” is not a caution. {near}")
    return codes


def _allergens(row: Row, place: int) -> tuple[str, ...]:
    column = _ALLERGENS[place]
    names = _added(row, column)
    if unknown := next((name for name in names if name not in named_on(place)), None):
        told = f"“{unknown}” is not on this list. {nearest(unknown, named_on(place))}"
        raise row.fault(column, told)
    return names


def _added(row: Row, column: str) -> tuple[str, ...]:
    """Return a list in which what the record says is added to what lies under it."""
    if row.line is not None or row.under is None:
        return row.listed(column)
    own = replace(row, under=None).listed(column)
    return tuple(dict.fromkeys((*_added(row.under, column), *own)))


def _source(row: Row, group: str, values: Sequence[str], sources: Mapping[str, str]) -> str:
    """Return where a group of values comes from; of values given in part, of the rest too."""
    told = source(row, group, values, sources)
    if told != GIVEN or group in _FIGURE_SOURCES:
        return told
    top = row.top(values)
    if top is None or top.under is None:
        return told
    under = top.under
    said = [column for column in values if top.cells.get(column, "") not in ("", under[column])]
    if not said:
        return _source(under, group, values, sources)
    rest = any(under[column] for column in values if column in _ADDED or column not in said)
    return f"{told}; the rest {_source(under, group, values, sources)}" if rest else told


def own_rows(own: Iterable[OwnBotanical]) -> dict[str, Row]:
    """Return what a shelf keeps of botanicals as rows."""
    return {one.id: Row(f"your botanical {one.name}", None, _cells(one), own=True) for one in own}


def _cells(one: OwnBotanical) -> dict[str, str]:
    allergens_eu, allergens_us = on_lists(one.allergens)
    told: dict[str, str | float | None] = {
        "id": one.id,
        "name": one.name,
        "latin": one.latin,
        "part": one.part,
        "form": one.form,
        "class": one.material_class,
        "fresh": _yes_no(one.fresh),
        "aliases": "; ".join(one.aliases),
        "preparation": one.preparation,
        "ratio_min": one.ratio_min,
        "ratio_max": one.ratio_max,
        "days_min": one.days_min,
        "days_typical": one.days_typical,
        "days_max": one.days_max,
        "taste_from_day": one.taste_from_day,
        "pungency": one.pungency,
        "bitterness": one.bitterness,
        "allergens_eu": "; ".join(allergens_eu),
        "allergens_us": "; ".join(allergens_us),
        "cautions": "; ".join(one.cautions),
        "use": one.use,
        "fresh_soft": _yes_no(one.fresh_soft),
        "fresh_note": one.fresh_note,
        "note": one.note,
        **_percents(one),
    }
    return {
        column: value if isinstance(value, str) else f"{value:.10g}"
        for column, value in told.items()
        if value is not None
    }


def _percents(one: OwnBotanical) -> dict[str, float | None]:
    fractions = {
        "strength_min_percent": one.strength_min,
        "strength_max_percent": one.strength_max,
        "water_low_percent": one.moisture_low,
        "water_percent": one.moisture,
        "water_high_percent": one.moisture_high,
        "soluble_low_percent": one.soluble_low,
        "soluble_percent": one.soluble,
        "soluble_high_percent": one.soluble_high,
    }
    return {
        column: None if fraction is None else 100 * fraction
        for column, fraction in fractions.items()
    }


def _yes_no(flag: bool | None) -> str | None:
    return None if flag is None else ("no", "yes")[flag]
