"""What a planned or charged jar gives to think about, beyond its ratio."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from steepboard.domain.figures import percent
from steepboard.domain.findings import Finding, Severity
from steepboard.domain.liquor import Liquor, Solid

KEEPS = 0.20
"""Strength under which a liquor may spoil. Published: 15 % vol (sour) and 18 % vol (neutral) where
nothing else preserves (DAC/NRF, Pharmazeutische Zeitung 6/2000), and a wine bacterium that bore
20 % vol (Gini and Vaughn 1962); the upper one is taken."""

VESSEL_FULL = 0.90
"""Part of a jar's volume that may be filled. Common practice, no source."""

_ROUNDED = 0.005  # relative; what scale and cylinder add to a jar planned full: assumed
_OTHER_BOTTLE = 0.0501  # by volume, 5 points; brands of one spirit lie within it: assumed
_LOW_YIELD = 0.60  # recovered over poured; under it a plan wastes spirit: assumed


def jar_findings(
    solids: Sequence[Solid],
    made: Liquor,
    solvent_ml: float,
    strength: float,
    keeps: float = KEEPS,
) -> tuple[Finding, ...]:
    """Return what the liquor's end strength and the plants' water ask to be looked at.

    `strength` is that of all that was poured together.
    """
    found = []
    end = made.true_strength
    fresh_g = sum(s.mass_g * s.moisture for s in solids if s.fresh)
    if fresh_g > 0.0:
        text = (
            f"The fresh plant brings {fresh_g:.0f} g of water to {solvent_ml:.0f} mL: "
            f"{percent(strength)} goes in, {percent(end)} comes out."
        )
        found.append(Finding("fresh_water", Severity.NOTE, text))
    if end < keeps:
        less = " or less fresh plant" if fresh_g > 0.0 else ""
        text = (
            f"The liquor ends at {percent(end)}, under the {percent(keeps, 0)} that keeps. "
            f"Take stronger spirit{less}, or keep it cold and use it within days."
        )
        found.append(Finding("ends_weak", Severity.WARN, text))
    return tuple(found)


def label_findings(name: str, known: float, said: float) -> tuple[Finding, ...]:
    """Return whether a strength is far from the one that is known of a spirit of that name."""
    if abs(said - known) <= _OTHER_BOTTLE:
        return ()
    text = (
        f"{name} is known here with {percent(known)}, and {percent(said)} was said: "
        "look at the label once more."
    )
    return (Finding("other_strength", Severity.NOTE, text),)


def yield_findings(expected_ml: float, solvent_ml: float) -> tuple[Finding, ...]:
    """Return what the volume to expect asks to be looked at."""
    if expected_ml <= 0.0:
        text = "Nothing would be left to pour: solids and filter would hold all the liquid."
        return (Finding("nothing_to_pour", Severity.STOP, text),)
    part = expected_ml / solvent_ml
    if part >= _LOW_YIELD:
        return ()
    text = (
        f"Only {percent(part, 0)} of what is poured would be bottled. "
        "Take more spirit per gram, press harder, or rinse the spent solids."
    )
    return (Finding("low_yield", Severity.WARN, text),)


def short_findings(bottled_ml: Mapping[str, float], want_ml: float) -> tuple[Finding, ...]:
    """Return what there is too little of for the wanted volume, and what it is enough for.

    `bottled_ml` goes by `botanical` or `spirit`.
    """
    return tuple(
        Finding(
            f"short_{name}",
            Severity.STOP,
            f"There is too little {name} for {want_ml:.0f} mL: "
            f"what you have is enough to bottle about {ml:.0f} mL.",
        )
        for name, ml in bottled_ml.items()
    )


def vessel_findings(fill_ml: float, vessel_ml: float | None) -> tuple[Finding, ...]:
    """Return whether the jar is too small for liquor and solids, if its volume is known."""
    if vessel_ml is None or fill_ml <= VESSEL_FULL * vessel_ml * (1.0 + _ROUNDED):
        return ()
    text = (
        f"Liquor and solids fill {fill_ml:.0f} mL, over {percent(VESSEL_FULL, 0)} of a "
        f"{vessel_ml:.0f} mL jar: take one of at least {fill_ml / VESSEL_FULL:.0f} mL."
    )
    return (Finding("vessel_small", Severity.STOP, text),)
