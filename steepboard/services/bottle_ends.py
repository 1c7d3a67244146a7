"""What became of a bottle, in one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.bottles import BottleKind, BottleState, Purpose
from steepboard.services import bottle_shelf

if TYPE_CHECKING:
    from steepboard.domain.bottles import Bottle
    from steepboard.services.desk import Desk

_TOLD = {
    BottleKind.TOP_UP: "topped up",
    BottleKind.COUNT: "counted",
    BottleKind.CORRECT: "corrected",
    BottleKind.USE_UP: "used up",
    BottleKind.BREAK: "broken",
    BottleKind.DISCARD: "discarded",
}


def became(desk: Desk, one: Bottle) -> str:
    """Return what was drawn for what, what else was done and why, and what it still holds."""
    live = [entry for entry in bottle_shelf.diary(desk, one) if not entry.undone]
    drawn = {
        purpose: sum(e.volume.value for e in live if e.purpose is purpose and e.volume)
        for purpose in Purpose
    }
    draws = [f"{ml:.1f} mL for {purpose.value}" for purpose, ml in drawn.items() if ml > 0.0]
    events = [
        ", ".join(filter(None, (f"{_TOLD[e.kind]} {desk.day(e.at):%Y-%m-%d}", e.note)))
        for e in live
        if e.kind in _TOLD
    ]
    holds = f"holds {one.left_ml:.1f} ± {one.left_u_ml:.1f} mL"
    standing = [holds] if one.state is BottleState.STANDING else []
    return "; ".join([*draws, *events, *standing])
