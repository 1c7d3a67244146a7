"""What was done to a jar or a bottle, in a word; a leaf, so that the first screen loads little."""

from __future__ import annotations

from steepboard.domain.records import Kind

DONE: dict[str, str] = {
    Kind.PLAN: "planned",
    Kind.CHARGE: "charged",
    Kind.STIR: "stirred",
    Kind.TASTE: "tasted",
    Kind.MOVE: "strain day moved",
    Kind.STRAIN: "strained",
    Kind.READING: "measured",
    Kind.BOTTLE: "bottled",
    Kind.DISCARD: "discarded",
    Kind.REMIND: "reminders changed",
    Kind.UNDO: "taken back",
    "fill": "filled",
    "top up": "topped up",
    "draw": "drawn from",
    "count": "counted",
    "correct": "corrected",
    "use up": "used up",
    "break": "broken",
}
"""What was done to a jar or, by the value of its `BottleKind`, to a bottle; in a word."""
