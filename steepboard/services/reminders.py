"""The record as the reminder service sees it: due, claimed, delivered, answered."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from steepboard.domain import schedule
from steepboard.domain.records import Kind, Source, State
from steepboard.store import deliveries, diary, jars

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.domain.schedule import Notice, Steep
    from steepboard.services.desk import Desk

CLAIM_HOLDS = timedelta(seconds=60)  # assumed: far longer than any delivery may take


class RecordReminders:
    """Due notices and what became of them, in the record of one shelf.

    The desk must have a connection of its own, so that `changed` sees what the board writes.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._version = desk.store.version()

    def due(self, now: datetime) -> tuple[Notice, ...]:
        """Return what is due and was not delivered yet, grouped."""
        desk = self._desk
        reminders = schedule.due(self._steeps(), desk.times, desk.zone, now)
        done = deliveries.delivered(desk.store, (reminder.key for reminder in reminders))
        left = [reminder for reminder in reminders if reminder.key not in done]
        return schedule.group(left, desk.times.group_minutes)

    def claim(self, notice: Notice, now: datetime) -> bool:
        """Say whether this process won all keys; a claim older than 60 s is taken over."""
        with self._desk.store.writing() as db:
            return deliveries.claim(db, notice.keys, now, CLAIM_HOLDS)

    def delivered(self, notice: Notice, now: datetime) -> None:
        """Write down that the notice was shown."""
        with self._desk.store.writing() as db:
            deliveries.mark_delivered(db, notice.keys, now)

    def failed(self, notice: Notice, now: datetime, reason: str) -> None:  # noqa: ARG002
        """Give the claim back: the notice stays due."""
        with self._desk.store.writing() as db:
            deliveries.release(db, notice.keys)

    def next_wake(self, now: datetime) -> datetime | None:
        """Return the next instant after `now` at which something becomes due."""
        return schedule.next_wake(self._steeps(), self._desk.times, self._desk.zone, now)

    def stirred(self, jar_ids: tuple[int, ...], now: datetime) -> tuple[str, ...]:
        """Write the stirs to the diary; jars that need none today are left out."""
        desk = self._desk
        written = []
        with desk.store.writing() as db:
            for jar_id in jar_ids:
                jar = jars.by_id(desk.store, jar_id)
                if jar is None or jar.state is not State.STEEPING:
                    continue
                if any(desk.day(at) == desk.day(now) for at in jar.stirred_at):
                    continue
                diary.add_entry(
                    db,
                    jar.id,
                    diary.next_act(db, jar.id),
                    Kind.STIR,
                    at=now,
                    source=Source.NOTIFICATION,
                    initials=desk.initials,
                )
                written.append(jar.code)
        return tuple(written)

    def changed(self) -> bool:
        """Say whether somebody else wrote to the record since the last call."""
        seen, self._version = self._version, self._desk.store.version()
        return seen != self._version

    def _steeps(self) -> list[Steep]:
        return [
            schedule.steep_of(jar, self._desk.zone)
            for jar in jars.active(self._desk.store)
            if jar.state is State.STEEPING
        ]
