"""What a jar asks for, found by walking minute by minute: slow, plain and no kin of the schedule.

Clocks are read only by taking each minute of UTC to its zone. The rules are those of the design:
a time that clocks skip comes later by the gap, of a repeated one the first counts, a day that has
begun goes on although clocks go back over its midnight.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo

from steepboard.domain.quiet import Quiet
from steepboard.domain.schedule import ReminderKind, Steep

DAY, MINUTE = timedelta(days=1), timedelta(minutes=1)
BEFORE, AFTER = 9, 8  # days of a walk around the change of clocks


class Walk:
    """Every minute of the weeks around a change of clocks."""

    def __init__(self, zone: str, change: date) -> None:
        self.zone, self.change = ZoneInfo(zone), change
        self.start = datetime.combine(change - BEFORE * DAY, time(0), tzinfo=UTC)
        self.shown: list[datetime] = []
        self.begun: list[date] = []
        self._strikes: dict[datetime, int] = {}
        for minute in range((BEFORE + AFTER) * 24 * 60):
            shown = self.instant(minute).astimezone(self.zone).replace(tzinfo=None)
            if self.shown:
                skipped = self.shown[-1] + MINUTE
                while skipped < shown:  # it comes as long after as it would have come
                    later = (skipped - self.shown[-1]) // MINUTE - 1
                    self._strikes.setdefault(skipped, minute + later)
                    skipped += MINUTE
            self._strikes.setdefault(shown, minute)
            self.shown.append(shown)
            self.begun.append(max(shown.date(), self.begun[-1]) if self.begun else shown.date())
        to_the_end = (self.begun[-1] - self.begun[0]).days + 1  # one more where a day is skipped
        self.days = [self.begun[0] + n * DAY for n in range(to_the_end)]

    def instant(self, minute: int) -> datetime:
        return self.start + minute * MINUTE

    def strike(self, day: date, wall: time) -> int:
        """Return the minute at which `wall` of `day` comes, or one past the end."""
        return self._strikes.get(datetime.combine(day, wall), len(self.shown))


@cache
def walk(zone: str, change: date) -> Walk:
    return Walk(zone, change)


def silence(walked: Walk, quiet: Quiet) -> list[bool]:
    """Say of each minute whether nothing may be said in it."""
    silent = [False] * len(walked.shown)

    def hush(start: int, end: int) -> None:
        for minute in range(start, min(end, len(silent))):
            silent[minute] = True

    if quiet.start != quiet.end:
        for day in walked.days:
            morning = day if quiet.start < quiet.end else day + DAY
            hush(walked.strike(day, quiet.start), walked.strike(morning, quiet.end))
    if quiet.away:
        night = quiet.end <= quiet.start != quiet.end or quiet.start == time(0) != quiet.end
        back = quiet.end if night else quiet.morning
        first, last = quiet.away.first, quiet.away.last
        hush(walked.strike(first, time(0)), walked.strike(last + DAY, back))
    return silent


@dataclass(frozen=True)
class Ask:
    """The days on which a jar asks for one thing, and when it no longer matters."""

    kind: ReminderKind
    jar_id: int
    wall: time
    days: list[date]
    every: int | None = None
    """Days for which one of them matters; None: until it is done."""
    last: date | None = None
    over: int | None = None
    """The minute in which something else takes its place."""
    done: frozenset[date] = frozenset()
    instead: date | None = None
    """For which day it is asked on the first of `days`, where that one was muted."""
    late_from: date | None = None


def asks_of(steep: Steep, walked: Walk) -> list[Ask]:
    """Return what a steeping jar asks for on the days of the walk."""
    rhythm, charged, strain = steep.rhythm, steep.charged_on, steep.strain_on
    stirs, tastings, strains = [], [], []
    for day in (charged + n * DAY for n in range((walked.days[-1] - charged).days + 1)):
        since = (day - charged).days
        if since >= 1 and day <= strain and (since - 1) % rhythm.stir_every_days == 0:
            stirs.append(day)
        tasting = since - rhythm.taste_from_day
        if tasting >= 0 and day < strain and tasting % rhythm.taste_every_days == 0:
            tastings.append(day)
        if day >= strain:
            strains.append(day)
    eve = strain - DAY
    strains, _ = _unmuted(strains, rhythm.muted_until)
    stirs, instead_of_stir = _unmuted(stirs, rhythm.muted_until)
    tastings, instead_of_tasting = _unmuted(tastings, rhythm.muted_until)
    eves = [] if rhythm.muted_until and eve < rhythm.muted_until else [eve]
    kinds, jar = ReminderKind, steep.jar_id
    strain_due = walked.strike(strain, rhythm.strain_at)
    return [
        Ask(kinds.STRAIN, jar, rhythm.strain_at, strains, late_from=strain),
        Ask(kinds.GET_READY, jar, rhythm.get_ready_at, eves, over=strain_due),
        Ask(
            kinds.TASTE,
            jar,
            rhythm.taste_at,
            tastings,
            rhythm.taste_every_days,
            eve,
            done=steep.tasted_on,
            instead=instead_of_tasting,
        ),
        Ask(
            kinds.STIR,
            jar,
            rhythm.stir_at,
            stirs,
            rhythm.stir_every_days,
            strain,
            done=steep.stirred_on,
            instead=instead_of_stir,
        ),
    ]


def _unmuted(days: list[date], until: date | None) -> tuple[list[date], date | None]:
    """Return the days on which it is asked, and the muted one that the first stands for."""
    muted = [day for day in days if until and day < until]
    left = days[len(muted) :]
    return (left, None) if not muted or until in left else ([until, *left], muted[-1])


def ask_once(kind: ReminderKind, jar_id: int, wall: time, day: date, muted: date | None) -> Ask:
    return Ask(kind, jar_id, wall, [max(day, muted) if muted else day])


@dataclass(frozen=True)
class Said:
    """What stands at a minute: `since` is when it might first be said."""

    kind: ReminderKind
    jar_id: int
    day: date
    since: datetime
    put_off: bool
    late_days: int = 0
    folded: date | None = None


@dataclass(frozen=True)
class Story:
    """What becomes of one ask: the minutes in which it changes, and what stands from then on."""

    minutes: list[int]
    stands: list[Said | None]

    def at(self, minute: int) -> Said | None:
        return self.stands[bisect_right(self.minutes, minute) - 1]


def story(walked: Walk, ask: Ask, silent: list[bool], until: int | None) -> Story:
    """Walk through every minute; `until` is the one to which *Later* put it off."""
    strikes = {walked.strike(day, ask.wall): day for day in ask.days}
    told = Story([0], [None])
    day, struck, since, released_on, before = None, 0, 0, None, None
    for minute, today in enumerate(walked.begun):
        if minute in strikes:
            day, struck, released_on = strikes[minute], minute, None
        if day is None:
            continue
        put_off = until is not None and until > struck
        if released_on is None and not silent[minute] and not (put_off and minute < until):
            since, released_on = minute, today
        meant = ask.instead if ask.instead and day == ask.days[0] else day
        if _lapsed(ask, meant, released_on, minute, today):
            day = released_on = None
        stands = (day, since, today) if released_on else None
        if stands != before:
            before = stands
            told.minutes.append(minute)
            told.stands.append(_said(walked, ask, silent, stands, put_off) if stands else None)
    return told


def _said(walked: Walk, ask: Ask, silent: list[bool], stands: tuple, put_off: bool) -> Said:
    day, since, today = stands
    late_days = max((today - ask.late_from).days, 0) if ask.late_from else 0
    folded = today if today > day and _comes_today(walked, ask, silent, today) else None
    return Said(ask.kind, ask.jar_id, day, walked.instant(since), put_off, late_days, folded)


def _lapsed(ask: Ask, day: date, released_on: date | None, minute: int, today: date) -> bool:
    if ask.over is not None and minute >= ask.over:
        return True
    if ask.every is None:
        return False
    if today > ask.last or any(day <= done <= today for done in ask.done):
        return True
    return released_on is not None and today > released_on and (today - day).days >= ask.every


def _comes_today(walked: Walk, ask: Ask, silent: list[bool], today: date) -> bool:
    """Say whether an occurrence of today is still said today."""
    if today not in ask.days:
        return False
    minute = walked.strike(today, ask.wall)
    while minute < len(silent) and silent[minute]:
        minute += 1
    return minute < len(silent) and walked.begun[minute] == today
