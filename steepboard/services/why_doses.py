"""Why the figures of a house dose are what they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.figures import percent, short
from steepboard.domain.why import Input, Why
from steepboard.services.why_bench import sample
from steepboard.services.why_blend import RULE_OF_THUMB
from steepboard.services.why_cautions import of_doses
from steepboard.services.why_charge import ADDING, GIVEN, OIML
from steepboard.services.why_findings import of_findings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from steepboard.domain.dosing import Counted, HouseDose
    from steepboard.services.doses import DoseFor


def of_kept(one: HouseDose) -> tuple[Why, ...]:
    """Return the answers for a house dose as it was settled."""
    settled = Why(
        one.name,
        f"{one.volume_ml:.3g} mL of {one.of}",
        "As it was settled; with a bottle of another intensity it is converted.",
        GIVEN,
        (Input("intensity it was settled with", f"{one.intensity:.3g}", RULE_OF_THUMB),),
    )
    return (settled, *((sample(one.drink, f"drink of {one.name}"),) if one.drink else ()))


def of_dose(made: DoseFor) -> tuple[Why, ...]:
    """Return the answers for a dose as it is poured from one bottle."""
    dose, code = made.dose, made.bottle.code
    here = made.bottle.liquid.intensity
    return (
        Why(
            dose.name,
            f"{made.volume_ml:.3g} mL",
            "The dose as it was settled, times the intensity it was settled with, divided by that "
            "of this bottle.",
            RULE_OF_THUMB,
            (
                Input("settled as", f"{dose.volume_ml:.3g} mL", GIVEN),
                Input("intensity it was settled with", f"{dose.intensity:.3g}", RULE_OF_THUMB),
                Input(
                    f"intensity of {code}", f"{here:.3g}", "worked out: see intensity of the bottle"
                ),
            ),
        ),
        _whole("drops", made, made.drops),
        _whole("dashes", made, made.dashes),
        *_drink(made),
        *of_findings(made.findings),
        *of_doses(made.limits, f"the dose is {dose.name}"),
    )


def _whole(words: str, made: DoseFor, found: Counted) -> Why:
    size = found.portion
    return Why(
        f"{words} of {made.dose.name}",
        f"{found.whole}{found.said_off}",
        f"The dose divided by what one {size.tool.value} holds, as a whole number, one at least.",
        "worked out: see the dose",
        (
            Input("dose", f"{made.volume_ml:.3g} mL", f"see {made.dose.name}"),
            Input(
                f"a {size.tool.value}", f"{size.each_ml:.3g} mL ± {percent(size.u, 0)}", size.source
            ),
        ),
    )


def _drink(made: DoseFor) -> Iterator[Why]:
    """Yield the answers for what a dose brings into its drink, where that is known."""
    added, drink, name = made.added, made.dose.drink, made.dose.name
    if added is None or drink is None:
        return
    liquid, code = made.bottle.liquid, made.bottle.code
    strength = f"{percent(liquid.strength)} ± {percent(liquid.strength_u)}"
    dose = Input("dose", f"{made.volume_ml:.3g} mL", f"see {name}")
    poured = (
        dose,
        Input(f"strength of {code}", strength, "worked out: see strength of the bottle"),
    )
    before = Input("drink", f"{short(drink.volume_ml)} mL of {percent(drink.strength)}", GIVEN)
    yield Why(
        f"alcohol of {name}",
        f"{added.ethanol_ml:.2g} mL, {added.ethanol_g:.2g} g",
        "The dose times its strength; in grams by the density of ethanol.",
        OIML,
        poured,
    )
    yield Why(
        f"drink with {name}",
        f"from {percent(added.strength_before)} to {percent(added.strength_after)}",
        "Grams of ethanol and of water of drink and dose add up; the strength follows by density.",
        ADDING,
        (before, *poured),
    )
    yield Why(
        f"in a litre, {name}",
        f"{added.ml_per_l:.3g} mL",
        "The mL of the dose, for each litre of the drink with it.",
        ADDING,
        (before, dose),
    )
