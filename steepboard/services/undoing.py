"""What an undo would take back, to be asked about before it is done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.store import diary, jars

if TYPE_CHECKING:
    from steepboard.domain.records import Entry
    from steepboard.services.desk import Desk


@dataclass(frozen=True, slots=True)
class LastAct:
    """The last act that still counts."""

    code: str
    entries: tuple[Entry, ...]
    """At least one; made together, taken back together."""


def last_act(desk: Desk, code: str | None = None) -> LastAct | None:
    """Return the last act of a jar, or of the whole shelf; None where nothing is left."""
    jar_id = jars.id_of(desk.store, code) if code else None
    found = diary.last_act(desk.store.db, jar_id)
    if found is None:
        return None
    jar_id, act, code = found
    entries = (entry for entry in jars.diary(desk.store, jar_id) if entry.act == act)
    return LastAct(code, tuple(entries))
