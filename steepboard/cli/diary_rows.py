"""What the lines of a jar's and of a bottle's diary have in common, for people and for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.cli.render import iso, word

if TYPE_CHECKING:
    from datetime import tzinfo

    from steepboard.domain.bottles import BottleEntry
    from steepboard.domain.records import Entry


def line(entry: Entry | BottleEntry, said: str, zone: tzinfo) -> tuple[str, str, str, str]:
    """Return a line in rows: when, what, by whom, and what it says beside."""
    at = entry.at.astimezone(zone)
    return f"{at:%Y-%m-%d %H:%M}", entry.kind.value, entry.initials, said


def line_json(entry: Entry | BottleEntry) -> dict[str, object]:
    """Return what every line has, for programs."""
    return {
        "act": entry.act,
        "kind": word(entry.kind),
        "at": iso(entry.at),
        "source": word(entry.source),
        "initials": entry.initials,
        "note": entry.note,
        "undoes": entry.undoes,
        "undone": entry.undone,
    }
