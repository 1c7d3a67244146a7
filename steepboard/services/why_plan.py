"""Why the figures of a plan, and what it says beside them, are what they are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from steepboard.domain.figures import one_to, percent, short
from steepboard.domain.why import Input, Why
from steepboard.services import material, prep, why_charge
from steepboard.services.why_charge import (
    ADDING,
    GIVEN,
    HOUSE_LINE,
    HOUSE_RULE,
    OIML,
    PLANNED,
    RATIO,
)
from steepboard.services.why_findings import RESULTS

if TYPE_CHECKING:
    from steepboard.catalogue.load import Library
    from steepboard.services.plans import Planned
    from steepboard.settings import Settings


def of_plan(made: Planned, settings: Settings, library: Library) -> Iterator[Why]:
    """Yield the answers for the figures of a plan, and for what stands beside them."""
    plan, order = made.plan, made.order
    separation = order.separation or settings.steep.separation
    all_of = why_charge.known(order, separation, settings, library, PLANNED)
    days = made.known["days"]
    yield _size(made, all_of)
    yield _ratio(made)
    yield from why_charge.of_liquor(plan.liquor, all_of)
    yield why_charge.fills_jar(plan.fill_ml, plan.liquor, all_of)
    yield from why_charge.of_expected(plan, plan.liquor, all_of)
    yield Why("steep", f"{days.value:.0f} days", "As long as is usual for it.", days.source)
    yield from _beside(made, library)


def _size(made: Planned, all_of: why_charge.Known) -> Why:
    plan, strong, rounded = made.plan, made.known["strength"], made.rounded
    rule = "The largest jar for which what you have is enough."
    if plan.want_ml is not None:
        rule = (
            "A jar scales with its botanical: what you want, and what filter and vessel keep, "
            "divided by what one gram brings after the solids held theirs."
        )
    inputs = (
        Input(
            "by scale and cylinder",
            f"{prep.weighed(made.order)}; {prep.poured(made.order)}",
            f"worked out, rounded to {rounded.scale_step_g:g} g and {rounded.volume_step_ml:g} mL: "
            "house settings",
        ),
        *_asked(made),
        *_parts(made),
        Input("ratio", one_to(plan.ratio), "worked out: see ratio"),
        Input("strength of the spirit", percent(strong.value), strong.source),
        *all_of.dryness,
        *all_of.held,
        all_of.kept,
        all_of.solids,
    )
    amounts = f"{plan.botanical_g:.1f} g, {plan.solvent_ml:.1f} mL"
    return Why("weigh and pour", amounts, rule, ADDING, inputs)


def _asked(made: Planned) -> Iterator[Input]:
    """Yield what a person wants or has."""
    wish = made.wish
    for name, value, unit in (
        ("wanted", wish.want_ml, "mL"),
        ("botanical there is", wish.have_g, "g"),
        ("spirit there is", wish.spirit_ml, "mL"),
        ("the jar holds", wish.vessel_ml, "mL"),
    ):
        if value is not None:
            yield Input(name, f"{short(value)} {unit}", GIVEN)
    if wish.made_from is not None:
        yield Input("strength that is poured", percent(wish.strength), GIVEN)


def _parts(made: Planned) -> Iterator[Input]:
    """Yield the parts by mass of several botanicals."""
    wish, lines = made.wish, made.order.botanicals
    shares = [line.mass_g for line in wish.lines]
    source = "as in the past jar" if shares else GIVEN
    shares = shares or [wish.parts, *(one.parts for one in wish.further)]
    if len(lines) > 1:
        for line, share in zip(lines, shares, strict=True):
            yield Input(f"parts of {line.name}", f"{share:g} of {sum(shares):g}", source)


def _ratio(made: Planned) -> Why:
    """Return the answer for the ratio that a plan goes by: given, as in a past jar, or usual."""
    wish, ratio = made.wish, one_to(made.plan.ratio)
    if wish.ratio is not None:
        return Why("ratio", ratio, RATIO, GIVEN)
    if wish.intensity is not None:
        rule = f"{RATIO} So many that each mL bottled is as intense as that of the past jar."
        past = Input(
            "intensity of the past jar", f"{wish.intensity:.2g}", "worked out: see intensity there"
        )
        return Why("ratio", ratio, rule, HOUSE_RULE, (past,))
    source = made.known["strength"].source if wish.made_from is None else GIVEN
    strength = Input("strength that is poured", percent(wish.strength), source)
    return Why("ratio", ratio, f"{RATIO} By the house rule: {HOUSE_LINE}", HOUSE_RULE, (strength,))


def _beside(made: Planned, library: Library) -> Iterator[Why]:
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
