"""Why the figures of a whole blend, of a formula, and of spirits poured together are so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.blending import FIRST, STAGES
from steepboard.domain.figures import percent, short
from steepboard.domain.why import Input, Why
from steepboard.services.prep import shrinks
from steepboard.services.why_bench import PER_LITRE, sample
from steepboard.services.why_cautions import of_cautions, of_doses
from steepboard.services.why_charge import ADDING, GIVEN
from steepboard.services.why_findings import of_findings

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from steepboard.domain import alcohol
    from steepboard.domain.blending import Formula, Made, Pour, Scaled, Share
    from steepboard.services.formulas import Blend

RULE_OF_THUMB = "assumed, a rule of thumb: taste"
_DRAWN = "written down for each draw"
_PART = {True: "common practice, no source", False: "assumed: half of what is missing, then in two"}
"""Who says how much goes in at once, of what goes in first and of the rest."""


def of_blend(blend: Blend) -> tuple[Why, ...]:
    """Return the answers for all that is shown of a blend."""
    made = blend.scaled
    return (
        sample(made.base, "the base"),
        *_pours(made),
        *_drawn(made),
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
        *(Input("poured", f"{short(ml)} mL of {percent(part)}", GIVEN) for ml, part in poured),
        Input("temperature", f"{temperature_c:g} °C", "given by you, or 20 °C"),
    )
    return (
        Why(
            "makes",
            f"{made.total_ml:.1f} mL of {percent(made.strength)}",
            "Grams of ethanol and grams of water add up; the mL follow by the density of the mix.",
            ADDING,
            inputs,
        ),
        Why(
            "together",
            shrinks(made.contraction_ml),
            "The mL as they were poured, less the mL they make.",
            ADDING,
            inputs,
        ),
    )


def _pours(made: Scaled) -> Iterator[Why]:
    """Yield the answers for what each bottle brings, and for the level of each tincture."""
    for of in dict.fromkeys(pour.share.of for pour in made.pours):
        mine = [pour for pour in made.pours if pour.share.of == of]
        for pour in mine:
            yield _pour(_name(made, pour), pour, made.base.volume_ml)
        if giving := [pour for pour in mine if pour.total_ml]:
            yield _level(of, giving)


def _name(made: Scaled, pour: Pour) -> str:
    """Return what the answer for a bottle is called: by its tincture where it alone gives it."""
    share = pour.share
    shared = sum(one.share.of == share.of for one in made.pours) > 1
    return f"{share.of} of {share.bottle}" if shared else share.of


def _pour(name: str, pour: Pour, base_ml: float) -> Why:
    """Return the answer for what one bottle brings."""
    share = pour.share
    if not pour.total_ml:
        rule = "It takes no more of it; what was drawn is in it all the same."
        return Why(name, f"0 mL of {share.bottle}", rule, _DRAWN)
    about = f" ± {pour.u_ml:.2g}" if pour.u_ml else ""
    return Why(
        name,
        f"{pour.total_ml:.3g}{about} mL of {share.bottle}",
        "Its mL to the litre, times the litres of the base; so is its ±.",
        PER_LITRE,
        (
            Input("to a litre", f"{share.ml_per_l:.3g} mL/L", f"see mL/L of {share.of}"),
            Input("the base", f"{base_ml / 1e3:.4g} L", GIVEN),
        ),
    )


def _level(of: str, pours: Sequence[Pour]) -> Why:
    """Return the answer for the level of one tincture, from all the bottles that give of it."""
    shares = [pour.share for pour in pours]
    tasted = sum(share.ml_per_l * share.liquid.intensity for share in shares)
    u = sum(share.u_ml_per_l for share in shares)
    doubt = (Input("± of the trial", f"± {u:.2g} mL/L", "see ± of right there"),)
    return Why(
        f"mL/L of {of}",
        f"{sum(share.ml_per_l for share in shares):.3g} mL/L",
        "Where it was right, as mL to the litre times the intensity of the batch it was tasted "
        "with, divided by the intensity of this bottle; of several each gives its part, all that "
        "it holds and the last what is missing then.",
        RULE_OF_THUMB,
        (
            Input(
                "mL/L times intensity", f"{tasted:.3g}", "measured here, by tasting at the bench"
            ),
            *(_gives(share, alone=len(shares) == 1) for share in shares),
            *(doubt if u else ()),
        ),
    )


def _gives(share: Share, *, alone: bool) -> Input:
    """Return the intensity of a bottle, and its part where it does not give all."""
    at, to = share.span
    part = "" if alone else f", {percent(to - at)} of it, {share.ml_per_l:.3g} mL/L"
    amount = f"{share.liquid.intensity:.3g}{part}"
    return Input(f"intensity of {share.bottle}", amount, "worked out: see intensity of the bottle")


def _drawn(made: Scaled) -> Iterator[Why]:
    """Yield the answer for how much of it is in, where anything is."""
    inputs = tuple(
        Input(pour.share.bottle, f"{pour.share.drawn_ml:.3g} of {pour.total_ml:.3g} mL", _DRAWN)
        for pour in made.pours
        if pour.share.drawn_ml
    )
    if inputs:
        part = percent(made.reached, 0)
        rule = "What was drawn for it, divided by what it takes; of several tinctures the least."
        yield Why("drawn", f"{part} of it", rule, _DRAWN, inputs)


def _additions(made: Scaled) -> Iterator[Why]:
    """Yield the answers for the parts that go in one after the other."""
    for number, one in enumerate(made.additions):
        pairs = [(pour, ml) for pour, ml in zip(made.pours, one.taken_ml, strict=True) if ml]
        part = percent(one.part, 0)
        yield Why(
            f"{part}, up to {percent(STAGES[number], 0)}" if number else part,
            " + ".join(f"{ml:.3g} mL {pour.share.bottle}" for pour, ml in pairs),
            "This part of what the whole takes, one bottle of a tincture after the other; taste, "
            "and stop when it is right.",
            _PART[number == 0],
            tuple(
                Input(
                    pour.share.bottle, f"{pour.total_ml:.3g} mL in all", f"see {_name(made, pour)}"
                )
                for pour, _ in pairs
            ),
        )


def _made(when: str, scaled: Scaled, made: Made, part: float) -> Iterator[Why]:
    """Yield the answers for what the blend is with this part of its tinctures in it."""
    base = scaled.base
    inputs = (
        Input(
            "the base",
            f"{short(base.volume_ml)} mL of {percent(base.strength)}, {base.sugar_g_l:g} g/L sugar",
            GIVEN,
        ),
        *(_goes_in(pour, part) for pour in scaled.pours if pour.in_ml(part)),
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
        yield Why(f"{name} {when}", value, rule, ADDING, inputs)


def _goes_in(pour: Pour, part: float) -> Input:
    share, liquid = pour.share, pour.share.liquid
    amount = f"{pour.in_ml(part):.3g} mL of {percent(liquid.strength)}"
    dissolved = f"{1e3 * liquid.dissolved_g_ml:.1f} g/L dissolved"
    return Input(share.bottle, f"{amount}, {dissolved}", "worked out: see strength of the bottle")
