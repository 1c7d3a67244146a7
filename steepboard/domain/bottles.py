"""Bottles: what is known of one for good, and the lines of its diary, as frozen values.

What a bottle holds is never stored: `bottle_fold` works it out of the diary.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from steepboard.domain.mixing import Liquid
from steepboard.domain.readings import Measured
from steepboard.domain.records import Source


class BottleState(StrEnum):
    """Where a bottle stands in its life."""

    STANDING = "standing"
    USED_UP = "used up"
    BROKEN = "broken"
    DISCARDED = "discarded"


class BottleKind(StrEnum):
    """What an entry of a bottle's diary says was done."""

    FILL = "fill"
    TOP_UP = "top up"
    DRAW = "draw"
    COUNT = "count"
    """What it holds was found by weighing."""
    CORRECT = "correct"
    """What it holds was said anew, with a reason."""
    USE_UP = "use up"
    BREAK = "break"
    DISCARD = "discard"
    UNDO = "undo"


class Purpose(StrEnum):
    """For what something was drawn."""

    DOSE = "dose"
    BLEND = "blend"
    TASTING = "tasting"
    SPILL = "spill"


@dataclass(frozen=True, slots=True)
class Poured:
    """One thing that went into a bottle: from a jar, from another bottle, or plain spirit."""

    volume: Measured
    """In mL at 20 °C."""
    jar_id: int | None = None
    bottle_id: int | None = None
    spirit: str | None = None
    """Its name; water too."""
    strength: float | None = None
    """Of the spirit, by volume at 20 °C."""


@dataclass(frozen=True, slots=True)
class Weighing:
    """A bottle on the scale, in g: as it is now, and empty, or full as it was filled."""

    now: Measured
    empty: Measured | None = None
    full: Measured | None = None


@dataclass(frozen=True, slots=True)
class BottleEntry:
    """One line of a bottle's diary."""

    id: int
    bottle_id: int
    act: int
    """Entries that were made together share it, over all bottles; an undo takes them all back."""
    kind: BottleKind
    at: datetime
    source: Source
    initials: str
    note: str
    undone: bool
    after_entry: int
    """The last entry of the jars' diaries when this was written; 0 for none."""
    jar_entry: int | None = None
    """The entry of a jar's diary that was written with it."""
    undoes: int | None = None
    """The act that this entry takes back."""
    size_ml: float | None = None
    """What the bottle is sold as; a fill has it."""
    volume: Measured | None = None
    """Drawn, or what it holds by a correction, in mL."""
    typed: str = ""
    purpose: Purpose | None = None
    tool: str = ""
    """With what was drawn, where its size is no scale's: `drop`, `dash`, a dropper's name."""
    tool_u: float = 0.0
    """± of the tool's size as a fraction; every draw with it is off by the same part."""
    weighing: Weighing | None = None
    poured: tuple[Poured, ...] = ()


@dataclass(frozen=True, slots=True)
class Tag:
    """What a bottle is known by, for good."""

    id: int
    code: str
    """Its batch and a letter, say `CARA-03-A`."""
    batch: str
    """The code of its jar, or of a blend of several."""
    jar_id: int | None
    """None for a blend."""
    name: str


@dataclass(frozen=True, slots=True)
class Bottle:
    """One bottle as the diaries tell it (undone acts left out)."""

    tag: Tag
    state: BottleState
    size_ml: float
    filled_ml: float
    """What was filled in, without what topped it up."""
    filled_u_ml: float
    filled_at: datetime
    left_ml: float
    """What it holds, at 20 °C; 0 once it has ended."""
    left_u_ml: float
    liquid: Liquid
    poured: tuple[Poured, ...]
    """All that ever went into it."""
    ended_at: datetime | None = None
    counted_at: datetime | None = None
    """When what it holds was last counted or corrected."""
    empty: Measured | None = None
    """Its own mass in g, as last told."""
    full: Measured | None = None
    """Its mass in g as filled, as last told."""

    @property
    def code(self) -> str:
        """Its code."""
        return self.tag.code


def letters(number: int) -> str:
    """Return the letters of the bottle with this number, from 0: A to Z, then AA, AB and so on."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("A") + rest) + text
    return text
