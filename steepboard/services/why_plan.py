"""Why a plan says what it does beside its figures: preparing, tasting, what would bring more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from steepboard.domain.figures import one_to
from steepboard.domain.why import Input, Why
from steepboard.services import material, prep
from steepboard.services.why_charge import ADDING, GIVEN, OIML, PLANNED
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
    yield _jar(made)
    if len(made.order.spirits) > 1:
        yield from _made_on_the_spot(made)
    _, rule, source = RESULTS["next_time"]
    for offer in made.offers:
        pool = "Strength and flavour are those of all that is bottled then."
        yield Why(offer.way, offer.text, f"{rule} {pool}", f"{source}; {ADDING}")
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


def of_changes(changes: Iterable[str]) -> Iterator[Why]:
    """Yield an answer for each sentence on what is otherwise than in a past jar."""
    for sentence in changes:
        yield Why(
            "against the past jar",
            sentence,
            "What follows from the charge of the past jar and what was bottled of it, beside what "
            "follows from this plan.",
            "worked out: see ratio and expected, and the answers of the past jar",
        )


def _jar(made: Planned) -> Why:
    filled = Input("in the jar", f"{made.plan.fill_ml:.1f} mL", "worked out: see in the jar")
    return Why(
        "jar",
        prep.jar_of(made),
        "A jar is filled to nine tenths at most.",
        GIVEN if made.order.vessel_ml else "common practice, no source",
        (filled,),
    )


def _made_on_the_spot(made: Planned) -> Iterator[Why]:
    """Yield the answers for a strength that is made of a stronger spirit and water."""
    order = made.order
    room = Input("room", f"{order.spirits[0].temperature_c:g} °C", "given by you, else assumed")
    poured = tuple(Input(line.name, line.typed_volume, PLANNED) for line in order.spirits)
    yield Why(
        "by volume and by the grams",
        prep.poured(order),
        "Grams are the mL of each, times its density at the warmth of the room.",
        OIML,
        (*poured, room),
    )
    yield Why(
        "mixed",
        prep.mixed(order),
        "Grams of ethanol and of water add up; what they fill follows by the density of the two.",
        ADDING,
        (*poured, room),
    )
