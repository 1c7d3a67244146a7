"""The ratio, 1:n, grams of botanical as weighed to millilitres of solvent."""

from __future__ import annotations

from steepboard.domain import guards
from steepboard.domain.figures import one_to, percent
from steepboard.domain.findings import Finding, Severity

RULE_FROM, RULE_TO = 0.40, 0.80
"""Strengths between which the house rule is a straight line. Common practice, no source."""

_FAR_STRONGER = 2.0
"""How often over what is usual the house rule may be before it no longer counts: assumed."""
_SLACK = 0.02  # a ratio this near to the rule counts as the rule: assumed, a kitchen scale's worth


def house_ratio(strength: float) -> float:
    """Return the house rule's n in mL/g: 5 at 40 %, 10 at 80 %, the end value held outside.

    Common practice, no source. Raises `OutOfRange`.
    """
    guards.fraction("strength", strength)
    inside = min(max(strength, RULE_FROM), RULE_TO)
    return 5.0 + 5.0 * (inside - RULE_FROM) / 0.40


def ratio_findings(
    n: float, strength: float, usual: tuple[float, float] | None = None
) -> tuple[Finding, ...]:
    """Return what there is to say of a ratio: the rule's range, what is usual, the pharmacopoeias.

    `usual` are the least and the most mL for each gram of this material, where they are known; they
    go before the house rule, for very pungent or bitter plants are taken weaker and ground hard
    seeds stronger.
    """
    guards.positive("ratio", n)
    house = house_ratio(strength)
    found = [_outside(strength, house), _against(n, house, usual)]
    return (*(f for f in found if f is not None), _standing(n))


def intensity(botanical_g: float, recovered_ml: float, strength: float) -> float:
    """Return the intensity index, grams per mL recovered, weighed by the house rule.

    A rule of thumb, common practice with no source: taste before relying on it.
    """
    guards.positive("mass", botanical_g)
    guards.positive("recovered volume", recovered_ml)
    return botanical_g / recovered_ml * house_ratio(strength) / 5.0


def convert_dose(dose_ml: float, intensity_old: float, intensity_new: float) -> float:
    """Return the dose in mL that does with the new batch what `dose_ml` did with the old."""
    guards.positive("dose", dose_ml)
    guards.positive("old intensity", intensity_old)
    guards.positive("new intensity", intensity_new)
    return dose_ml * intensity_old / intensity_new


_SHOWN = 0.0005  # half of the last place in which a strength is shown


def _outside(strength: float, house: float) -> Finding | None:
    if RULE_FROM - _SHOWN <= strength <= RULE_TO + _SHOWN:
        return None
    end = "40 %" if strength < RULE_FROM else "80 %"
    text = (
        f"The house rule goes from 40 to 80 %. For {percent(strength)} it has nothing better than "
        f"{one_to(house)}, its ratio at {end}."
    )
    return Finding("strength_outside_rule", Severity.WARN, text)


def _against(n: float, house: float, usual: tuple[float, float] | None) -> Finding | None:
    least, most = usual or (house, house)
    far_stronger = _FAR_STRONGER * most < house  # fresh fruit, which the rule does not know
    least, most = min(least, house), most if far_stronger else max(most, house)
    if usual and usual[0] > house:  # what is always taken weaker than the rule would have it
        least = usual[0]
    whose = f"for it ({_range(usual)})" if usual else f"by the house rule ({one_to(house)})"
    if n < least * (1.0 - _SLACK):
        text = f"{one_to(n)} is stronger than is usual {whose}."
        return Finding("ratio_strong", Severity.WARN, text)
    if n > most * (1.0 + _SLACK):
        text = f"{one_to(n)} is weaker than is usual {whose}. Expect a larger dose."
        return Finding("ratio_weak", Severity.NOTE, text)
    return None


def _range(usual: tuple[float, float]) -> str:
    least, most = usual
    return one_to(least) if least == most else f"{one_to(least)} to {one_to(most)}"


def _standing(n: float) -> Finding:
    """Say where 1:n stands among the pharmacopoeias' usual ratios.

    Published: Ph. Eur. Extracts (0765) has tinctures at 1:5 and 1:10 (read as restated in a
    teaching text) and liquid extracts at 1:1 (from memory).
    """
    marks = (1.0, "a liquid extract, 1:1"), (5.0, "a tincture of 1:5"), (10.0, "a tincture of 1:10")
    place = next((f"as strong as {name}" for at, name in marks if abs(n - at) <= _SLACK * at), None)
    if place is None:
        place = {
            0: "stronger than a liquid extract, 1:1",
            1: "between a liquid extract, 1:1, and a tincture of 1:5",
            2: "between the two usual tinctures, 1:5 and 1:10",
            3: "weaker than a tincture of 1:10",
        }[sum(n > at for at, _ in marks)]
    text = f"By the pharmacopoeias' count, {one_to(n)} is {place}."
    return Finding("pharmacopoeia", Severity.NOTE, text)
