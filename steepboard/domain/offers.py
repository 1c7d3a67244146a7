"""What pressing or rinsing would bring on top, where the solids hold much of the liquid."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from steepboard.domain.expected import Held, held_ml
from steepboard.domain.figures import percent
from steepboard.domain.planning import Plan
from steepboard.domain.terms import Terms
from steepboard.domain.washing import rinse

_WORTH_ML = 1.0  # less than this nobody fetches a press for; assumed


@dataclass(frozen=True, slots=True)
class Offer:
    """One way to more; strengths by volume at 20 °C."""

    way: str
    """How it is done, say `pressed hard`."""
    brings_ml: float
    """On top of what the plan bottles."""
    strength: float
    """Of all that is bottled then."""
    intensity: float
    """Flavour of each mL, against that of the plan."""
    costs: str
    """What is paid for it, in words."""

    @property
    def text(self) -> str:
        """The offer in a sentence."""
        way = f"{self.way[:1].upper()}{self.way[1:]}"
        return f"{way}: about {self.brings_ml:.0f} mL more; {self.costs}."


def press_offers(
    plan: Plan, terms: Terms, harder: Mapping[str, Sequence[Held]]
) -> tuple[Offer, ...]:
    """Return what each harder way of straining would bring; `harder` goes by its name.

    That pressings are cloudier and harsher is common practice, no source.
    """
    found = []
    for way, held in harder.items():
        other = replace(terms.holding(held), ratio=plan.ratio)
        more_ml = other.expected(plan.botanical_g).expected_ml - plan.expected_ml
        costs = f"still {percent(plan.true_strength)}, but cloudier and harsher, so taste it apart"
        found.append(Offer(way, more_ml, plan.true_strength, 1.0, costs))
    return tuple(offer for offer in found if offer.brings_ml >= _WORTH_ML)


def rinse_offers(plan: Plan, terms: Terms) -> tuple[Offer, ...]:
    """Return what one rinse would bring, with the same solvent or with water.

    As much is poured as the solids hold (`washing.rinse`), or as all the liquid where they could
    hold more.
    """
    solids = terms.solids(plan.botanical_g)
    wash_ml = min(held_ml(solids, terms.held), plan.liquor_ml)
    if wash_ml < _WORTH_ML:
        return ()
    offers = []
    for what, strength in (("of the same spirit", terms.strength), ("of water", 0.0)):
        found = rinse(wash_ml, plan.true_strength, plan.expected_ml, wash_ml, strength)
        end = percent(found.pooled_strength)
        costs = (
            f"all of it then has {end} instead of {percent(plan.true_strength)}, "
            f"and each mL {percent(found.intensity, 0)} of the flavour"
        )
        way = f"rinsed once with {wash_ml:.0f} mL {what}"
        offers.append(Offer(way, found.extra_ml, found.pooled_strength, found.intensity, costs))
    return tuple(offers)
