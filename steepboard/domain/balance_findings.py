"""What a strain balance says in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from steepboard.domain.findings import Finding, Severity
from steepboard.domain.readings import Measured, Readings

_SURE = 2.0  # standard uncertainties; GUM's usual coverage factor, about 95 %
_ROUNDING = 1e-9  # of the liquor; the noise of the sums, for readings given without any ±


def verdict(
    readings: Readings, value: Mapping[str, float], u: Mapping[str, float]
) -> tuple[Finding, ...]:
    """Return the findings, the verdict first; `value` and `u` hold the balance's figures."""
    found = [
        _closing(readings, value, u),
        *_impossible(readings, value, u),
        _estimated(readings),
        _mismatch(value, u),
    ]
    if not readings.is_final:
        text = "What drained and was pressed counts as recovered: fine filtering takes more."
        found.append(Finding("not_filtered", Severity.NOTE, text))
    return tuple(f for f in found if f is not None)


def _closing(
    readings: Readings, value: Mapping[str, float], u: Mapping[str, float]
) -> Finding | None:
    gap_ml, gap_u_ml = value["unaccounted_ml"], u["unaccounted_ml"]
    amount = f"{abs(gap_ml):.1f} mL (± {gap_u_ml:.1f} mL)"
    if abs(value["unaccounted_g"]) <= _SURE * u["unaccounted_g"] + _ROUNDING * value["liquor_g"]:
        if not readings.marc_is_read:
            return None
        if abs(gap_ml) < 0.05:  # shown as 0.0
            text = f"The balance closes: all is accounted for, within {gap_u_ml:.1f} mL."
        else:
            way = "is unaccounted for" if gap_ml > 0.0 else "more came out than went in"
            text = (
                f"The balance closes: {abs(gap_ml):.1f} mL {way}, within its ± {gap_u_ml:.1f} mL."
            )
        return Finding("closes", Severity.NOTE, text)
    if gap_ml > 0.0:
        causes = [] if readings.is_final else ["not pressed or filtered yet"]
        causes += [] if "evaporated_g" in value else ["evaporated"]
        text = f"{amount} is missing: {', '.join([*causes, 'spilt or misread'])}."
        return Finding("missing", Severity.WARN, text)
    suspects = _suspects(readings, value)
    text = f"{amount} more came out than went in: weigh again. To close it, {suspects}."
    return Finding("more_out_than_in", Severity.WARN, text)


def _suspects(readings: Readings, value: Mapping[str, float]) -> str:
    """Say what each reading would have to be if it alone were wrong."""
    density = value["liquor_g"] / value["liquor_ml"]
    over_g = -value["unaccounted_g"]
    named = [
        f"{name} would have to be {reading.value - over:.1f} {unit}, not {reading.value:.1f} {unit}"
        for name, reading, over, unit in _candidates(readings, over_g, over_g / density)
        if reading.value >= over
    ]
    named.append(f"{over_g / density:.1f} mL more must have gone in than was written down")
    return ", or ".join(named)


def _candidates(
    readings: Readings, over_g: float, over_ml: float
) -> Iterator[tuple[str, Measured, float, str]]:
    if readings.recovered_g is not None:
        yield "the recovered mass", readings.recovered_g, over_g, "g"
    elif readings.recovered_ml is not None:
        yield "the recovered volume", readings.recovered_ml, over_ml, "mL"
    elif readings.drained_ml is not None:
        yield "the drained volume", readings.drained_ml, over_ml, "mL"
    if readings.marc_g is not None:
        yield "the wet marc", readings.marc_g, over_g, "g"
    if readings.filter_is_read and readings.filter_after_g is not None:
        yield "the wet filter", readings.filter_after_g, over_g, "g"


def _impossible(
    readings: Readings, value: Mapping[str, float], u: Mapping[str, float]
) -> Iterator[Finding]:
    """Name the readings that cannot be, beyond their own doubt, whatever the rest says."""

    def below_zero(name: str) -> bool:
        doubt_g = _SURE * u.get(name, 0.0) + _ROUNDING * value["liquor_g"]
        return value.get(name, 0.0) < -doubt_g

    if readings.marc_is_read and below_zero("marc_g"):
        text = (
            f"The wet marc is {-value['marc_g']:.1f} g lighter than what cannot dissolve of it: "
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


def _estimated(readings: Readings) -> Finding | None:
    filter_guessed = readings.is_final and not readings.filter_is_read
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


def _mismatch(value: Mapping[str, float], u: Mapping[str, float]) -> Finding | None:
    gap_ml = value.get("mismatch_ml", 0.0)
    if abs(gap_ml) <= _SURE * u.get("mismatch_ml", 0.0):
        return None
    text = (
        f"Scale and measure disagree by {abs(gap_ml):.1f} mL on what was recovered; "
        "the scale is believed."
    )
    return Finding("readings_disagree", Severity.WARN, text)
