"""What the lines of a diary say, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.records import Kind, Measure
from steepboard.services.cautions import titles

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import tzinfo

    from steepboard.domain.bottles import BottleEntry
    from steepboard.domain.records import Entry
    from steepboard.domain.said import Said

_ORDER = {measure: position for position, measure in enumerate(Measure)}


def done_then(entries: Sequence[Entry | BottleEntry | Said], zone: tzinfo) -> str:
    """Return what was done together, when and by whom: `charge of 2 Mar 2026, KL`."""
    at = entries[0].at.astimezone(zone)
    kinds = " and ".join(dict.fromkeys(str(entry.kind) for entry in entries))
    return ", ".join(filter(None, (f"{kinds} of {at.day} {at:%b %Y}", entries[0].initials)))


def told(entry: Entry, diary: Sequence[Entry], zone: tzinfo) -> str:
    """Return what an entry tells beside its kind; `diary` is the one that it stands in."""
    taken = sorted(entry.readings, key=lambda reading: _ORDER[reading.measure])
    read = ", ".join(f"{reading.measure.value} {reading.typed}" for reading in taken)
    to = entry.strain_on if entry.kind is Kind.MOVE else None
    undid = [other for other in diary if other.act == entry.undoes]
    parts = (
        f"to {to:%a} {to.day:2d} {to:%b %Y}" if to else "",
        f"having read: {titles(entry.acknowledged)}" if entry.acknowledged else "",
        done_then(undid, zone) if undid else "",
        entry.note,
        read,
        "taken back" if entry.undone else "",
    )
    return "; ".join(filter(None, parts))
