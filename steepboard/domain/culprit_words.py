"""What an open balance points at, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator

from steepboard.domain.balance_findings import SURE
from steepboard.domain.balance_swings import with_reading
from steepboard.domain.balance_work import Case, worked
from steepboard.domain.culprits import Ranking, Suspect
from steepboard.domain.mistakes import Slip
from steepboard.domain.propagation import Propagated
from steepboard.domain.readings import Measured

NAMES = {
    "drained_ml": "the drained volume",
    "drained_g": "the drained mass",
    "pressed_ml": "the pressed volume",
    "pressed_g": "the pressed mass",
    "filtered_ml": "the filtered volume",
    "filtered_g": "the filtered mass",
    "recovered_ml": "the recovered volume",
    "recovered_g": "the recovered mass",
    "marc_g": "the wet marc",
    "dry_marc_g": "the dried marc",
    "filter_before_g": "the dry filter",
    "filter_after_g": "the wet filter",
    "sediment_ml": "the mud",
    "sampled_ml": "what was tasted",
    "gross_charged_g": "the jar at charging",
    "gross_before_g": "the jar before straining",
    "wash_ml": "the rinse",
    "washed_out_ml": "what came back of the rinse",
}
_NOTHING_G = 0.05  # shown as 0.0
_LIKELY_LOST = 0.2  # chance of a loss above which it is said; assumed


def advice_on(case: Case, found: Propagated, ranking: Ranking) -> str:
    """Return which reading to look at and what would close the balance, or that it cannot tell."""
    if ranking.named:
        head = "Most likely wrong"
        if ranking.lost > _LIKELY_LOST:
            lacks = found.value["unaccounted_g"] > 0.0
            head = "Unless it was spilt" if lacks else "Unless it is chance"
            head += ", most likely wrong"
        said = [_suspicion(case, found, suspect) for suspect in ranking.named]
        return f"{head}: {'; or else '.join(said)}."
    if found.value["unaccounted_g"] > 0.0:
        return "The readings do not tell which of these." if ranking.lost < 0.5 else ""
    return f"The readings cannot tell which one is wrong. To close it, {_would_close(case, found)}."


def _suspicion(case: Case, found: Propagated, suspect: Suspect) -> str:
    field, value = suspect.fields[0], suspect.values[0]
    if suspect.slip is Slip.SWAPPED:
        one, other = (NAMES[name] for name in suspect.fields)
        return f"{one} and {other} stand in each other's place"
    read: Measured = getattr(case.readings, field)
    unit = "g" if field.endswith("_g") else "mL"
    name, typed, meant = NAMES[field], f"{read.value:g} {unit}", f"{value:.1f} {unit}"
    off = abs(read.value - value)
    if suspect.slip is Slip.NEVER_DRIED and value < _NOTHING_G:
        return f"{name}, as if it was weighed wet"
    mended = worked(with_reading(case, field, Measured(value, read.resolution)))
    closes = abs(mended.unaccounted_g) <= SURE * found.u("unaccounted_g")
    would = f"{meant} would {'close it' if closes else 'fit best'}, not {typed}"
    return {
        Slip.GRAMS: f"{name}, which looks like grams: {read.value:g} g are {meant}",
        Slip.MILLILITRES: f"{name}, which looks like millilitres: {read.value:g} mL are {meant}",
        Slip.TARE: f"{name}, as if {off:.1f} g of a bowl, jar or cloth were weighed with it: "
        + would,
        Slip.NEVER_DRIED: f"{name}, as if it was weighed with {off:.1f} g of wet in it: {would}",
        Slip.POINT: f"{name}, as if its point had slipped: {meant}, not {typed}",
        Slip.TURNED: f"{name}, as if two digits were turned round: {meant}, not {typed}",
    }.get(suspect.slip, f"{name}: {would}")


def _would_close(case: Case, found: Propagated) -> str:
    """Say what each reading would have to be if it alone were wrong."""
    over_g = -found.value["unaccounted_g"]
    over_ml = over_g / found.value["density"]
    named = [
        f"{NAMES[field]} would have to be {reading.value - over:.1f} {unit}, "
        f"not {reading.value:.1f} {unit}"
        for field, reading, over, unit in _candidates(case, over_g, over_ml)
        if reading.value >= over
    ]
    named.append(f"{over_ml:.1f} mL more must have gone in than was written down")
    return ", or ".join(named)


def _candidates(
    case: Case, over_g: float, over_ml: float
) -> Iterator[tuple[str, Measured, float, str]]:
    r = case.readings
    for field, over, unit in (
        ("recovered_g", over_g, "g"),
        ("recovered_ml", over_ml, "mL"),
        ("filtered_g", over_g, "g"),
        ("filtered_ml", over_ml, "mL"),
        ("drained_g", over_g, "g"),
        ("drained_ml", over_ml, "mL"),
    ):
        reading: Measured | None = getattr(r, field)
        if reading is not None:
            yield field, reading, over, unit
            break
    if r.marc_g is not None:
        yield "marc_g", r.marc_g, over_g, "g"
    if r.filter_is_read and r.filter_after_g is not None:
        yield "filter_after_g", r.filter_after_g, over_g, "g"
