"""Why the figures of a whole blend, of a formula, and of spirits poured together are so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.blending import APPROACH, FIRST
from steepboard.domain.figures import percent
from steepboard.domain.why import Input, Why
from steepboard.services.prep import shrinks
from steepboard.services.why_bench import sample
from steepboard.services.why_cautions import of_cautions, of_doses
from steepboard.services.why_charge import GIVEN, OIML
from steepboard.services.why_findings import of_findings

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from steepboard.domain import alcohol
    from steepboard.domain.blending import Formula, Made, Pour, Scaled
    from steepboard.services.formulas import Blend

RULE_OF_THUMB = "assumed, a rule of thumb: taste"
_ADDING = f"masses add up, volumes do not; {OIML}"
_PART = {True: "common practice, no source", False: "assumed: half of what is missing, then in two"}
"""Who says how much goes in at once, of what goes in first and of the rest."""


def of_blend(blend: Blend) -> tuple[Why, ...]:
    """Return the answers for all that is shown of a blend."""
    made = blend.scaled
    return (
        sample(made.base, "the base"),
        *(answer for pour in made.pours for answer in _pour(pour, made.base.volume_ml)),
        *_additions(made),
        *_made("after the first", made, made.first, FIRST),
        *_made("in the end", made, made.whole, 1.0),
        *of_findings(blend.findings),
        *of_doses(blend.limits, "the dose is what the blend takes"),
        *of_cautions(blend.cautions),
    )


def of_formula(one: Formula) -> tuple[Why, ...]:
    """Return the answers for a blend as it is kept."""
    return (
        sample(one.base, "the base"),
        *(
            Why(
                part.of,
                f"{part.index_ml_l:.3g}",
                "Its mL to the litre where it was right, times the intensity of the batch it was "
                "tasted with; divided by that of another batch it gives that one's mL.",
                f"measured here, by tasting at the bench; intensity is {RULE_OF_THUMB}",
            )
            for part in one.ingredients
        ),
    )


def of_spirits(
    poured: Iterable[tuple[float, float]], temperature_c: float, made: alcohol.Blend
) -> tuple[Why, ...]:
    """Return the answers for spirits of (mL, strength) poured together."""
    inputs = (
        *(Input("poured", f"{ml:g} mL of {percent(part)}", GIVEN) for ml, part in poured),
        Input("temperature", f"{temperature_c:g} °C", "given by you, or 20 °C"),
    )
    return (
        Why(
            "makes",
            f"{made.total_ml:.1f} mL of {percent(made.strength)}",
            "Grams of ethanol and grams of water add up; the mL follow by the density of the mix.",
            _ADDING,
            inputs,
        ),
        Why(
            "together",
            shrinks(made.contraction_ml),
            "The mL as they were poured, less the mL they make.",
            _ADDING,
            inputs,
        ),
    )


def _pour(pour: Pour, base_ml: float) -> Iterator[Why]:
    """Yield the answers for what one tincture brings."""
    share, litres = pour.share, Input("the base", f"{base_ml / 1e3:.4g} L", GIVEN)
    about = f" ± {pour.u_ml:.2g}" if pour.u_ml else ""
    level, intensity = f"{share.ml_per_l:.3g} mL/L", share.liquid.intensity
    of_intensity = f"intensity of {share.bottle}"
    of_level = f"mL/L of {share.of}"
    yield Why(
        share.of,
        f"{pour.total_ml:.3g}{about} mL of {share.bottle}",
        "Its mL to the litre, times the litres of the base; so is its ±.",
        "the trade's way to write it: mL before they are together",
        (Input("to a litre", level, f"see {of_level}"), litres),
    )
    doubt = (Input("± of the trial", f"± {share.u_ml_per_l:.2g} mL/L", "see ± of right there"),)
    yield Why(
        of_level,
        level,
        "Where it was right, as mL to the litre times the intensity of the batch it was tasted "
        "with, divided by the intensity of this bottle.",
        RULE_OF_THUMB,
        (
            Input(
                "mL/L times intensity",
                f"{share.ml_per_l * intensity:.3g}",
                "measured here, by tasting at the bench",
            ),
            Input(of_intensity, f"{intensity:.3g}", f"see {of_intensity}"),
            *(doubt if share.u_ml_per_l else ()),
        ),
    )


def _additions(made: Scaled) -> Iterator[Why]:
    """Yield the answers for the parts that go in one after the other."""
    for number, part in enumerate((FIRST, *APPROACH)):
        taken = [f"{part * pour.total_ml:.3g} mL {pour.share.bottle}" for pour in made.pours]
        yield Why(
            percent(part, 0),
            " + ".join(taken),
            "This part of what the whole takes; taste, and stop when it is right.",
            _PART[number == 0],
            tuple(
                Input(pour.share.of, f"{pour.total_ml:.3g} mL in all", f"see {pour.share.of}")
                for pour in made.pours
            ),
        )


def _made(when: str, scaled: Scaled, made: Made, part: float) -> Iterator[Why]:
    """Yield the answers for what the blend is with this part of its tinctures in it."""
    base = scaled.base
    inputs = (
        Input(
            "the base",
            f"{base.volume_ml:g} mL of {percent(base.strength)}, {base.sugar_g_l:g} g/L sugar",
            GIVEN,
        ),
        *(_goes_in(pour, part) for pour in scaled.pours),
    )
    for name, value, rule in (
        (
            "volume",
            f"{made.volume_ml:.1f} mL",
            "Grams of ethanol, water and all that is dissolved add up; mL follow by density.",
        ),
        (
            "strength",
            percent(made.strength, 2),
            "The ethanol alone, as mL at 20 °C, in each mL of the blend.",
        ),
        (
            "sugar",
            f"{made.sugar_g_l:.1f} g/L",
            "The sugar of the base alone, in each litre of the blend.",
        ),
        (
            "all dissolved",
            f"{made.dissolved_g_l:.1f} g/L",
            "The sugar of the base and what is dissolved in the tinctures, in each litre.",
        ),
    ):
        yield Why(f"{name} {when}", value, rule, _ADDING, inputs)


def _goes_in(pour: Pour, part: float) -> Input:
    share, liquid = pour.share, pour.share.liquid
    amount = f"{part * pour.total_ml:.3g} mL of {percent(liquid.strength)}"
    dissolved = f"{1e3 * liquid.dissolved_g_ml:.1f} g/L dissolved"
    return Input(share.bottle, f"{amount}, {dissolved}", f"see strength of {share.bottle}")
