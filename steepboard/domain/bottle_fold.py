"""From the diaries of bottles to what they hold, each with ±."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import hypot, sqrt

from steepboard.domain.bottles import (
    Bottle,
    BottleEntry,
    BottleKind,
    BottleState,
    Poured,
    Tag,
    Weighing,
)
from steepboard.domain.liquor import SOLIDS_ML_PER_G
from steepboard.domain.mixing import Liquid, density, mixed
from steepboard.domain.readings import Measured

_ENDS = {
    BottleKind.USE_UP: BottleState.USED_UP,
    BottleKind.BREAK: BottleState.BROKEN,
    BottleKind.DISCARD: BottleState.DISCARDED,
}


def step_for(u: float) -> float:
    """Return the step of an instrument whose readings have this ±, the reverse of `Measured.u`."""
    return u * 2.0 * sqrt(3.0)


def weighed_ml(
    weighing: Weighing,
    liquid: Liquid,
    filled: tuple[float, float],
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
) -> tuple[float, float]:
    """Return what a bottle on the scale holds, in mL at 20 °C, and its ±; negative if it must.

    By its empty mass, or else by how much lighter it is than when it was `filled` with so many
    mL and their ±. The air's lift is left out: a thousandth.
    """
    g_ml, g_ml_u = density(liquid, solids_ml_per_g)
    other = weighing.empty or weighing.full
    if other is None:
        return filled
    apart_ml = (weighing.now.value - other.value) / g_ml
    u = hypot(weighing.now.u / g_ml, other.u / g_ml, apart_ml * g_ml_u / g_ml)
    if weighing.empty:
        return apart_ml, u
    return filled[0] + apart_ml, hypot(u, filled[1])


def fold(
    tags: Iterable[Tag],
    entries: Iterable[BottleEntry],
    jars: Mapping[int, Liquid],
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
) -> dict[int, Bottle]:
    """Return the bottles by id, from all their diaries, whose entries may come in any order.

    `jars` has the liquid of each jar that anything was poured from. A bottle whose fill was
    taken back is left out. Nothing ever holds less than 0 mL.
    """
    folds: dict[int, _Fold] = {}
    for entry in sorted(entries, key=lambda one: one.id):
        if entry.undone or entry.kind is BottleKind.UNDO:
            continue
        parts = [(_liquid(one, jars, folds), one.volume) for one in entry.poured]
        if entry.kind is BottleKind.FILL:
            folds[entry.bottle_id] = _filled(entry, parts, solids_ml_per_g)
        elif entry.bottle_id in folds:
            folds[entry.bottle_id].take(entry, parts, solids_ml_per_g)
    known = {tag.id: tag for tag in tags}
    return {id_: one.bottle(known[id_]) for id_, one in folds.items()}


def _liquid(poured: Poured, jars: Mapping[int, Liquid], folds: Mapping[int, _Fold]) -> Liquid:
    if poured.jar_id is not None:
        return jars[poured.jar_id]
    if poured.bottle_id is not None:
        return folds[poured.bottle_id].liquid
    return Liquid(poured.strength or 0.0)


@dataclass
class _Fold:
    """What one bottle's entries add up to; `by_tool` is what each tool may be off by, in mL."""

    fill: BottleEntry
    liquid: Liquid
    filled: tuple[float, float]
    left_ml: float
    spread_ml: float
    poured: tuple[Poured, ...]
    by_tool: dict[str, float] = field(default_factory=dict)
    counted: BottleEntry | None = None
    end: BottleEntry | None = None
    weighings: dict[str, Measured] = field(default_factory=dict)

    @property
    def left_u_ml(self) -> float:
        """± of what is left."""
        return hypot(self.spread_ml, *self.by_tool.values())

    def take(
        self,
        entry: BottleEntry,
        parts: list[tuple[Liquid, Measured]],
        solids_ml_per_g: float,
    ) -> None:
        """Add one entry that is not the fill."""
        match entry.kind:
            case BottleKind.TOP_UP:
                self._top_up(entry, parts, solids_ml_per_g)
            case BottleKind.DRAW:
                self._draw(entry)
            case BottleKind.COUNT if entry.weighing:
                left, u = weighed_ml(entry.weighing, self.liquid, self.filled, solids_ml_per_g)
                told = {"empty": entry.weighing.empty, "full": entry.weighing.full}
                self.weighings |= {name: read for name, read in told.items() if read}
                self._reset(entry, left, u)
            case BottleKind.CORRECT if entry.volume:
                self._reset(entry, entry.volume.value, entry.volume.u)
            case kind if kind in _ENDS:
                self.left_ml, self.spread_ml, self.by_tool, self.end = 0.0, 0.0, {}, entry

    def _top_up(
        self, entry: BottleEntry, parts: list[tuple[Liquid, Measured]], solids_ml_per_g: float
    ) -> None:
        held = Measured(self.left_ml, step_for(self.left_u_ml))
        self.liquid, self.left_ml = mixed([(self.liquid, held), *parts], solids_ml_per_g)
        self.spread_ml = hypot(self.spread_ml, *(volume.u for _, volume in parts))
        self.poured += entry.poured

    def _draw(self, entry: BottleEntry) -> None:
        drawn = entry.volume or Measured(0.0, 0.0)
        self.left_ml = max(0.0, self.left_ml - drawn.value)
        self.spread_ml = hypot(self.spread_ml, drawn.u)
        if entry.tool_u:
            before = self.by_tool.get(entry.tool, 0.0)
            self.by_tool[entry.tool] = before + drawn.value * entry.tool_u

    def _reset(self, entry: BottleEntry, left_ml: float, u_ml: float) -> None:
        self.left_ml, self.spread_ml = max(0.0, left_ml), u_ml
        self.by_tool, self.counted = {}, entry

    def bottle(self, tag: Tag) -> Bottle:
        """Return what all of it adds up to."""
        return Bottle(
            tag=tag,
            state=_ENDS[self.end.kind] if self.end else BottleState.STANDING,
            size_ml=self.fill.size_ml or self.filled[0],
            filled_ml=self.filled[0],
            filled_u_ml=self.filled[1],
            filled_at=self.fill.at,
            left_ml=self.left_ml,
            left_u_ml=self.left_u_ml,
            liquid=self.liquid,
            poured=self.poured,
            ended_at=self.end.at if self.end else None,
            counted_at=self.counted.at if self.counted else None,
            empty=self.weighings.get("empty"),
            full=self.weighings.get("full"),
        )


def _filled(
    entry: BottleEntry, parts: list[tuple[Liquid, Measured]], solids_ml_per_g: float
) -> _Fold:
    liquid, volume_ml = mixed(parts, solids_ml_per_g)
    u = hypot(*(volume.u for _, volume in parts))
    return _Fold(entry, liquid, (volume_ml, u), volume_ml, u, entry.poured)
