"""What a strain balance says in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator

from steepboard.domain.findings import Finding, Severity
from steepboard.domain.propagation import Propagated
from steepboard.domain.readings import Readings

SURE = 2.0
"""Standard uncertainties within which a balance closes; GUM's usual coverage, about 95 %."""

_ROUNDING = 1e-9  # of the liquor; the noise of the sums, for readings given without any ±


def closes(found: Propagated) -> bool:
    """Whether all is accounted for within its doubt."""
    doubt_g = SURE * found.u("unaccounted_g") + _ROUNDING * found.value["liquor_g"]
    return abs(found.value["unaccounted_g"]) <= doubt_g


def closing(readings: Readings, found: Propagated, advice: str) -> Finding | None:
    """Return the verdict; `advice` follows it where the balance is open."""
    gap_ml, gap_u_ml = found.value["unaccounted_ml"], found.u("unaccounted_ml")
    if closes(found):
        if not readings.marc_is_read:
            return None
        if abs(gap_ml) < 0.05:  # shown as 0.0
            text = f"The balance closes: all is accounted for, within {gap_u_ml:.1f} mL."
        else:
            way = "is unaccounted for" if gap_ml > 0.0 else "more came out than went in"
            within = "its" if abs(gap_ml) <= gap_u_ml else "twice its"
            text = (
                f"The balance closes: {abs(gap_ml):.1f} mL {way}, "
                f"within {within} ± {gap_u_ml:.1f} mL."
            )
        return Finding("closes", Severity.NOTE, text)
    amount = f"{abs(gap_ml):.1f} mL (± {gap_u_ml:.1f} mL)"
    if gap_ml > 0.0:
        causes = [] if readings.is_filtered else ["not pressed or filtered yet"]
        causes += [] if "evaporated_g" in found.value else ["evaporated"]
        text = f"{amount} is missing: {', '.join([*causes, 'spilt or misread'])}. {advice}"
        return Finding("missing", Severity.WARN, text.strip())
    text = f"{amount} more came out than went in: weigh again. {advice}"
    return Finding("more_out_than_in", Severity.WARN, text.strip())


def other_findings(readings: Readings, found: Propagated) -> Iterator[Finding]:
    """Yield what there is to say besides the verdict."""
    yield from _impossible(readings, found)
    if (guessed := _estimated(readings)) is not None:
        yield guessed
    yield from _mismatches(found)
    yield from _cross_checks(readings, found)
    if not readings.is_filtered:
        text = "What drained and was pressed counts as recovered: fine filtering takes more."
        yield Finding("not_filtered", Severity.NOTE, text)
    elif not readings.is_final:
        text = "What came through the filter counts as recovered: settling may take more."
        yield Finding("not_settled", Severity.NOTE, text)


def _impossible(readings: Readings, found: Propagated) -> Iterator[Finding]:
    """Name the readings that cannot be, beyond their own doubt, whatever the rest says."""
    value = found.value

    def below_zero(name: str) -> bool:
        doubt_g = SURE * found.u(name) + _ROUNDING * value["liquor_g"]
        return value.get(name, 0.0) < -doubt_g

    if readings.marc_is_read and below_zero("marc_g"):
        what = "what cannot dissolve of it" if readings.dry_marc_g is None else "the same dried"
        text = (
            f"The wet marc is {-value['marc_g']:.1f} g lighter than {what}: "
            "weigh it again, or the botanical held more water than is taken as known."
        )
        yield Finding("marc_too_light", Severity.WARN, text)
    if readings.filter_is_read and below_zero("filter_g"):
        text = "The filter is lighter wet than dry: its two weights may stand the wrong way round."
        yield Finding("filter_too_light", Severity.WARN, text)
    if below_zero("evaporated_g"):
        text = (
            "The closed jar lost less than was sampled from it: one of its weights or the sample "
            "must be wrong."
            if readings.sampled_ml is not None
            else "The closed jar grew heavier in the steep: one of its two weights must be wrong."
        )
        yield Finding("jar_grew", Severity.WARN, text)
    if value.get("settled_away_ml", 0.0) < -SURE * found.u("settled_away_ml"):
        text = (
            f"More was recovered ({value['recovered_ml']:.0f} mL) than came through the filter "
            f"({value['filtered_ml']:.0f} mL): one of the two must be wrong."
        )
        yield Finding("more_than_filtered", Severity.WARN, text)


def _estimated(readings: Readings) -> Finding | None:
    filter_guessed = readings.is_filtered and not readings.filter_is_read
    if readings.marc_is_read and not filter_guessed:
        return None
    if readings.marc_is_read:
        half = readings.filter_before_g is not None or readings.filter_after_g is not None
        why = (
            "Only one of the filter's two weights was read"
            if half
            else "The filter was not weighed"
        )
        text = f"{why}: what it holds is estimated from what is usual."
        return Finding("filter_estimated", Severity.NOTE, text)
    what = (
        "Marc and filter were not weighed: what they hold"
        if filter_guessed
        else ("The marc was not weighed: what it holds")
    )
    return Finding("only_estimated", Severity.NOTE, f"{what} is estimated from what is usual.")


_STAGES = {
    "drained": "drained",
    "pressed": "was pressed",
    "filtered": "was filtered",
    "recovered": "was recovered",
}


def _mismatches(found: Propagated) -> Iterator[Finding]:
    for stage, words in _STAGES.items():
        name = f"{stage}_mismatch_ml"
        gap_ml = abs(found.value.get(name, 0.0))
        if gap_ml > SURE * found.u(name):
            text = (
                f"Scale and measure disagree by {gap_ml:.1f} mL on what {words}; "
                "the scale is believed."
            )
            yield Finding("readings_disagree", Severity.WARN, text)


def _cross_checks(readings: Readings, found: Propagated) -> Iterator[Finding]:
    value = found.value
    if readings.hydrometer is not None and "hydrometer" not in value:
        text = (
            "No liquid with so much dissolved shows that on a hydrometer: read it and its "
            "temperature again."
        )
        yield Finding("hydrometer_impossible", Severity.WARN, text)
    elif readings.hydrometer is not None:
        yield _hydrometer(found)
    if "residue_g_ml" in value:
        read, taken = 1e3 * value["residue_g_ml"], 1e3 * value["dissolved_g_ml"]
        if abs(value["residue_gap_g_ml"]) > SURE * found.u("residue_gap_g_ml"):
            text = (
                f"Dried, the liquid leaves {read:.0f} g/L; {taken:.0f} g/L follows from what is "
                "taken as known to dissolve of the botanicals."
            )
            yield Finding("residue_differs", Severity.NOTE, text)
    if abs(value.get("undissolved_gap_g", 0.0)) > SURE * found.u("undissolved_gap_g"):
        stays_g = value["undissolved_g"]
        text = (
            f"Dried, the marc holds {stays_g:.1f} g that did not dissolve; "
            f"{stays_g - value['undissolved_gap_g']:.1f} g follows from what is taken as known."
        )
        yield Finding("dry_marc_differs", Severity.NOTE, text)


def _hydrometer(found: Propagated) -> Finding:
    """Say whether hydrometer and sums agree on the strength, once the solids are allowed for."""
    value = found.value
    measured, worked = 100.0 * value["hydrometer"], 100.0 * value["strength"]
    said = (
        f"The hydrometer, with what is dissolved allowed for, says {measured:.1f} % vol; "
        f"the sums say {worked:.1f} % vol"
    )
    if abs(value["hydrometer_gap"]) <= SURE * found.u("hydrometer_gap"):
        open_u = 100.0 * SURE * found.u("hydrometer_gap")
        text = f"{said}. They agree, within the {open_u:.1f} % that readings and sums leave open."
        return Finding("hydrometer_agrees", Severity.NOTE, text)
    if "hydrometer_g_ml" in value:
        solids = f"the liquid holds {1e3 * value['hydrometer_g_ml']:.0f} g/L dissolved, not"
        taken = value.get("residue_g_ml", value["dissolved_g_ml"])
        other = f"{solids} {1e3 * taken:.0f}"
    else:
        other = "the hydrometer is read too high"
    text = f"{said}. Either a spirit or water was other than written down, or {other}."
    return Finding("hydrometer_differs", Severity.WARN, text)
