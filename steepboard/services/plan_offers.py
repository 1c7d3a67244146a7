"""What would bring more out of a planned jar whose solids hold much of its liquid."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from steepboard.domain.expected import held_ml
from steepboard.domain.offers import press_offers, rinse_offers
from steepboard.domain.plan_findings import yield_findings
from steepboard.domain.planning import plan_for_yield
from steepboard.domain.records import Separation
from steepboard.errors import NoAnswer
from steepboard.services import material

if TYPE_CHECKING:
    from collections.abc import Mapping

    from steepboard.catalogue.load import Library
    from steepboard.domain.expected import Held
    from steepboard.domain.offers import Offer
    from steepboard.domain.planning import Plan, Terms
    from steepboard.domain.records import BotanicalLine


def harder_ways(
    lines: tuple[BotanicalLine, ...], separation: Separation, library: Library
) -> dict[str, tuple[Held, ...]]:
    """Return what the botanicals hold by each harder way of straining, by its name."""
    ways = list(Separation)
    return {
        way.value: tuple(material.held_of(line, way, None, library)[0] for line in lines)
        for way in ways[ways.index(separation) + 1 :]
    }


def more_of(plan: Plan, terms: Terms, harder: Mapping[str, tuple[Held, ...]]) -> tuple[Offer, ...]:
    """Return what pressing and rinsing would bring; nothing where enough is bottled as it is.

    `harder` is what `harder_ways` returns.
    """
    if not yield_findings(plan.expected_ml, plan.solvent_ml):
        return ()
    return (*press_offers(plan, terms, harder), *rinse_offers(plan, terms))


def instead_of(plan: Plan, terms: Terms, harder: Mapping[str, tuple[Held, ...]]) -> str:
    """Return in plain sentences what else bottles what was wanted, where much is held."""
    if plan.want_ml is None or not yield_findings(plan.expected_ml, plan.solvent_ml):
        return ""
    return would_do(plan.want_ml, replace(terms, ratio=plan.ratio), harder)


def would_do(want_ml: float, terms: Terms, harder: Mapping[str, tuple[Held, ...]]) -> str:
    """Return in plain sentences how what the solids would hold can be bottled all the same."""
    told = []
    for way, held in harder.items():
        try:
            plan = plan_for_yield(want_ml, terms.holding(held))
        except NoAnswer:
            continue
        told.append(f"{way.capitalize()}, {_amounts(plan)} would do.")
    nothing = [replace(held, ml_per_g=0.0) for held in terms.held]
    loose = plan_for_yield(want_ml, terms.holding(nothing))
    wash_ml = held_ml(terms.solids(loose.botanical_g), terms.held)
    holds_all = wash_ml >= loose.liquor_ml
    all_held = " Before that nothing drains off: they hold it all." if holds_all else ""
    told.append(
        f"Or take {_amounts(loose)}, and rinse the spent solids with {wash_ml:.0f} mL "
        f"of the same spirit.{all_held}"
    )
    return " ".join(told)


def _amounts(plan: Plan) -> str:
    return f"{plan.botanical_g:.0f} g in {plan.solvent_ml:.0f} mL"
