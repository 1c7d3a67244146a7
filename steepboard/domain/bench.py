"""The bench trial: a tincture stepped up in a measured sample until it tastes right.

Levels are mL of the undiluted tincture for each litre of the base, before they are together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from math import ceil, hypot, sqrt

from steepboard.domain import guards
from steepboard.domain.base import Base
from steepboard.domain.bottle_fold import step_for
from steepboard.domain.dosing import Portion
from steepboard.domain.figures import percent, short
from steepboard.domain.findings import Finding, Severity
from steepboard.domain.mixing import Liquid
from steepboard.domain.readings import Measured

MOST_STEPS = 6
"""Steps of a sitting before the tongue is tired. Common practice, no source."""
REST = timedelta(hours=1)
"""A pause this long begins a new sitting. Assumed."""
MOST_PARTS = 1000
"""To which a tincture may be thinned; assumed, far more than any needs."""

_MOST_SIPPED = 0.5  # of what is in the glass, so that some always stays; assumed
_THINNED_ML = 10.0  # of thinned tincture that is advised, a small bottle; assumed
_DROPS_TO_MARK, _DROPS_ACROSS = 4, 2  # fewer drops than these are too coarse; assumed
_SLACK = 1.0 + 1e-9


class Verdict(StrEnum):
    """How a step tasted beside the untouched sample."""

    LITTLE = "too little"
    RIGHT = "right"
    MUCH = "too much"


@dataclass(frozen=True, slots=True)
class Step:
    """One addition to the sample, and how it tasted then and the next day."""

    number: int
    at: datetime
    added: Measured
    """In mL as it was added, thinned or not."""
    typed: str
    verdict: Verdict
    remark: str = ""
    later: Verdict | None = None
    """Of the next day; it counts instead."""
    later_remark: str = ""

    @property
    def counts(self) -> Verdict:
        """The verdict that counts."""
        return self.later or self.verdict


@dataclass(frozen=True, slots=True)
class Added:
    """What was put into the sample at once, and is not tasted yet."""

    volume: Measured
    """In mL as it was added; what was counted in drops has no step of its own."""
    typed: str


@dataclass(frozen=True, slots=True)
class Trial:
    """A trial as its diary tells it (what was taken back left out)."""

    code: str
    at: datetime
    initials: str
    base: Base
    """The sample; its volume is the sample's."""
    sample_u_ml: float
    bottle: str
    """Code of the bottle with the tincture."""
    of: str
    """Name of the tincture."""
    portion: Portion
    """The drop it is done with."""
    thinned: float = 1.0
    """One part of tincture in so many."""
    sip_ml: float = 0.0
    """What each tasting takes out of the sample."""
    steps: tuple[Step, ...] = ()
    untasted: tuple[Added, ...] = ()
    """What is in the sample since the last verdict."""
    remark: str = ""
    """What is to be noted with the next verdict."""
    ended: bool = False

    def __post_init__(self) -> None:
        """Refuse what no trial can be."""
        guards.within("thinned", self.thinned, 1.0, MOST_PARTS, f"from 1 to {MOST_PARTS} parts")
        most = self.base.volume_ml / 10.0
        guards.within(
            "sip", self.sip_ml, 0.0, most, f"from 0 to a tenth of the sample, {most:g} mL"
        )

    @property
    def drop_ml_l(self) -> float:
        """What one drop raises the level by."""
        return 1e3 * self.portion.each_ml / self.thinned / self.base.volume_ml

    @property
    def added_ml(self) -> float:
        """All that was added and tasted, as it was added."""
        return sum(step.added.value for step in self.steps)

    @property
    def untasted_ml(self) -> float:
        """All that was added since the last verdict, as it was added."""
        return sum(one.volume.value for one in self.untasted)


@dataclass(frozen=True, slots=True)
class Bracket:
    """Between which levels it is right, in mL/L."""

    low_ml_l: float
    """The most that was too little; 0 where nothing was."""
    high_ml_l: float | None
    """The least that was too much, where anything was."""
    mark_ml_l: float | None
    """Where to go: the least that was right, or the middle between too little and too much."""
    mark_u_ml_l: float | None
    """± of it, of tongue, dropper and sample together."""
    half_ml_l: float = 0.0
    """How far from the mark it may be by the verdicts alone."""


@dataclass(frozen=True, slots=True)
class Thinner:
    """How to thin a tincture so that a drop is fine enough."""

    parts: int
    """One part of what is dropped now in so many."""
    take_ml: float
    spirit_ml: float
    strength: float
    """Of the spirit: the tincture's own, so that it stays clear and its drops keep their size."""
    intensity: float
    """What the thinned one has."""


def together(trial: Trial, added: Sequence[Added]) -> Added:
    """Return several additions as one: `3 drops`, or `0.5 mL + 2 drops`.

    Where what was read on a scale is among them, its step stands for the ± of the drops too.
    """
    by_drop = [one.volume.value for one in added if not one.volume.resolution]
    steps = [one.volume.resolution for one in added if one.volume.resolution]
    told = [one.typed for one in added if one.volume.resolution]
    if by_drop:
        told.append(trial.portion.words(round(sum(by_drop) / trial.portion.each_ml)))
    if by_drop and steps:
        steps.append(step_for(sum(by_drop) * trial.portion.u))
    volume = Measured(sum(one.volume.value for one in added), hypot(*steps))
    return Added(volume, " + ".join(told))


def levels(trial: Trial) -> tuple[float, ...]:
    """Return the level that was tasted at each step; what tastings took away is allowed for."""
    return _levels(trial, [step.added.value for step in trial.steps])


def level_now(trial: Trial) -> float:
    """Return the level that is in the sample now, what is not tasted yet with it."""
    return _levels(trial, [*(step.added.value for step in trial.steps), trial.untasted_ml])[-1]


def _levels(trial: Trial, added_ml: Sequence[float]) -> tuple[float, ...]:
    base_ml, tincture_ml, thinner_ml = trial.base.volume_ml, 0.0, 0.0
    found = []
    for ml in added_ml:
        tincture_ml += ml / trial.thinned
        thinner_ml += ml * (1.0 - 1.0 / trial.thinned)
        found.append(1e3 * tincture_ml / base_ml)
        part = trial.sip_ml / (base_ml + tincture_ml + thinner_ml)
        stays = 1.0 - min(part, _MOST_SIPPED)
        base_ml, tincture_ml, thinner_ml = base_ml * stays, tincture_ml * stays, thinner_ml * stays
    return tuple(found)


def used(trial: Trial) -> Added:
    """Return all that the trial took so far, tasted or not, as it was added."""
    tasted = (Added(step.added, step.typed) for step in trial.steps)
    return together(trial, (*tasted, *trial.untasted))


def bracket(trial: Trial) -> Bracket:
    """Return what the verdicts so far say; no mark where there is none, or where they cross."""
    told = list(zip(levels(trial), trial.steps, strict=True))
    low = max((level for level, step in told if step.counts is Verdict.LITTLE), default=0.0)
    high = min((level for level, step in told if step.counts is Verdict.MUCH), default=None)
    rights = [level for level, step in told if step.counts is Verdict.RIGHT and level > low]
    if high is not None and (high <= low or any(level >= high for level in rights)):
        return Bracket(low, high, None, None)
    if not rights and high is None:
        return Bracket(low, None, None, None)
    mark = min(rights) if rights else (low + (high or 0.0)) / 2.0
    half = (high - low) / 2.0 if high is not None else mark - low
    scale = hypot(added_u(trial), trial.sample_u_ml / trial.base.volume_ml)
    return Bracket(low, high, mark, hypot(half / sqrt(3.0), mark * scale), half)


def sitting(trial: Trial, now: datetime) -> int:
    """Return how many steps were tasted in the sitting that goes on."""
    count, before = 0, now
    for step in reversed(trial.steps):
        if before - step.at >= REST:
            break
        count, before = count + 1, step.at
    return count


def is_coarse(trial: Trial) -> bool:
    """Return whether a drop is coarser than what it has to tell."""
    found = bracket(trial)
    if found.mark_ml_l is None:
        return False
    if found.mark_ml_l < _DROPS_TO_MARK * trial.drop_ml_l / _SLACK:
        return True
    across = None if found.high_ml_l is None else found.high_ml_l - found.low_ml_l
    return across is not None and across < _DROPS_ACROSS * trial.drop_ml_l / _SLACK


def thinner(trial: Trial, liquid: Liquid) -> Thinner | None:
    """Return how to thin the tincture for the next sample; None where a drop is fine enough.

    Then at least eight drops go to the mark and four between too little and too much.
    """
    found = bracket(trial)
    if found.mark_ml_l is None or not is_coarse(trial):
        return None
    finest = found.mark_ml_l / (2 * _DROPS_TO_MARK)
    if found.high_ml_l is not None:
        finest = min(finest, (found.high_ml_l - found.low_ml_l) / (2 * _DROPS_ACROSS))
    parts = min(MOST_PARTS, ceil(trial.drop_ml_l / finest / _SLACK))
    take_ml = _THINNED_ML / parts
    thinned = parts * trial.thinned
    return Thinner(
        parts, take_ml, _THINNED_ML - take_ml, liquid.strength, liquid.intensity / thinned
    )


def trial_findings(trial: Trial, liquid: Liquid, now: datetime) -> tuple[Finding, ...]:
    """Return what there is to say of a trial as it stands."""
    return tuple(
        found
        for found in (_tired(trial, now), _crossed(trial), _coarse(trial, liquid), _later(trial))
        if found
    )


def next_step(trial: Trial, now: datetime) -> str:
    """Return what to do next, in a sentence or two."""
    if trial.ended:
        return "The trial is ended."
    if trial.untasted:
        told = together(trial, trial.untasted).typed
        return f"{told} went in since: taste beside the untouched one, and say how it is."
    if not trial.steps:
        return (
            f"Measure {short(trial.base.volume_ml)} mL of {trial.base.name}, with an untouched "
            "glass beside it. Add one drop, stir, wait a minute, taste both."
        )
    return _after_step(trial, now)


def _after_step(trial: Trial, now: datetime) -> str:
    if sitting(trial, now) >= MOST_STEPS:
        return "Rest for an hour at least: water, plain bread. The trial waits."
    match trial.steps[-1].counts:
        case Verdict.LITTLE:
            return "Add a little more, stir, wait a minute, taste beside the untouched one."
        case Verdict.RIGHT:
            return "Stop here. Taste it again in ten minutes and tomorrow, then scale it up."
    return "That was too far. Scale up to the mark, or begin again below it with a fresh sample."


def added_u(trial: Trial) -> float:
    """Return the ± of what was added, as a part of it: of drops their size, of mL the scale."""
    total = trial.added_ml
    by_scale = hypot(*(step.added.u for step in trial.steps)) / total
    by_drop = sum(step.added.value for step in trial.steps if not step.added.resolution) / total
    return hypot(by_scale, by_drop * trial.portion.u)


def _tired(trial: Trial, now: datetime) -> Finding | None:
    count = sitting(trial, now)
    if count < MOST_STEPS:
        return None
    text = f"{count} steps in a sitting: the tongue is tired, and what it says now counts for less."
    return Finding("tongue_tired", Severity.WARN, text)


def _crossed(trial: Trial) -> Finding | None:
    found, told = bracket(trial), levels(trial)
    too_early = any(
        step.counts is not Verdict.LITTLE and level <= found.low_ml_l
        for level, step in zip(told, trial.steps, strict=True)
    )
    over = found.high_ml_l is not None and found.mark_ml_l is None
    if not (too_early or over):
        return None
    text = "The verdicts contradict each other: less was called more. Taste those steps again."
    return Finding("verdicts_cross", Severity.WARN, text)


def _coarse(trial: Trial, liquid: Liquid) -> Finding | None:
    made = thinner(trial, liquid)
    if made is None:
        return None
    in_all = "" if trial.thinned == 1.0 else f" ({made.parts * trial.thinned:g} in all)"
    text = (
        f"A drop, {trial.drop_ml_l:.2g} mL/L, is coarser than what it is to tell. Thin it first: "
        f"{made.take_ml:.2g} mL with {made.spirit_ml:.2g} mL of spirit of "
        f"{percent(made.strength)}, one part in {made.parts}{in_all}, and take a fresh sample."
    )
    return Finding("dropper_coarse", Severity.WARN, text)


def _later(trial: Trial) -> Finding | None:
    waiting = any(step.counts is Verdict.RIGHT and not step.later for step in trial.steps)
    if not waiting or any(step.later for step in trial.steps):
        return None
    text = "Nobody has tasted it the next day yet; that verdict counts more than today's."
    return Finding("taste_next_day", Severity.NOTE, text)
