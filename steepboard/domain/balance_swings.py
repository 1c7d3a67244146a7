"""The independent causes of doubt of a strain balance, each as a case with it high and with it low.

One way of pressing errs the same way with every botanical, so all their priors move at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from math import inf
from typing import Any

from steepboard.domain.balance_work import Case
from steepboard.domain.readings import Measured
from steepboard.domain.swings import charge_swings, ends

_SHARES = frozenset({"hydrometer", "wash_strength"})  # readings that are at most 1


def swings(
    case: Case, kept_u_ml: float, solids_ml_per_g_u: float
) -> Iterator[tuple[Case, Case, float]]:
    """Yield the case with one cause high, with it low, and what their difference counts."""
    for high, low, weight in charge_swings(case.solids, case.pours):
        yield _charged(case, *high), _charged(case, *low), weight
    for field in fields(case.readings):
        reading: Measured | None = getattr(case.readings, field.name)
        ceiling = 1.0 if field.name in _SHARES else inf
        if reading is None:
            continue
        for most, least, weight in ends(reading.value, reading.u, ceiling):
            more, less = replace(reading, value=most), replace(reading, value=least)
            yield with_reading(case, field.name, more), with_reading(case, field.name, less), weight
    firmer = tuple(replace(h, ml_per_g=h.ml_per_g + h.u) for h in case.held)
    yield replace(case, held=firmer), case, 1.0
    yield replace(case, kept_ml=case.kept_ml + kept_u_ml), case, 1.0
    for most, least, weight in ends(case.solids_ml_per_g, solids_ml_per_g_u):
        more_room, less_room = (replace(case, solids_ml_per_g=v) for v in (most, least))
        yield more_room, less_room, weight


def with_reading(case: Case, field: str, reading: Measured) -> Case:
    """Return the case with another value of one reading."""
    change: dict[str, Any] = {field: reading}
    return replace(case, readings=replace(case.readings, **change))


def _charged(case: Case, solids: Any, pours: Any) -> Case:
    return replace(case, solids=solids, pours=pours)
