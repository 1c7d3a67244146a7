"""The bench trial as it is done: begun, stepped up, tasted again, left and come back to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard import amounts
from steepboard.domain import bench as domain
from steepboard.domain.bench import Bracket, Trial, Verdict
from steepboard.domain.dosing import Tool
from steepboard.domain.readings import Measured
from steepboard.errors import BadAmount, NotKept, OutOfRange, WrongState
from steepboard.numerals import quoted, read_number
from steepboard.services import house
from steepboard.services.bottle_shelf import bottle
from steepboard.services.bottles import standing
from steepboard.services.droppers import portion
from steepboard.services.typed_bottles import TOOLS
from steepboard.store import house as diary
from steepboard.store import trials as store
from steepboard.text import clean

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.domain.base import Base
    from steepboard.domain.bottles import Bottle
    from steepboard.domain.findings import Finding
    from steepboard.services.desk import Desk


@dataclass(frozen=True, slots=True)
class TrialView:
    """A trial as it stands at the bench."""

    trial: Trial
    bottle: Bottle
    levels_ml_l: tuple[float, ...]
    """What was tasted at each step: mL of tincture to a litre of the base."""
    bracket: Bracket
    findings: tuple[Finding, ...]
    next_step: str
    steps_in_sitting: int

    @property
    def added_ml(self) -> float:
        """All that was added to the sample."""
        return self.trial.added_ml

    @property
    def level_ml_l(self) -> float:
        """What was tasted last; 0 before the first step."""
        return self.levels_ml_l[-1] if self.levels_ml_l else 0.0


def start(
    desk: Desk,
    code: str,
    base: Base,
    now: datetime,
    *,
    sample_u_ml: float,
    dropper: str = "",
    thinned: float = 1.0,
    sip_ml: float = 0.0,
) -> TrialView:
    """Begin a trial of what a bottle holds in a sample, whose volume is that of `base`.

    Raises `UnknownBottle`, `WrongState`, `NotKept` for a dropper, `OutOfRange`.
    """
    found = standing(desk, code, "tried")
    size = portion(desk, Tool.DROP, min(1.0, found.liquid.strength), dropper)
    with desk.store.writing() as db:
        taken = len(diary.names(desk.store, "trial"))
        trial = Trial(
            code=f"BENCH-{taken + 1:02}",
            at=now,
            initials=desk.initials,
            base=base,
            sample_u_ml=sample_u_ml,
            bottle=found.code,
            of=found.tag.name,
            portion=size,
            thinned=thinned,
            sip_ml=sip_ml,
        )
        entry = house.write(desk, db, "trial", trial.code, "keep", now)
        store.add_trial(db, entry, trial, found.tag.id)
    return view(desk, trial.code, now)


def add(
    desk: Desk, code: str, typed: str, verdict: Verdict, now: datetime, *, remark: str = ""
) -> TrialView:
    """Write down a step: `2 drops` or `0.1 ml` more, and how it tastes. Raises `BadAmount`."""
    with desk.store.writing() as db:
        trial = _open(desk, code, "stepped up")
        added = read_step(typed, trial)
        if trial.added_ml + added.value > trial.base.volume_ml:
            raise OutOfRange("amount added", added.value, "less than the sample in all")
        entry = house.write(desk, db, "trial", trial.code, "step", now)
        store.add_step(db, entry, verdict, clean(remark, 500), added, clean(typed, 80))
    return view(desk, trial.code, now)


def taste_again(
    desk: Desk, code: str, number: int, verdict: Verdict, now: datetime, *, remark: str = ""
) -> TrialView:
    """Write down what a step is found to be later, the next day say; it counts from then on."""
    with desk.store.writing() as db:
        trial = _open(desk, code, "tasted again")
        if not 1 <= number <= len(trial.steps):
            raise OutOfRange("step", number, f"one of the {len(trial.steps)} that were tasted")
        entry = house.write(desk, db, "trial", trial.code, "verdict", now)
        store.add_verdict(db, entry, trial.code, number, verdict, clean(remark, 500))
    return view(desk, trial.code, now)


def end(desk: Desk, code: str, now: datetime) -> TrialView:
    """Say that a trial is done. What it found can still be scaled and kept."""
    with desk.store.writing() as db:
        trial = _open(desk, code, "ended")
        house.write(desk, db, "trial", trial.code, "end", now)
    return view(desk, trial.code, now)


def views(desk: Desk, now: datetime, *, ended: bool = False) -> tuple[TrialView, ...]:
    """Return the trials that are open, the last begun first; ended ones too where asked for."""
    found = [one for one in store.trials(desk.store) if ended or not one.ended]
    return tuple(_view(desk, one, now) for one in reversed(found))


def view(desk: Desk, code: str, now: datetime) -> TrialView:
    """Return a trial; without a code the one begun last, of those that are open. `NotKept`."""
    return _view(desk, _trial(desk, code), now)


def read_step(typed: str, trial: Trial) -> Measured:
    """Read `2 drops` by the size of the trial's, or `0.1 ml` as typed. Raises `BadAmount`.

    What was counted has no step of its own: its ± is that of the drop.
    """
    number = read_number(typed, "2 drops")
    tool = TOOLS.get(number.rest.strip(" .").casefold())
    if tool is None:
        amount = amounts.parse_volume(typed)
        return Measured(amount.value, amount.resolution)
    if tool is not trial.portion.tool:
        reason = f"{trial.code} is done by the {trial.portion.tool.value}, not as {quoted(typed)}."
        raise BadAmount(typed, reason, f"2 {trial.portion.tool.value}s")
    if number.value < 1 or number.value != round(number.value):
        raise BadAmount(typed, f"{quoted(typed)} cannot be counted.", "2 drops")
    return Measured(number.value * trial.portion.each_ml, 0.0)


def _trial(desk: Desk, code: str) -> Trial:
    found = store.trials(desk.store)
    wanted = clean(code, 80).upper()
    for one in reversed(found):
        if one.code == wanted or (not wanted and not one.ended):
            return one
    raise NotKept("trial", wanted)


def _open(desk: Desk, code: str, act: str) -> Trial:
    trial = _trial(desk, code)
    if trial.ended:
        raise WrongState(trial.code, "ended", act)
    return trial


def _view(desk: Desk, trial: Trial, now: datetime) -> TrialView:
    found = bottle(desk, trial.bottle)
    return TrialView(
        trial,
        found,
        domain.levels(trial),
        domain.bracket(trial),
        domain.trial_findings(trial, found.liquid, now),
        domain.next_step(trial, now),
        domain.sitting(trial, now),
    )
