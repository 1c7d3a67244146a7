"""What a calendar file says of the shelf, and how often each part of it has changed."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from steepboard.domain.agenda import Matter, matters
from steepboard.domain.schedule import ReminderKind
from steepboard.services import material
from steepboard.services.rhythms import series_of
from steepboard.services.starts import start_series
from steepboard.store import jars, published, shelf
from steepboard.store.published import Published
from steepboard.text import visible

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import tzinfo

    from steepboard.domain.records import Jar
    from steepboard.domain.schedule import Series
    from steepboard.services.desk import Desk

# How long a calendar that fetches the file now and then is told that something is gone; assumed.
_TOLD_GONE = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class Event:
    """One event of the calendar; its uid never changes, its sequence grows with each change."""

    uid: str
    sequence: int
    changed_at: datetime
    cancelled: bool
    matter: Matter


def agenda(desk: Desk, now: datetime) -> tuple[Event, ...]:
    """Return what the calendar says, by uid, and remember it; nothing is written if unchanged.

    What is gone, because it was done or taken back, is told as cancelled for 60 days.
    """
    if _changes(desk, now):
        with desk.store.writing() as db:
            published.keep(db, _changes(desk, now))
            published.forget(db, now - _TOLD_GONE)
    return tuple(
        _event(row)
        for row in published.everything(desk.store)
        if row.gone_at is None or row.gone_at >= now - _TOLD_GONE
    )


def _changes(desk: Desk, now: datetime) -> list[Published]:
    """Return what is to be published otherwise than it was."""
    known = {row.uid: row for row in published.everything(desk.store)}
    wanted = _wanted(desk, now)
    changes = []
    for uid, matter in wanted.items():
        row = known.get(uid)
        if row is None:
            changes.append(Published(uid, 0, _content(matter, now)))
        elif row.gone_at or _event(row).matter != matter:
            changes.append(Published(uid, row.sequence + 1, _content(matter, now)))
    for uid, row in known.items():
        if uid not in wanted and row.gone_at is None:
            changes.append(replace(row, sequence=row.sequence + 1, gone_at=now))
    return changes


def _wanted(desk: Desk, now: datetime) -> dict[str, Matter]:
    """Return what the unfinished jars ask for, and the next ones, by uid."""
    shelf_id, away, name = shelf.identity(desk.store), shelf.away(desk.store), zone_name(desk.zone)
    return {
        f"{kind.value}-{jar.id}@{shelf_id}": replace(matter, summary=visible(matter.summary))
        for jar, series in _asking(desk, now)
        for kind, matter in matters(series, _notes(desk, jar), away, desk.zone, name).items()
    }


def _asking(desk: Desk, now: datetime) -> Iterator[tuple[Jar, tuple[Series, ...]]]:
    active = jars.active(desk.store)
    for jar in active:
        yield jar, series_of(desk, jar)
    for one in start_series(desk, now, active):
        if last := jars.by_id(desk.store, one.jar_id):
            yield last, (one,)


def zone_name(zone: tzinfo) -> str:
    """Return the name of a zone in the tz database, or nothing where it has none there."""
    name = str(zone)
    try:
        return ZoneInfo(name).key
    except (LookupError, ValueError, OSError):
        return ""


def _notes(desk: Desk, jar: Jar) -> dict[ReminderKind, str]:
    found = [
        caution
        for line in jar.charge.botanicals
        for caution in material.cautions_of(line, desk.library)
    ]
    titles = "; ".join(dict.fromkeys(caution.title for caution in found))
    mind = f" Mind: {titles}." if titles else ""
    until = f"To be strained on {jar.strain_on.day} {jar.strain_on:%B}.{mind}"
    return {
        ReminderKind.STRAIN: f"Lay out filter, bottles and labels the evening before.{mind}",
        ReminderKind.STIR: until,
        ReminderKind.TASTE: until,
        ReminderKind.BOTTLE: f"It has settled.{mind}",
        ReminderKind.START: f"Else the bottle runs dry before the next one is ready.{mind}",
    }


def _content(matter: Matter, now: datetime) -> str:
    return json.dumps(
        {
            "changed_at": now.isoformat(),
            "summary": matter.summary,
            "description": matter.description,
            "zone": matter.zone,
            "wall": matter.wall.isoformat("minutes"),
            "first": matter.first.isoformat(),
            "every": matter.every,
            "last": matter.last.isoformat() if matter.last else None,
            "left_out": [day.isoformat() for day in matter.left_out],
            "alarms": [alarm.total_seconds() for alarm in matter.alarms],
            **({"added": [day.isoformat() for day in matter.added]} if matter.added else {}),
        }
    )


def _event(row: Published) -> Event:
    known = json.loads(row.content)
    matter = Matter(
        known["summary"],
        known["description"],
        known["zone"],
        time.fromisoformat(known["wall"]),
        date.fromisoformat(known["first"]),
        known["every"],
        date.fromisoformat(known["last"]) if known["last"] else None,
        tuple(map(date.fromisoformat, known["left_out"])),
        tuple(timedelta(seconds=seconds) for seconds in known["alarms"]),
        tuple(map(date.fromisoformat, known.get("added", ()))),
    )
    changed = row.gone_at or datetime.fromisoformat(known["changed_at"])
    return Event(row.uid, row.sequence, changed, row.gone_at is not None, matter)
