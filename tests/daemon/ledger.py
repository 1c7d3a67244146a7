"""What ought to have been said of a shelf, and what was.

What was done is read from the diary; what is to be said of it is worked out here, day by day, by
the rules of the design and without the schedule.
"""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime, time, timedelta

from steepboard.domain.records import State
from steepboard.services.reminder_acts import Later
from steepboard.store import jars
from tests.shelves import VIENNA

DAY, HOUR = timedelta(days=1), timedelta(hours=1)
CLAIM = timedelta(seconds=60)
# The times of the default settings; the quiet hours last from midnight to eight.
TIMES = {
    "stir": time(9),
    "taste": time(17),
    "get-ready": time(18),
    "strain": time(10),
    "bottle": time(10),
}


def strikes(day, wall):
    return datetime.combine(day, wall, VIENNA).astimezone(UTC)


def local_day(at):
    return at.astimezone(VIENNA).date()


def wall_of(jar, kind):
    return (kind == "stir" and jar.habit.stir_at) or TIMES[kind]


def every_of(jar, kind):
    return (jar.habit.stir_every_days or jar.charge.stir_every_days) if kind == "stir" else 3


class Ledger:
    """Kept beside a service that works at the same shelf by the same clock."""

    def __init__(self, desk, clock):
        self.desk, self.clock = desk, clock
        self.away = None
        self.put_off = {}
        self.told, self.told_at = Counter(), {}
        self.repeats = Counter()
        self.dead = {}

    @property
    def today(self):
        return local_day(self.clock.now)

    def silent(self, at):
        local = at.astimezone(VIENNA)
        gone = self.away and self.away[0] <= local.date() <= self.away[1]
        return bool(gone) or local.hour < 8

    def awake(self, at):
        """Return when something may be said, walking from hour to hour."""
        while self.silent(at):
            at = at.replace(minute=0, second=0) + HOUR
        return at

    def days(self, jar, kind):
        """Return the days up to today on which a jar asks for something, and for which day."""
        muted = jar.habit.muted_until
        if jar.state is State.SETTLING:
            settled = local_day(jar.strained_at) + 2 * DAY
            return {max(settled, muted or settled): settled} if kind == "bottle" else {}
        if jar.state is not State.STEEPING or kind == "bottle":
            return {}
        charged, strain = local_day(jar.charged_at), jar.strain_on
        if kind == "get-ready":
            found = [strain - DAY] if not muted or strain - DAY >= muted else []
        elif kind == "strain":
            found = [strain + n * DAY for n in range((self.today - strain).days + 1)]
        elif kind == "stir":
            stirs = range(1, (strain - charged).days + 1, every_of(jar, kind))
            found = [charged + n * DAY for n in stirs]
        else:
            first, last = jar.charge.taste_from_day, (strain - charged).days
            found = [charged + n * DAY for n in range(first, last, 3)]
        return {max(one, muted or one): one for one in found}

    def named(self, jar, kind, day):
        """Return by which day, counted in UTC unless it comes daily, an occurrence is told."""
        if kind in ("get-ready", "strain") or (kind == "stir" and every_of(jar, kind) == 1):
            return day
        since = self.since(jar, kind)
        return day - (local_day(since) - since.date())

    def since(self, jar, kind):
        return jar.strained_at if kind == "bottle" else jar.charged_at

    def wanted(self, jar, kind, *, snoozed=True):
        """Return the key of what ought to have been said by now and still matters, or None."""
        now, today = self.clock.now, self.today
        days, wall = self.days(jar, kind), wall_of(jar, kind)
        come = [asked for asked in days if strikes(asked, wall) <= now]
        if not come:
            return None
        day, key = days[come[-1]], f"{kind}/{jar.id}/{self.named(jar, kind, come[-1])}"
        at = max(strikes(come[-1], wall), self.since(jar, kind))
        until = self.put_off.get((jar.id, kind)) if snoozed else None
        if until and until > at:
            at, key = until, f"{key}/{until.isoformat()}"
        said = self.awake(at)
        if said > now or (kind == "get-ready" and now >= strikes(jar.strain_on, TIMES["strain"])):
            return None
        if kind in ("stir", "taste"):
            useful = max(day + (every_of(jar, kind) - 1) * DAY, local_day(said))
            useful = min(useful, jar.strain_on - DAY * (kind == "taste"))
            done = map(local_day, jar.stirred_at if kind == "stir" else jar.tasted_at)
            if today > useful or any(day <= one <= today for one in done):
                return None
        return key

    def note(self, notices):
        assert not (notices and self.silent(self.clock.now))
        for key in (key for notice in notices for key in notice.keys):
            self.told[key] += 1
            self.told_at[key] = self.clock.now
            assert self.told[key] <= 1 + self.repeats[key], f"{key} was repeated"

    def settle(self):
        """Find everything that ought to have been said among what was."""
        if self.silent(self.clock.now):
            return
        for jar in jars.active(self.desk.store):
            for kind in TIMES:
                key = self.wanted(jar, kind)
                held = key in self.dead and abs(self.clock.now - self.dead[key]) <= CLAIM
                assert key is None or key in self.told or held, f"{key} was lost"

    def later(self, tasks, choice):
        """Put off those of the jars' matters that are due; say whether the hour allows it."""
        now = self.clock.now
        evening = strikes(self.today, TIMES["get-ready"])
        active = {jar.id: jar for jar in jars.active(self.desk.store)}
        due = [
            (jar_id, kind)
            for jar_id, kind in tasks
            if jar_id in active and self.wanted(active[jar_id], kind, snoozed=False)
        ]
        if choice is Later.TONIGHT and evening <= now:
            return
        for jar_id, kind in due:
            tomorrow = strikes(self.today + DAY, wall_of(active[jar_id], kind))
            until = {Later.HOUR: now + HOUR, Later.TONIGHT: evening, Later.TOMORROW: tomorrow}
            self.put_off[jar_id, kind] = until[choice]

    def forget_what_is_ahead(self):
        """A clock that was far ahead said what is really still to come."""
        now = self.clock.now
        for key in [key for key, at in self.told_at.items() if at > now + 11 * HOUR]:
            del self.told[key], self.told_at[key], self.repeats[key]
        self.put_off = {of: until for of, until in self.put_off.items() if until <= now + 3 * DAY}
