"""Where cautions and the sums of limited substances come from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.catalogue.cautions import LAST_WORD
from steepboard.domain.limits import LIGHT_KG_PER_L, careful
from steepboard.domain.why import Input, Why

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from steepboard.catalogue.load import Caution
    from steepboard.domain.limits import DoseSum

_WEIGHTS = {"stop": "grave", "limit": "limited by law", "warn": "take care", "note": "good to know"}
"""From the severity of a caution to words for people."""


def of_doses(sums: Iterable[DoseSum], dose: str = "the dose is a house setting") -> tuple[Why, ...]:
    """Return an answer for each limited substance; `dose` says what the dose of it is."""
    return tuple(
        Why(
            f"{one.substance} in a drink",
            "not known" if one.mg_per_l is None else f"{careful(one.mg_per_l, up=True)} mg/L",
            "The most that the plants hold, as if all of it were in what is bottled, times the "
            f"dose of {one.dose_ml_per_l:.3g} mL for each litre of drink.",
            f"assumed, on the safe side; {dose}",
            (*_plants(one), *_limits(one)),
        )
        for one in sums
    )


def _plants(one: DoseSum) -> Iterator[Input]:
    for share in one.shares:
        most = "not known" if share.mg_per_g is None else f"{share.mg_per_g:g} mg/g"
        yield Input(f"{share.plant}, {share.mass_g:.4g} g", most, share.source)


def _limits(one: DoseSum) -> Iterator[Input]:
    """Yield each limit, the dose that keeps it, and what a litre weighs where a limit asks that."""
    for check in one.checks:
        limit, where = check.limit, f"{check.limit.place}, {check.limit.drink}"
        most = "no figure" if limit.value is None else f"{limit.value:g} {limit.unit}"
        yield Input(where, most, f"{limit.obtained}: {limit.source}")
        if check.most_ml_per_l:
            dose = f"{careful(check.most_ml_per_l, up=False)} mL in a litre"
            yield Input(f"{where}, most to pour", dose, "worked out, to the careful side")
    if any(check.limit.unit == "mg/kg" for check in one.checks):
        litre = f"{LIGHT_KG_PER_L:g} kg"
        yield Input("a litre of drink", litre, "assumed: as light as strong spirit, by OIML R 22")


def of_cautions(cautions: Iterable[Caution]) -> tuple[Why, ...]:
    """Return an answer for each caution; each ends with whose word comes first."""
    return tuple(
        Why(
            one.title,
            one.figures or _WEIGHTS[one.severity],
            f"{one.text} {LAST_WORD}",
            f"{one.obtained}: {one.authority}",
        )
        for one in cautions
    )
