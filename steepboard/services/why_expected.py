"""Why a reading of a straining is expected to lie where it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.expecting import CAME_BACK_U, LOST_U, MUD_U_ML, POURED_U_ML, Z_80
from steepboard.domain.figures import percent
from steepboard.domain.records import Measure, Separation
from steepboard.domain.why import Input, Why
from steepboard.services import straining
from steepboard.services.why_balance import MASSES, measured
from steepboard.services.why_charge import GUM, known

if TYPE_CHECKING:
    from collections.abc import Iterable

    from steepboard.domain.records import Jar, Reading
    from steepboard.services.desk import Desk

_LOST = Input("lost to the air, or spilt", f"0 ± {percent(LOST_U, 0)} of the liquor",
              "common practice, no source")  # fmt: skip
_VESSELS = Input("left in vessels before the filter", f"0 ± {POURED_U_ML:g} mL", "assumed")
_MUD = Input("mud that nobody measured", f"0 ± {MUD_U_ML:g} mL", "assumed")
_CAME_BACK = Input("stays of a rinse", f"0 ± {percent(CAME_BACK_U, 0)} of it", "assumed")
_DRIPPED = "The liquor less samples, less what the solids hold when they only drip."
_PRESSED = "What the solids hold when they only drip, less what they hold pressed."
_FILTERED = (
    "The liquor less samples, less what solids, filter and vessel hold; with it what came back of "
    "a rinse."
)
_RULES: dict[Measure, tuple[str, tuple[Input, ...]]] = {
    Measure.DRAINED: (_DRIPPED, (_LOST,)),
    Measure.DRAINED_MASS: (_DRIPPED, (_LOST,)),
    Measure.PRESSED: (_PRESSED, ()),
    Measure.PRESSED_MASS: (_PRESSED, ()),
    Measure.FILTERED: (_FILTERED, (_LOST, _VESSELS, _CAME_BACK)),
    Measure.FILTERED_MASS: (_FILTERED, (_LOST, _VESSELS, _CAME_BACK)),
    Measure.RECOVERED: (f"{_FILTERED} The mud is left out.", (_LOST, _VESSELS, _CAME_BACK, _MUD)),
    Measure.RECOVERED_MASS: (
        f"{_FILTERED} The mud is left out.",
        (_LOST, _VESSELS, _CAME_BACK, _MUD),
    ),
    Measure.MARC: ("What does not dissolve of the dry botanicals, and what they hold.", ()),
    Measure.DRY_MARC: (
        "What does not dissolve of the dry botanicals, and what is dissolved in what they hold.",
        (),
    ),
    Measure.FILTER_AFTER: ("The filter before, and what filter and vessel keep.", ()),
    Measure.GROSS_BEFORE: ("The closed jar after charging, less samples.", (_LOST,)),
    Measure.WASHED_OUT: ("All that was poured as a rinse.", (_CAME_BACK,)),
    Measure.RESIDUE: ("What is dissolved in each mL, times what is dried of it.", ()),
    Measure.HYDROMETER: ("What it shows in a liquor as dense as this one.", ()),
}
_MOVED = (
    "What else was read moves it and makes it surer, unless it lies far off itself. "
    f"{Z_80:.2f} times its ± to either side: it should hold 8 in 10 times."
)
_SOURCE = f"{MASSES}; {GUM}; what is read is taken as known, as any text on statistics has it"


def of_expected(
    desk: Desk, jar: Jar, measures: Iterable[Measure], extra: tuple[Reading, ...] = ()
) -> tuple[Why, ...]:
    """Return an answer for each of these readings of which anything is expected.

    `extra` are readings that were typed and not kept yet.
    """
    likely = straining.likely(desk, jar, extra)
    read = {one.measure: one for one in (*jar.readings, *extra)}
    usual = _usual(desk, jar)
    return tuple(
        Why(
            f"expected {measure.value}",
            straining.amount_between(measure, likely[measure].between(Z_80)),
            f"{_RULES[measure][0]} {_MOVED}",
            _SOURCE,
            (*(measured(r) for m, r in read.items() if m is not measure), *usual,
             *_RULES[measure][1]),
        )
        for measure in measures
        if measure in likely
    )  # fmt: skip


def _usual(desk: Desk, jar: Jar) -> tuple[Input, ...]:
    """Return what was charged, and what is usual of it; pressed solids also as they drip."""
    charge, library = jar.charge, desk.library_for(jar)
    ways = dict.fromkeys((Separation.DRIP, charge.separation))
    taken = [known(charge, way, desk.settings, library) for way in ways]
    held = (one for way in taken for one in way.held)
    return (*taken[0].liquor, *held, taken[0].kept)
