"""What people do with bottles. Each act is one transaction and leaves its line in the diary."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Any

from steepboard.domain import guards
from steepboard.domain.bottle_fold import weighed_ml
from steepboard.domain.bottles import (
    Bottle,
    BottleKind,
    BottleState,
    Purpose,
    Tag,
    Weighing,
)
from steepboard.domain.figures import short
from steepboard.domain.readings import Measured
from steepboard.errors import (
    Doubtful,
    NoReason,
    NotEnough,
    NothingWeighed,
    OutOfRange,
    WrongState,
)
from steepboard.services.bottle_entries import written
from steepboard.services.bottle_shelf import bottle
from steepboard.store import bottles as store

if TYPE_CHECKING:
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.services.desk import Desk

BRIM = 1.05
"""Times its size that a bottle holds when it is full to the brim. Assumed."""
_ENDS = {
    BottleKind.USE_UP: "used up",
    BottleKind.BREAK: "broken",
    BottleKind.DISCARD: "discarded",
}


@dataclass(frozen=True, slots=True)
class Drawn:
    """An amount taken with something whose own size may be off by the part `tool_u`."""

    volume: Measured
    typed: str
    tool: str = ""
    tool_u: float = 0.0

    @property
    def u_ml(self) -> float:
        """± of it in mL."""
        return hypot(self.volume.u, self.volume.value * self.tool_u)


@dataclass(frozen=True, slots=True)
class Counted:
    """What a count found, beside what the diary had told; mL with their ±."""

    bottle: Bottle
    expected_ml: float
    expected_u_ml: float

    @property
    def off_ml(self) -> float:
        """Found less expected."""
        return self.bottle.left_ml - self.expected_ml

    @property
    def is_off(self) -> bool:
        """Whether they differ by more than both ± explain."""
        return abs(self.off_ml) > 2.0 * hypot(self.bottle.left_u_ml, self.expected_u_ml)


def draw(
    desk: Desk, code: str, drawn: Drawn, purpose: Purpose, now: datetime, *, note: str = ""
) -> Bottle:
    """Take something out of a bottle. Raises `NotEnough` and `WrongState`."""
    with desk.store.writing() as db:
        found = standing(desk, code, "drawn from")
        write_draw(desk, db, found, drawn, purpose, store.next_act(db), now, note=note)
    return bottle(desk, code)


def write_draw(
    desk: Desk,
    db: Database,
    found: Bottle,
    drawn: Drawn,
    purpose: Purpose,
    act: int,
    now: datetime,
    *,
    note: str = "",
) -> int:
    """Write a draw as part of an act, inside `Store.writing()`; raises `NotEnough`."""
    guards.positive("amount drawn", drawn.volume.value)
    if drawn.volume.value > found.left_ml + 2.0 * hypot(found.left_u_ml, drawn.u_ml):
        raise NotEnough(found.code, drawn.volume.value, found.left_ml, found.left_u_ml)
    entry = written(
        desk,
        db,
        found.tag.id,
        act,
        BottleKind.DRAW,
        now,
        note=note,
        typed=drawn.typed,
        volume=drawn.volume,
        purpose=purpose,
        tool=drawn.tool,
        tool_u=drawn.tool_u,
    )
    return store.add_entry(db, entry)


def count(
    desk: Desk,
    code: str,
    now_g: Measured,
    now: datetime,
    *,
    empty: Measured | None = None,
    full: Measured | None = None,
    note: str = "",
    sure: bool = False,
) -> Counted:
    """Count a bottle by weighing; what it weighs empty or full is remembered from before.

    Raises `NothingWeighed` where neither is known, `OutOfRange` where it is lighter than empty,
    `Doubtful` where it would hold more than a bottle of its size.
    """
    with desk.store.writing() as db:
        found = standing(desk, code, "counted")
        weighing = Weighing(now_g, empty or found.empty, full or found.full)
        if weighing.empty is None and weighing.full is None:
            allowed = "say what the bottle weighs empty, or what it weighed when it was full"
            raise NothingWeighed("second mass", allowed)
        solids = desk.settings.arithmetic.solids_ml_per_g
        left, u = weighed_ml(weighing, found.liquid, (found.filled_ml, found.filled_u_ml), solids)
        if left < -2.0 * u:
            raise OutOfRange("mass of the bottle", now_g.value, "at least what it weighs empty")
        _refuse_overfull(found, left - 2.0 * u, sure=sure)
        _write(desk, db, found.tag, BottleKind.COUNT, now, note=note, weighing=weighing)
    return Counted(bottle(desk, code), found.left_ml, found.left_u_ml)


def correct(
    desk: Desk, code: str, holds: Measured, why: str, now: datetime, *, typed: str = ""
) -> Counted:
    """Say anew what a bottle holds, with the reason. Raises `NoReason`, `OutOfRange`."""
    with desk.store.writing() as db:
        found = standing(desk, code, "corrected")
        note = _reason(why, "corrected")
        most = found.size_ml * BRIM
        guards.within("content", holds.value, 0.0, most, f"from 0 to {most:.4g} mL")
        _write(desk, db, found.tag, BottleKind.CORRECT, now, note=note, volume=holds, typed=typed)
    return Counted(bottle(desk, code), found.left_ml, found.left_u_ml)


def end(desk: Desk, code: str, how: BottleKind, why: str, now: datetime) -> Bottle:
    """Say that a bottle is used up, broken or discarded; all but the first with a reason."""
    with desk.store.writing() as db:
        found = standing(desk, code, _ENDS[how])
        note = why if how is BottleKind.USE_UP else _reason(why, _ENDS[how])
        _write(desk, db, found.tag, how, now, note=note)
    return bottle(desk, code)


def standing(desk: Desk, code: str, act: str) -> Bottle:
    """Return a bottle that stands; raises `UnknownBottle` and `WrongState`."""
    found = bottle(desk, code)
    if found.state is not BottleState.STANDING:
        raise WrongState(found.code, found.state.value, act)
    return found


def _refuse_overfull(found: Bottle, at_least_ml: float, *, sure: bool) -> None:
    if at_least_ml > found.size_ml * BRIM and not sure:
        told = (
            f"By the scale {found.code} would hold at least {at_least_ml:.1f} mL, more than a "
            f"bottle of {short(found.size_ml)} mL. Is it weighed right?"
        )
        raise Doubtful((told,))


def _reason(why: str, act: str) -> str:
    if not why.strip():
        raise NoReason(act)
    return why


def _write(
    desk: Desk, db: Database, tag: Tag, kind: BottleKind, now: datetime, **told: Any
) -> None:
    store.add_entry(db, written(desk, db, tag.id, store.next_act(db), kind, now, **told))
