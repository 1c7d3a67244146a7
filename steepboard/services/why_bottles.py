"""Why the figures of a bottle are what they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.bottles import BottleKind, Purpose
from steepboard.domain.figures import percent
from steepboard.domain.why import Input, Why
from steepboard.services import bottle_shelf
from steepboard.services.bottle_words import amount
from steepboard.services.why_charge import OIML

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from steepboard.domain.bottles import Bottle, BottleEntry
    from steepboard.domain.mixing import Liquid
    from steepboard.services.bottle_shelf import Inside
    from steepboard.services.desk import Desk
    from steepboard.services.stock import Stock

_BY_HAND = "given by you"
_MASSES = "masses add up, and volumes follow by density"


def of_bottle(
    desk: Desk, one: Bottle, inside: Inside, kind: Stock | None = None
) -> tuple[Why, ...]:
    """Return the answers for what a bottle holds, its strength, its solids and its intensity.

    With its `kind` also for the day by which the next jar is to be started.
    """
    return (
        holds(desk, one),
        *_of_liquid(one.liquid, inside),
        *(start_next(kind) if kind else ()),
    )


def holds(desk: Desk, one: Bottle) -> Why:
    """Return the answer for what a bottle holds."""
    live = [entry for entry in bottle_shelf.diary(desk, one) if not entry.undone]
    return Why(
        "mL left",
        f"{one.left_ml:.1f} ± {one.left_u_ml:.1f} mL",
        "What was filled and poured in, less what was drawn; a count by weighing or a "
        "correction begins anew. By weight: now less empty, divided by the density of the "
        "liquid. The ± of each reading adds up as squares; what a dropper is off by adds up "
        "plainly, for it is off alike each time.",
        _MASSES,
        tuple(_left(live)),
    )


def _of_liquid(liquid: Liquid, inside: Inside) -> tuple[Why, ...]:
    """Return the answers for what a liquid is, by the batches in it."""
    batches = tuple(
        Input(jar.code, f"{percent(share, 0)} of the volume", "as it was poured")
        for jar, share in inside.jars
    )
    return (
        Why(
            "strength",
            f"{percent(liquid.strength)} ± {percent(liquid.strength_u)}",
            "Of each batch as its straining was balanced, or read by hydrometer where that is "
            "surer; poured together, grams of ethanol and of water add up.",
            OIML,
            batches,
        ),
        Why(
            "dissolved",
            f"{1e3 * liquid.dissolved_g_ml:.1f} g/L",
            "What dissolved of the solids, or what was left of a dried sample; grams add up.",
            _MASSES,
            batches,
        ),
        Why(
            "intensity",
            f"{liquid.intensity:.2g}",
            "Grams of botanical to each mL bottled, weighed by strength; poured together, the "
            "mean by volume. It compares batches of one botanical and is no measure of taste.",
            "assumed, a rule of thumb",
            batches,
        ),
    )


def start_next(kind: Stock) -> Iterator[Why]:
    """Yield where the day comes from by which the next jar of a kind is to be charged."""
    """Yield the answer for the day of the next jar, where there is one."""
    if kind.start:
        yield Why(
            "start next",
            f"{kind.start.day:%a} {kind.start.day.day} {kind.start.day:%b}",
            "From today to where nothing, or less than is to stand, may be left; less what a jar "
            "takes until it is in bottles.",
            "worked out: use per week as a Gamma-Poisson rate that forgets slowly",
            tuple(Input(t.what, f"{t.days:+d} days", t.source) for t in kind.start.terms),
        )


def _left(live: Sequence[BottleEntry]) -> Iterator[Input]:
    """Yield what was filled in, drawn and poured in since what the bottle holds was last known."""
    known = [n for n, e in enumerate(live) if e.kind in (BottleKind.COUNT, BottleKind.CORRECT)]
    since = live[known[-1] :] if known else live
    for entry in since:
        if entry.kind is BottleKind.COUNT:
            yield Input("counted", amount(entry), "measured here, by the scale")
        elif entry.kind is not BottleKind.DRAW and amount(entry):
            yield Input(entry.kind.value, amount(entry), _BY_HAND)
    for purpose in Purpose:
        drawn = [e.volume for e in since if e.purpose is purpose and e.volume]
        if drawn:
            times = f"{len(drawn)} time{'s' * (len(drawn) != 1)}"
            total = sum(one.value for one in drawn)
            yield Input(f"drawn for {purpose.value}", f"{total:.4g} mL, {times}", _BY_HAND)
