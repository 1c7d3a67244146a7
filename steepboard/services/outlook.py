"""What the record tells of its reminders: the next, the last, and those that nobody said."""

from __future__ import annotations

from contextlib import closing
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from steepboard.domain.records import Source
from steepboard.errors import RecordUnusable, TooNew
from steepboard.services.desk import Desk
from steepboard.services.health import Health, State, no_shelf, unreadable
from steepboard.services.reminders import RecordReminders
from steepboard.store import deliveries, jars, looking
from steepboard.store.looking import Looker

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime, tzinfo

    from steepboard.paths import Home
    from steepboard.settings import Settings
    from steepboard.store.deliveries import Delivery

_LAST = 3
_LOOKED_AT = 100  # rows; assumed: three notices hardly name more jars


@dataclass(frozen=True, slots=True)
class Shelf:
    """What a look at the record needs to know; `zone` and `settings` may be stand-ins."""

    home: Home
    zone: tzinfo
    settings: Settings


def next_wake(shelf: Shelf, now: datetime) -> Health:
    """Tell when the next reminder comes, and what for."""

    def look(desk: Desk) -> Health:
        reminders = RecordReminders(desk)
        at = reminders.next_wake(now)
        if at is None:
            return Health("next", State.FINE, "No jar asks for anything yet to come.")
        titles = _listed([notice.title for notice in reminders.due(at)])
        return Health("next", State.FINE, f"{moment(at, desk.zone)}: {titles or 'a look'}.")

    return _read("next", shelf, now, look)


def last_deliveries(shelf: Shelf, now: datetime) -> Health:
    """Tell what was last sent, and why it could not be shown where it was not."""

    def look(desk: Desk) -> Health:
        rows = deliveries.last(desk.store, _LOOKED_AT)
        together = [list(rows) for _, rows in groupby(rows, key=lambda row: (row.at, row.reason))]
        if not together:
            return Health("last", State.FINE, "Nothing was sent yet.")
        told = " ".join(_delivery(desk, sent) for sent in together[:_LAST])
        if together[0][0].reason:
            advice = "It stays due and is tried again. What is wrong stands at notifications."
            return Health("last", State.MIND, told, advice)
        return Health("last", State.FINE, told)

    return _read("last", shelf, now, look)


def due(shelf: Shelf, now: datetime) -> Health:
    """Tell what is due and was not said."""

    def look(desk: Desk) -> Health:
        waiting = RecordReminders(desk).due(now)
        if not waiting:
            return Health("due", State.FINE, "Nothing is due that was not said.")
        titles = _listed([notice.title for notice in waiting])
        since = moment(min(notice.due for notice in waiting), desk.zone)
        told = f"Not said yet: {titles}, since {since}."
        return Health(
            "due",
            State.MIND,
            told,
            "Do it now. What keeps it from being said stands at lock and notifications.",
        )

    return _read("due", shelf, now, look)


def moment(at: datetime, zone: tzinfo) -> str:
    """Return an instant for people, in local time."""
    local = at.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b %Y}, {local.hour}:{local:%M}"


def _read(check: str, shelf: Shelf, now: datetime, look: Callable[[Desk], Health]) -> Health:
    """Look at a record that is there, whole, and of this version; say so where it is not."""
    if not shelf.home.record.exists():
        return no_shelf(check)
    try:
        with closing(Looker(shelf.home.record)) as store:
            if looking.behind(store):
                return Health(check, State.MIND, "Not known for an older record.", "See schema.")
            if deliveries.ahead_of_clock(store, now):
                return _clock_was_ahead(check)
            return look(Desk(store, shelf.zone, shelf.settings, Source.COMMAND, ""))
    except TooNew:
        return Health(check, State.MIND, "Not known for a newer record.", "See schema.")
    except RecordUnusable:
        return unreadable(check)


def _clock_was_ahead(check: str) -> Health:
    return Health(
        check,
        State.MIND,
        "Not known: reminders were sent by a clock more than a day ahead of this one.",
        "Set the clock of this machine right, if it is wrong.",
    )


def _delivery(desk: Desk, sent: list[Delivery]) -> str:
    codes = dict.fromkeys(_words(desk, row.key) for row in sent)
    told = f"{moment(sent[0].at, desk.zone)}: {_listed(list(codes))}"
    return f"{told}: not shown. {sent[0].reason}" if sent[0].reason else f"{told}."


def _words(desk: Desk, key: str) -> str:
    """Return a key of a delivery for people: `stir CARA-01` for `stir/1/2026-03-02`."""
    kind, jar_id, _ = key.split("/", 2)
    jar = jars.by_id(desk.store, int(jar_id))
    return f"{'strain' if kind == 'loud' else kind} {jar.code if jar else 'a jar'}"


def _listed(words: list[str]) -> str:
    more = len(words) - _LAST
    return ", ".join(words[:_LAST]) + (f" and {more} more" if more > 0 else "")
