"""What is due at a moment, and when to look again: pure, from records, times and a zone.

Each thing that a jar asks for is a series of days at one wall-clock time. Of a series only the
last occurrence counts, moved on by *Later*, by quiet hours and by days away.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from enum import StrEnum
from functools import cache, partial
from typing import TypeAlias

from steepboard.domain.local_time import DAY, LocalClock
from steepboard.domain.quiet import Quiet


class ReminderKind(StrEnum):
    """What a reminder asks for; the order is that of what hurts most when it is forgotten."""

    STRAIN = "strain"
    GET_READY = "get-ready"
    """Filters, bottles and labels, the evening before."""
    START = "start"
    """The next jar, before a bottle runs dry."""
    TASTE = "taste"
    STIR = "stir"
    BOTTLE = "bottle"


Snoozes: TypeAlias = Mapping[tuple[int, ReminderKind], datetime]
"""From jar and kind to the instant until which *Later* puts it off."""


@dataclass(frozen=True, slots=True)
class Rhythm:
    """How often and at which wall-clock times one jar wants to be reminded."""

    stir_every_days: int
    stir_at: time
    taste_from_day: int
    """Days after charging."""
    taste_every_days: int
    taste_at: time
    get_ready_at: time
    strain_at: time
    """Also of what is to be bottled or started."""
    muted_until: date | None = None
    """The first day on which the jar may be spoken of again."""


@dataclass(frozen=True, slots=True)
class Steep:
    """The little that the schedule needs of a steeping jar; all dates are local."""

    jar_id: int
    code: str
    name: str
    charged_on: date
    strain_on: date
    rhythm: Rhythm
    stirred_on: frozenset[date] = frozenset()
    tasted_on: frozenset[date] = frozenset()
    charged_at: datetime | None = None
    """Aware, in UTC: nothing is due before, and no journey changes it."""

    def stirs_on(self, day: date) -> bool:
        """Say whether `day` is a day to stir: every n days from the day after charging."""
        since = (day - self.charged_on).days - 1
        return since >= 0 and day <= self.strain_on and since % self.rhythm.stir_every_days == 0

    def series(self) -> tuple[Series, ...]:
        """Return all that the jar asks for until it is strained."""
        rhythm, eve = self.rhythm, self.strain_on - DAY
        at = self.charged_at
        moved_days = (self.charged_on - at.date()).days if at else 0
        asks = partial(
            Series,
            jar_id=self.jar_id,
            code=self.code,
            name=self.name,
            muted_until=rhythm.muted_until,
            not_before=at,
        )
        return (
            asks(ReminderKind.STRAIN, wall=rhythm.strain_at, first=self.strain_on, every=1),
            asks(
                ReminderKind.GET_READY,
                wall=rhythm.get_ready_at,
                first=eve,
                ends=(self.strain_on, rhythm.strain_at),
            ),
            asks(
                ReminderKind.TASTE,
                wall=rhythm.taste_at,
                first=self.charged_on + timedelta(days=rhythm.taste_from_day),
                every=rhythm.taste_every_days,
                last=eve,
                done=self.tasted_on,
                moved_days=moved_days,
            ),
            asks(
                ReminderKind.STIR,
                wall=rhythm.stir_at,
                first=self.charged_on + DAY,
                every=rhythm.stir_every_days,
                last=self.strain_on,
                done=self.stirred_on,
                moved_days=moved_days,
            ),
        )


@dataclass(frozen=True, slots=True)
class Series:
    """The days on which a jar asks for one thing, at one wall-clock time."""

    kind: ReminderKind
    jar_id: int
    code: str
    name: str
    wall: time
    first: date
    every: int = 0
    """Days from one to the next; 0 for a thing that is asked for once."""
    last: date | None = None
    """After which day it is of no use; None: it is asked for until it is done."""
    ends: tuple[date, time] | None = None
    """Day and time from which something else is asked for instead."""
    done: frozenset[date] = frozenset()
    muted_until: date | None = None
    moved_days: int = 0
    """By how many days its days lie after those in UTC, by which its occurrences are named."""
    not_before: datetime | None = None
    """The instant of what it follows from."""

    def key(self, day: date) -> str:
        """Name the occurrence of a day; the name never changes, wherever the shelf travels.

        What is asked for every day is named by the day itself, so that no day has it twice.
        """
        named = day if self.every == 1 else day - timedelta(days=self.moved_days)
        return f"{self.kind}/{self.jar_id}/{named.isoformat()}"

    def up_to(self, day: date) -> date | None:
        """Return the last occurrence up to `day`, or None where there is none."""
        end = min(day, self.last or day)
        if end < self.first:
            return None
        if not self.every:
            return self.first
        return end - timedelta(days=(end - self.first).days % self.every)

    def after(self, day: date) -> date | None:
        """Return the first occurrence after `day` that is still to be done, or None."""
        spoken = max(self.first, self.muted_until or self.first)
        if not self.every:
            return None if spoken <= day or (self.ends and spoken > self.first) else spoken
        if day < spoken and self.matters_again(spoken):
            return spoken
        behind = (max(day + DAY, spoken) - self.first).days
        found = self.first + timedelta(days=-(-behind // self.every) * self.every)
        while found in self.done:
            found += timedelta(days=self.every)
        return None if self.last and found > self.last else found

    def matters_again(self, spoken: date) -> bool:
        """Say whether what came while it was muted is still to be done once it may be spoken of."""
        before = self.up_to(spoken)
        if before is None or (self.last is not None and spoken > self.last):
            return False
        return not any(before <= done <= spoken for done in self.done)

    def falls_on(self, day: date) -> bool:
        """Say whether a repeated thing is asked for on `day`."""
        return self.every > 0 and self.up_to(day) == day

    def moot(self, day: date, until: date, today: date) -> bool:
        """Say whether the occurrence of `day`, put off to `until`, is of no use today."""
        if self.last is None:
            return False
        if today > self.last or today > max(day + timedelta(days=self.every - 1), until):
            return True
        return bool(self.done) and any(day <= done <= today for done in self.done)


def once(
    kind: ReminderKind,
    jar_id: int,
    code: str,
    name: str,
    day: date,
    rhythm: Rhythm,
) -> Series:
    """Return what is asked for once, on `day` or when the jar is no longer muted.

    So are bottling, from the day it has settled, and starting the next jar, on its start-by date.
    """
    muted = rhythm.muted_until
    return Series(kind, jar_id, code, name, rhythm.strain_at, day, muted_until=muted)


@dataclass(frozen=True, slots=True)
class Reminder:
    """One jar's reminder; `key` names this occurrence and never changes."""

    kind: ReminderKind
    jar_id: int
    code: str
    name: str
    due: datetime
    """Aware, in UTC."""
    key: str
    folds: tuple[str, ...] = ()
    """Keys of later occurrences that need not be said once this one was."""
    late_days: int = 0
    """Calendar days since the strain day, for a strain that is late."""
    moved: bool = False
    """Whether quiet hours or days away held it back."""
    loud_key: str = ""
    """Names the one time that a late strain is said louder; empty where nothing is late."""


def due(
    series: Iterable[Series],
    quiet: Quiet,
    zone: tzinfo,
    now: datetime,
    snoozes: Snoozes | None = None,
) -> tuple[Reminder, ...]:
    """Return what may be said at `now` and still matters, the most pressing first.

    A stir matters until it is done, the next one comes or the jar is to be strained; getting ready
    until the strain is due; a strain, said anew each day, until it is done.
    """
    if quiet.released(now, zone) > now:
        return ()
    return standing(series, quiet, zone, now, snoozes)


def standing(
    series: Iterable[Series],
    quiet: Quiet,
    zone: tzinfo,
    now: datetime,
    snoozes: Snoozes | None = None,
) -> tuple[Reminder, ...]:
    """Return what was due by `now` and still matters, said or not, even while all is quiet."""
    clock = LocalClock(now, zone)
    released = cache(partial(quiet.released, zone=zone))  # most jars share a few moments
    found = (_asked(one, released, clock, snoozes or {}) for one in series)
    return tuple(sorted((reminder for reminder in found if reminder), key=urgency))


def next_wake(
    series: Iterable[Series],
    quiet: Quiet,
    zone: tzinfo,
    now: datetime,
    snoozes: Snoozes | None = None,
) -> datetime | None:
    """Return the next instant after `now` at which something may become due, or None for never."""
    clock, series = LocalClock(now, zone), tuple(series)
    first: dict[time, date] = {}
    for one in series:
        day = one.after(clock.latest(one.wall))
        if day and day < first.get(one.wall, date.max):
            first[one.wall] = day
    found = [clock.instant(day, wall) for wall, day in first.items()]
    found += [until for until in (snoozes or {}).values() if until > now]
    wakes = [quiet.released(min(found), zone)] if found else []
    released = quiet.released(now, zone)
    if released > now and standing(series, quiet, zone, released, snoozes):
        wakes.append(released)
    return min(wakes, default=None)


def urgency(reminder: Reminder) -> tuple[int, int, str]:
    """Order reminders: what hurts most first, the latest strain before others."""
    return _RANK[reminder.kind], -reminder.late_days, reminder.code


_RANK = {kind: rank for rank, kind in enumerate(ReminderKind)}


def _asked(
    one: Series,
    released: Callable[[datetime], datetime],
    clock: LocalClock,
    snoozes: Snoozes,
) -> Reminder | None:
    """Return the last occurrence of a series as a reminder, unless it is yet to come or moot."""
    latest = clock.latest(one.wall)
    if latest < one.first:  # most of a shelf's, at most times
        return None
    day = one.up_to(latest)
    if day is None or (one.ends and one.ends[0] <= clock.latest(one.ends[1])):
        return None
    spoken = max(day, one.muted_until or day)  # what still matters by then is said that day
    if one.ends and spoken > day:
        return None
    at, key = clock.instant(spoken, one.wall), one.key(spoken)
    at = max(at, one.not_before or at)
    until = snoozes.get((one.jar_id, one.kind))
    if until and until > at:
        at, key = until, f"{key}/{until.isoformat()}"
    if at > clock.now:
        return None
    said_at = released(at)
    if said_at > clock.now or one.moot(day, clock.day(said_at), clock.today):
        return None
    late_days, loud_key = _late(one, clock.today)
    return Reminder(
        one.kind,
        one.jar_id,
        one.code,
        one.name,
        said_at,
        key,
        folds=_folds(one, day, released, clock),
        late_days=late_days,
        moved=said_at > at,
        loud_key=loud_key,
    )


def _late(one: Series, today: date) -> tuple[int, str]:
    """Return by how many days a strain is late, and the key under which that is said loudly."""
    if one.kind is not ReminderKind.STRAIN or today <= one.first:
        return 0, ""
    return (today - one.first).days, f"loud/{one.jar_id}/{one.first.isoformat()}"


def _folds(
    one: Series, day: date, released: Callable[[datetime], datetime], clock: LocalClock
) -> tuple[str, ...]:
    """Return the key of today's occurrence where one of an earlier day is said today."""
    today = clock.today
    if today == day or not one.falls_on(today):
        return ()
    said_today = clock.day(released(clock.instant(today, one.wall))) == today
    return (one.key(today),) if said_today else ()
