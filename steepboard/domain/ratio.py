"""The ratio, 1:n, grams of botanical as weighed to millilitres of solvent."""

from __future__ import annotations

from steepboard.domain import guards
from steepboard.domain.findings import Finding, Severity

RULE_FROM, RULE_TO = 0.40, 0.80
"""Strengths between which the house rule is a straight line. Common practice, no source."""

_STRONGEST_SEED = 2.0  # 1:2, hard seed ground first. Common practice, no source
_PUNGENT = (10.0, 20.0)  # very pungent or intensely bitter material. Common practice, no source
_SLACK = 0.02  # a ratio this near to the rule counts as the rule: assumed, a kitchen scale's worth


def house_ratio(strength: float) -> float:
    """Return the house rule's n in mL/g: 5 at 40 %, 10 at 80 %, the end value held outside.

    Common practice, no source. Raises `OutOfRange`.
    """
    guards.fraction("strength", strength)
    inside = min(max(strength, RULE_FROM), RULE_TO)
    return 5.0 + 5.0 * (inside - RULE_FROM) / 0.40


def ratio_findings(
    n: float, strength: float, *, pungent: bool = False, hard_seed: bool = False
) -> tuple[Finding, ...]:
    """Return what there is to say of a ratio: the rule's range, the rule, the pharmacopoeias."""
    guards.positive("ratio", n)
    house = house_ratio(strength)
    found = [_outside(strength, house), _against(n, house, pungent=pungent, hard_seed=hard_seed)]
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


def _outside(strength: float, house: float) -> Finding | None:
    if RULE_FROM <= strength <= RULE_TO:
        return None
    side = "below 40 %" if strength < RULE_FROM else "above 80 %"
    text = (
        f"The spirit is {strength:.1%}, {side}: the house rule stops there "
        f"and its end value 1:{house:g} is held."
    )
    return Finding("strength_outside_rule", Severity.WARN, text)


def _against(n: float, house: float, *, pungent: bool, hard_seed: bool) -> Finding | None:
    strongest = _STRONGEST_SEED if hard_seed else house
    weakest = _PUNGENT[1] if pungent else house
    if n < strongest * (1.0 - _SLACK):
        text = f"1:{n:.4g} is stronger than is usual here (1:{strongest:.4g}). Expect less to pour."
        return Finding("ratio_strong", Severity.WARN, text)
    if n > weakest * (1.0 + _SLACK):
        text = f"1:{n:.4g} is weaker than is usual here (1:{weakest:.4g}). Expect a larger dose."
        return Finding("ratio_weak", Severity.NOTE, text)
    if pungent and n < _PUNGENT[0] * (1.0 - _SLACK):
        text = f"Very pungent material usually goes to 1:10 at any strength; this is 1:{n:.4g}."
        return Finding("ratio_pungent", Severity.NOTE, text)
    return None


def _standing(n: float) -> Finding:
    """Say where 1:n stands among the pharmacopoeias' usual ratios.

    Published: Ph. Eur. Extracts (0765) has tinctures at 1:5 and 1:10 (read as restated in a
    teaching text) and liquid extracts at 1:1 (from memory).
    """
    marks = (
        (1.0, "a liquid extract (1:1)"),
        (5.0, "a tincture (1:5)"),
        (10.0, "a tincture (1:10)"),
    )
    place = f"weaker than {marks[2][1]}"
    for (value, name), (lower_value, lower) in zip(marks, ((0.0, ""), *marks[:-1]), strict=True):
        if abs(n - value) <= _SLACK * value:
            place = f"as strong as {name}"
            break
        if n < value:
            place = f"between {lower} and {name}" if lower_value else f"stronger than {name}"
            break
    text = f"By the pharmacopoeias' count, 1:{n:.4g} is {place}."
    return Finding("pharmacopoeia", Severity.NOTE, text)
