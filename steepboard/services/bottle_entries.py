"""The lines that acts on bottles leave, signed as the desk is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from steepboard.domain.bottles import BottleEntry, BottleKind
from steepboard.store import bottles
from steepboard.text import clean

if TYPE_CHECKING:
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.services.desk import Desk


def written(
    desk: Desk,
    db: Database,
    bottle_id: int,
    act: int,
    kind: BottleKind,
    now: datetime,
    *,
    note: str = "",
    typed: str = "",
    **told: Any,
) -> BottleEntry:
    """Return a line as it is to be written; inside `Store.writing()`."""
    return BottleEntry(
        id=0,
        bottle_id=bottle_id,
        act=act,
        kind=kind,
        at=now,
        source=desk.source,
        initials=desk.initials,
        note=clean(note, 500),
        undone=False,
        after_entry=bottles.last_jar_entry(db),
        typed=clean(typed, 80),
        **told,
    )
