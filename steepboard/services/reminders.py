"""The record as the reminder service sees it: due, claimed, delivered, answered."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from steepboard.domain import schedule
from steepboard.domain.local_time import DAY, local_day
from steepboard.domain.notices import notices
from steepboard.services.answers import answer
from steepboard.services.rhythms import quiet_of, series_of
from steepboard.services.starts import start_series
from steepboard.store import deliveries, jars, on_screen

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable
    from datetime import datetime

    from steepboard.domain.notices import Notice
    from steepboard.domain.quiet import Quiet
    from steepboard.domain.schedule import Reminder, Series, Snoozes
    from steepboard.services.answers import Answer
    from steepboard.services.desk import Desk

CLAIM_HOLDS = timedelta(seconds=60)  # assumed: far longer than any delivery may take
_SAME_MOMENT = timedelta(seconds=1)  # assumed: alarms are sooner, and what follows has its own


@dataclass(frozen=True, slots=True)
class _Known:
    """What was read of the record, and by which version and desk."""

    at: datetime
    version: int
    desk: Desk
    series: tuple[Series, ...]
    quiet: Quiet
    snoozes: Snoozes


@dataclass(frozen=True, slots=True)
class _Look:
    """What is due at a moment, and what else will be within the minutes that go out as one."""

    at: datetime
    known: _Known
    found: tuple[Reminder, ...]
    near: tuple[Reminder, ...]


class RecordReminders:
    """Due notices and what became of them, in the record of one shelf.

    The desk must have a connection of its own, so that what the board writes is seen. `renew`
    returns the desk as settings and zone have it now, the same one where nothing changed.
    """

    def __init__(self, desk: Desk, renew: Callable[[Desk], Desk] = lambda desk: desk) -> None:
        desk.store.hold_little()
        self._desk, self._renew = desk, renew
        self._known: _Known | None = None
        self._looked: _Known | None = None
        """What the last look at what is due went by; a look takes as long as sending does."""
        self._ahead: _Look | None = None
        self._left_to_others = False
        """Whether the last look left out what somebody else claimed and did not say yet."""

    def due(self, now: datetime) -> tuple[Notice, ...]:
        """Return what is due and was not delivered yet; near ones of a kind come along.

        So do those of the kind that were said before and are still to be done, since their notice
        gives way to the new one; on return from days away all that still stands comes along. What
        another process claimed is left to it, as long as its claim holds.
        """
        desk, store = self._desk, self._desk.store
        if deliveries.ahead_of_clock(store, now):
            with store.transaction() as conn:
                deliveries.forget_ahead(conn, now)
            self._known = None  # its own writes do not change the version
        minutes = desk.settings.reminders.group_minutes
        look = self._look(now)
        self._looked = look.known
        said = self._said(look.found, now)
        self._left_to_others = not all(said.values())
        new = [reminder for reminder in look.found if reminder.key not in said]
        kinds = {reminder.kind for reminder in (look.found if _after_away(new, look) else new)}
        if not new:
            return ()
        near = [reminder for reminder in look.near if reminder.kind in kinds]
        said |= self._said(near, now)
        told = [r for r in (*look.found, *near) if r.kind in kinds and said.get(r.key, True)]
        return notices(told, minutes, desk.zone, now, said)

    def over(self, notices: Collection[Notice], now: datetime) -> tuple[Notice, ...]:
        """Return those of `notices` of which nothing is left to be done."""
        known = self._read(now)
        soon = now + timedelta(minutes=self._desk.settings.reminders.group_minutes)
        told = {(task.kind, task.jar_id) for notice in notices for task in notice.tasks}
        left: set[tuple[schedule.ReminderKind, int]] = set()
        for at in (now, soon):  # near ones came along before their time
            asked = told - left
            series = [one for one in known.series if (one.kind, one.jar_id) in asked]
            found = schedule.standing(series, known.quiet, known.desk.zone, at, known.snoozes)
            left |= {(reminder.kind, reminder.jar_id) for reminder in found}
        return tuple(
            notice
            for notice in notices
            if left.isdisjoint((task.kind, task.jar_id) for task in notice.tasks)
        )

    def claim(self, notice: Notice, now: datetime) -> bool:
        """Say whether this process won all keys; a claim older than 60 s is taken over."""
        with self._desk.store.transaction() as conn:
            won = deliveries.claim(conn, notice.keys, now, CLAIM_HOLDS)
        self._left_to_others |= not won
        return won

    def delivered(self, notice: Notice, now: datetime, token: str = "") -> None:
        """Write down that the notice was shown, and its token, where it can be found again."""
        with self._desk.store.transaction() as conn:
            deliveries.mark_delivered(conn, notice.keys, now)
            if token:
                on_screen.put(conn, notice, token)

    def failed(self, notice: Notice, now: datetime, reason: str) -> None:
        """Give the claim back: the notice stays due."""
        with self._desk.store.transaction() as conn:
            deliveries.release(conn, notice.keys, now, reason)

    def on_screen(self) -> dict[str, Notice]:
        """Return by its token what stood on the screen when it was last heard of."""
        return on_screen.every(self._desk.store)

    def gone(self, slots: Collection[str]) -> None:
        """Write down that nothing stands in these slots any more."""
        with self._desk.store.transaction() as conn:
            on_screen.forget(conn, slots)

    def next_wake(self, now: datetime) -> datetime | None:
        """Return the next instant after `now` at which something may become due.

        That is also when a claim lapses which the last look found and whose process may be dead.
        """
        if self._known and self._known.desk.day(self._known.at) != self._desk.day(now):
            self._known = None  # with each day that nothing is drawn, bottles last longer
        known = self._read(now)
        at = schedule.next_wake(known.series, known.quiet, known.desk.zone, now, known.snoozes)
        ahead = self._ahead
        if at and not (ahead and ahead.known is known and ahead.at == at):
            self._ahead = self._look_at(at)  # so that little is left to do by then
        if self._left_to_others:
            return min(now + CLAIM_HOLDS, at or now + CLAIM_HOLDS)
        return at

    def answer(self, notice: Notice, identifier: str, now: datetime) -> Answer:
        """Do what a pressed button asks for, and say what came of it."""
        try:
            return answer(self._desk, notice, identifier, now)
        finally:
            self._known = self._looked = None

    def changed(self) -> bool:
        """Say whether record, settings or zone changed since the last look at what is due."""
        self._desk = self._renew(self._desk)
        return self._looked is None or not self._is_fresh(self._looked)

    def _is_fresh(self, known: _Known) -> bool:
        return known.desk is self._desk and known.version == self._desk.store.version()

    def _read(self, now: datetime) -> _Known:
        if self._known is None or not self._is_fresh(self._known):
            desk = self._desk
            version = desk.store.version()  # before the rest: a write in between is seen again
            active = jars.active(desk.store, contents=False)
            series = tuple(one for jar in active for one in series_of(desk, jar))
            series += start_series(desk, now, active)
            snoozes = deliveries.snoozes(desk.store)
            self._known = _Known(now, version, desk, series, quiet_of(desk), snoozes)
        return self._known

    def _look(self, now: datetime) -> _Look:
        ahead = self._ahead
        if ahead and ahead.known is self._read(now) and ahead.at <= now < ahead.at + _SAME_MOMENT:
            return ahead
        return self._look_at(now)

    def _look_at(self, at: datetime) -> _Look:
        known = self._read(at)
        soon = at + timedelta(minutes=known.desk.settings.reminders.group_minutes)
        found = schedule.due(known.series, known.quiet, known.desk.zone, at, known.snoozes)
        asked = {(reminder.kind, reminder.jar_id) for reminder in found}
        others = [one for one in known.series if (one.kind, one.jar_id) not in asked]
        near = schedule.due(others, known.quiet, known.desk.zone, soon, known.snoozes)
        return _Look(at, known, found, near)

    def _said(self, found: Iterable[Reminder], now: datetime) -> dict[str, bool]:
        """Return those keys of reminders that somebody said (True) or is just saying."""
        keys = (key for r in found for key in (r.key, r.loud_key, *r.folds) if key)
        return deliveries.taken(self._desk.store, keys, now, CLAIM_HOLDS)


def _after_away(new: Iterable[Reminder], look: _Look) -> bool:
    """Say whether any of what is new was held back until the end of days away."""
    away, zone = look.known.quiet.away, look.known.desk.zone
    return away is not None and any(
        reminder.moved and local_day(reminder.due, zone) == away.last + DAY for reminder in new
    )
