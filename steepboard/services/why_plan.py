"""Why a plan says what it does beside its figures: preparing, tasting, what would bring more."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from steepboard.domain.figures import one_to
from steepboard.domain.why import Why
from steepboard.services import material
from steepboard.services.why_charge import GIVEN, PLANNED
from steepboard.services.why_findings import RESULTS

if TYPE_CHECKING:
    from steepboard.catalogue.load import Library
    from steepboard.services.plans import Planned


def beside(made: Planned, library: Library) -> Iterator[Why]:
    """Yield the answers for what a plan says beside its figures."""
    shelf = [material.known(line, library) for line in made.order.botanicals]
    for found in shelf:
        if found and found.preparation:
            source = found.preparation_source or GIVEN
            yield Why(f"prepare {found.name}", found.preparation, "As is usual for it.", source)
    tasted = next((one for one in shelf if one and one.taste_from_day is not None), None)
    yield Why(
        "taste",
        f"from day {made.taste_from_day}",
        f"From when it is usual for {tasted.name}." if tasted else "From the day after charging.",
        (tasted.days_source or GIVEN) if tasted else "assumed: nothing is known of it",
    )
    _, rule, source = RESULTS["next_time"]
    for offer in made.offers:
        yield Why(offer.way, f"{offer.brings_ml:.0f} mL more", rule, source)
    if made.instead:
        again = "The plan worked again with less left in the solids."
        yield Why("for as much as you want", made.instead, again, PLANNED)
    changed = made.rounded
    yield Why(
        "rounding",
        f"{changed.changes_ml:+.1f} mL, {one_to(changed.ratio)}".replace("-", "−"),
        f"The plan worked again with amounts to {changed.scale_step_g:g} g and "
        f"{changed.volume_step_ml:g} mL, less the exact one.",
        f"{PLANNED}; the steps are house settings",
    )
