"""By what rule each finding comes up, and who says so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.why import Why

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from steepboard.domain.findings import Finding

_HOUSE_RULE = "common practice, no source"
_TWO_U = "published: JCGM 100:2008 (GUM), 6.2: twice the standard uncertainty, about 95 %"
_KEEPS = (
    "published: 15 and 18 % keep (DAC/NRF, Pharmazeutische Zeitung 6/2000), a bacterium bore 20 % "
    "(Gini and Vaughn 1962)"
)
_CHECK = "measured here twice, in two ways"

RULES: Mapping[str, tuple[str, str]] = {
    "strength_outside_rule": ("The house rule is a line from 40 to 80 %.", _HOUSE_RULE),
    "ratio_strong": ("Less solvent than is usual for it, by more than 2 %.", _HOUSE_RULE),
    "ratio_weak": ("More solvent than is usual for it, by more than 2 %.", _HOUSE_RULE),
    "pharmacopoeia": (
        "Tinctures stand at 1:5 and 1:10, liquid extracts at 1:1.",
        "published: Ph. Eur. Extracts (0765), as restated in a teaching text; 1:1 from memory",
    ),
    "other_strength": (
        "More than 5 points from the strength that goes with the spirit's name.",
        "assumed, about what brands differ by",
    ),
    "fresh_water": ("The water of fresh plants mixes with the spirit.", "masses add up"),
    "ends_weak": ("Weaker than keeps; the figure is a house setting.", _KEEPS),
    "low_yield": ("Less than 60 % of what is poured would be bottled.", "assumed"),
    "nothing_to_pour": ("Solids and filter would hold all the liquid.", "what is left is nothing"),
    "vessel_small": ("A jar is filled to nine tenths at most.", _HOUSE_RULE),
    "short_botanical": ("There is less than it takes.", "worked out: see weigh and pour"),
    "short_spirit": ("There is less than it takes.", "worked out: see weigh and pour"),
    "closes": ("What is unaccounted for is within twice its ±.", _TWO_U),
    "missing": ("What is unaccounted for is more than twice its ±.", _TWO_U),
    "more_out_than_in": ("More came out than went in, by more than twice the ±.", _TWO_U),
    "only_estimated": ("What was not weighed is taken as usual.", "assumed: the house's figures"),
    "filter_estimated": ("What was not weighed is taken as usual.", "assumed: the house's figures"),
    "not_filtered": ("Only what drained and was pressed was read.", "as it was read"),
    "not_settled": ("Only what came through the filter was read.", "as it was read"),
    "marc_too_light": ("Lighter than what cannot dissolve, by more than twice the ±.", _TWO_U),
    "filter_too_light": ("Lighter wet than dry, by more than twice the ±.", _TWO_U),
    "jar_grew": ("A closed jar cannot grow heavier, beyond twice the ±.", _TWO_U),
    "more_than_filtered": ("Nothing is added after the filter; beyond twice the ±.", _TWO_U),
    "readings_disagree": ("Scale and measure differ by more than twice the ±.", _CHECK),
    "hydrometer_agrees": ("Reckoned and read strength within twice the ±.", _CHECK),
    "hydrometer_differs": ("Reckoned and read strength beyond twice the ±.", _CHECK),
    "hydrometer_impossible": ("No spirit with so much dissolved would read so.", _CHECK),
    "residue_differs": ("Dried and reckoned solids beyond twice the ±.", _CHECK),
    "dry_marc_differs": ("Dried and reckoned solids beyond twice the ±.", _CHECK),
    "dose_coarse": ("Whole drops or dashes would miss it by more than a tenth.", "assumed"),
    "dropper_coarse": (
        "Fewer than four drops to the mark, or fewer than two between too little and too much.",
        "assumed",
    ),
    "tongue_tired": ("Six steps without an hour's pause.", f"{_HOUSE_RULE}; the hour is assumed"),
    "verdicts_cross": ("More of it cannot be too little where less was not.", "as it was tasted"),
    "bottle_short": ("There is less than it takes.", "worked out: see mL left of the bottle"),
    "too_much_drawn": (
        "What was drawn for it, less what it takes by the mark or the formula of now.",
        "written down for each draw",
    ),
    "bottle_spare": ("It was named, and is not needed.", "worked out: see mL left of the bottles"),
    "addition_small": ("Its last addition would be less than a drop.", "worked out: see a drop"),
    "taste_next_day": ("What was right when fresh is tasted again the next day.", _HOUSE_RULE),
}
"""From the code of a finding to its rule in words and the source of that."""

RESULTS: Mapping[str, tuple[str, str, str]] = {
    "plan": (
        "against the plan",
        "What came out, beside what was expected of the charge, with its 80 % range.",
        "worked out: see expected and range",
    ),
    "past": (
        "against past batches",
        "The mean yield of earlier batches of the same botanicals, strained the same way.",
        "measured here, on earlier batches",
    ),
    "cost": (
        "not bottled",
        "The alcohol in what was not bottled, as mL of what was poured.",
        "published: OIML R 22; masses add up",
    ),
    "next_time": (
        "more next time",
        "What pressing harder usually leaves less; a rinse of v mL on h mL held brings v/(v+h).",
        "common practice, no source, for what solids hold; from memory: textbook leaching",
    ),
}
"""From a sentence of a straining's result to its name, its rule in words and the source of that."""


def of_findings(findings: Iterable[Finding]) -> tuple[Why, ...]:
    """Return an answer for each finding."""
    return tuple(
        Why(finding.code.replace("_", " ").replace("-", " "), finding.text, *RULES[finding.code])
        for finding in findings
    )
