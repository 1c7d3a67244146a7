"""Why a jar is stirred and tasted when it is, and what of it stands in bottles."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from steepboard.domain.figures import days, every
from steepboard.domain.records import State
from steepboard.domain.why import Input, Why
from steepboard.services import bottle_shelf
from steepboard.services.bottle_words import left, rest_line
from steepboard.services.rhythms import rhythm_of
from steepboard.services.why_bottles import holds
from steepboard.services.why_charge import CHARGED, GIVEN

if TYPE_CHECKING:
    from collections.abc import Iterator

    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk

_HOUSE = "house setting"


def of_rhythm(desk: Desk, jar: Jar) -> Iterator[Why]:
    """Yield the answers for how often a jar is stirred and tasted, as long as it is."""
    if jar.state not in (State.PLANNED, State.STEEPING):
        return
    rhythm, own = rhythm_of(desk, jar), jar.habit
    yield Why(
        "stir",
        f"every {every(rhythm.stir_every_days)}",
        "From the day after charging to the strain day.",
        CHARGED if own.stir_every_days is None else GIVEN,
    )
    first = CHARGED if jar.charge.taste_from_day else _HOUSE
    yield Why(
        "taste",
        f"from day {rhythm.taste_from_day}, every {every(rhythm.taste_every_days)}",
        "Counted from the day of charging.",
        first if own.taste_from_day is None else GIVEN,
        (
            Input(
                "every",
                days(rhythm.taste_every_days),
                _HOUSE if own.taste_every_days is None else GIVEN,
            ),
        ),
    )


def in_bottles(desk: Desk, jar: Jar) -> Iterator[Why]:
    """Yield the answers for what the bottles of a jar hold, and for what is left over."""
    found = bottle_shelf.of_jar(desk, jar)
    for one in found:
        yield replace(holds(desk, one), figure=f"mL left in {one.code}", value=left(one))
    rest = bottle_shelf.rest(desk, jar)
    if found and rest:
        recovered = _amount(rest.recovered_ml, rest.recovered_u_ml)
        bottled = _amount(rest.bottled_ml, rest.bottled_u_ml)
        yield Why(
            "left over",
            rest_line(jar.code, rest),
            "What was recovered, less what was filled into bottles.",
            "as it was read",
            (
                Input("recovered", recovered, "see recovered"),
                Input("bottled", bottled, "given by you"),
            ),
        )


def _amount(ml: float, u_ml: float) -> str:
    return f"{ml:.1f} ± {u_ml:.1f} mL"
