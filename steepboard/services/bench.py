"""The bench trial as it is done: begun, stepped up, tasted again, left and come back to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard import amounts
from steepboard.domain import bench as domain
from steepboard.domain.bench import Bracket, Trial, Verdict
from steepboard.domain.bottles import BottleState, Purpose
from steepboard.domain.dosing import Tool
from steepboard.domain.readings import Measured
from steepboard.errors import (
    BadAmount,
    NotEnough,
    NothingToUndo,
    NothingWeighed,
    NotKept,
    OutOfRange,
    WrongState,
)
from steepboard.numerals import quoted, read_number
from steepboard.services import house
from steepboard.services.bottle_shelf import bottle
from steepboard.services.bottles import Drawn, standing, write_draw
from steepboard.services.droppers import portion
from steepboard.services.typed_bottles import TOOLS
from steepboard.store import bottles as bottle_store
from steepboard.store import house as diary
from steepboard.store import trials as store
from steepboard.text import clean

if TYPE_CHECKING:
    from datetime import datetime

    from sqlite_utils import Database

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
        """All that was added to the sample and tasted."""
        return self.trial.added_ml

    @property
    def now_ml_l(self) -> float:
        """The level in the sample now, with what is not tasted yet."""
        return domain.level_now(self.trial)

    @property
    def level_ml_l(self) -> float:
        """What was tasted last; 0 before the first step."""
        return self.levels_ml_l[-1] if self.levels_ml_l else 0.0


@dataclass(frozen=True, slots=True)
class Ended:
    """A trial that is done, and what was drawn for it."""

    view: TrialView
    drawn: Drawn | None
    """What the drops took out of the bottle; None where there is nothing of it to be drawn."""


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


def put_in(desk: Desk, code: str, typed: str, now: datetime) -> TrialView:
    """Write down what went into the sample, `1 drop` say, before it is tasted; `BadAmount`."""
    with desk.store.writing() as db:
        trial = _open(desk, code, "stepped up")
        added = _added(trial, typed)
        entry = house.write(desk, db, "trial", trial.code, "step", now)
        store.add_untasted(db, entry, added.volume, added.typed)
    return view(desk, trial.code, now)


def take_out(desk: Desk, code: str, now: datetime) -> TrialView:
    """Take back what was put in last and not tasted. Raises `NothingToUndo`."""
    with desk.store.writing() as db:
        trial = _open(desk, code, "changed")
        last = store.last_added(desk.store, trial.code)
        if last is None:
            raise NothingToUndo("Nothing was added that is not tasted yet.")
        house.write_undo(desk, db, "trial", trial.code, last, now)
    return view(desk, trial.code, now)


def remark(desk: Desk, code: str, text: str, now: datetime) -> TrialView:
    """Keep what is to be noted with the next verdict; nothing takes back what was to be noted."""
    with desk.store.writing() as db:
        trial = _open(desk, code, "changed")
        if noted := clean(text, 500):
            entry = house.write(desk, db, "trial", trial.code, "step", now)
            store.add_remark(db, entry, noted)
        else:
            for entry in store.remarks(desk.store, trial.code):
                house.write_undo(desk, db, "trial", trial.code, entry, now)
    return view(desk, trial.code, now)


def add(
    desk: Desk, code: str, typed: str | None, verdict: Verdict, now: datetime, *, remark: str = ""
) -> TrialView:
    """Write down a step: `2 drops` or `0.1 ml` more, and how it tastes.

    What was put in before and not tasted belongs to it; `None` says that it is all there is.
    Raises `BadAmount`, and `NothingWeighed` where nothing was added.
    """
    with desk.store.writing() as db:
        trial = _open(desk, code, "stepped up")
        more = (_added(trial, typed),) if typed is not None else ()
        if not (trial.untasted or more):
            raise NothingWeighed("addition", "say what was added, like 2 drops")
        whole = domain.together(trial, (*trial.untasted, *more))
        noted = ". ".join(filter(None, (trial.remark, remark)))
        entry = house.write(desk, db, "trial", trial.code, "step", now)
        store.add_step(db, entry, verdict, clean(noted, 500), whole.volume, clean(whole.typed, 80))
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


def end(desk: Desk, code: str, now: datetime) -> Ended:
    """Say that a trial is done. What it found can still be scaled and kept.

    What its drops took is drawn from the bottle for tasting, where the bottle still holds it.
    """
    with desk.store.writing() as db:
        trial = _open(desk, code, "ended")
        house.write(desk, db, "trial", trial.code, "end", now)
        drawn = _draw(desk, db, trial, now)
    return Ended(view(desk, trial.code, now), drawn)


def views(desk: Desk, now: datetime, *, ended: bool = False) -> tuple[TrialView, ...]:
    """Return the trials that are open, the last begun first; ended ones too where asked for."""
    found = [one for one in store.trials(desk.store) if ended or not one.ended]
    return tuple(_view(desk, one, now) for one in reversed(found))


def view(desk: Desk, code: str, now: datetime) -> TrialView:
    """Return a trial; without a code the one begun last, of those that are open. `NotKept`."""
    return _view(desk, _trial(desk, code), now)


def no_level(one: TrialView) -> str:
    """Return that a trial cannot be scaled up yet, and what to do next."""
    return f"{one.trial.code} has found no level yet. {one.next_step}"


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
        raise BadAmount(typed, reason, trial.portion.words(2))
    if number.value < 1 or number.value != round(number.value):
        raise BadAmount(typed, f"{quoted(typed)} cannot be counted.", "2 drops")
    return Measured(number.value * trial.portion.each_ml, 0.0)


def _added(trial: Trial, typed: str) -> domain.Added:
    volume = read_step(typed, trial)
    if trial.added_ml + trial.untasted_ml + volume.value > trial.base.volume_ml:
        raise OutOfRange("amount added", volume.value, "less than the sample in all")
    return domain.Added(volume, clean(typed, 80))


def _draw(desk: Desk, db: Database, trial: Trial, now: datetime) -> Drawn | None:
    found, used = bottle(desk, trial.bottle), domain.used(trial)
    if found.state is not BottleState.STANDING or not used.volume.value:
        return None
    volume = Measured(used.volume.value / trial.thinned, used.volume.resolution / trial.thinned)
    by_drop = not volume.resolution
    thinned = f" of one part in {trial.thinned:g}" if trial.thinned > 1.0 else ""
    drawn = Drawn(
        volume,
        f"{clean(used.typed, 60)}{thinned}",
        trial.portion.name if by_drop else "",
        trial.portion.u if by_drop else 0.0,
    )
    act = bottle_store.next_act(db)
    try:
        write_draw(desk, db, found, drawn, Purpose.TASTING, act, now, note=trial.code)
    except NotEnough:
        return None
    return drawn


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
