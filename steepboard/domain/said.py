"""What the house said of a thing that it keeps by name: a line of its diary, as a frozen value."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Said:
    """One line that still counts."""

    id: int
    topic: str
    name: str
    kind: str
    """What was said: `keep`, `forget`, or a step of a bench trial."""
    at: datetime
    initials: str
    after_entry: int
    """The last entry of the jars' diaries when it was written, or 0."""
    after_bottle_entry: int
    """The last entry of the bottles' diaries then, or 0."""
