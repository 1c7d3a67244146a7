"""What people say to the reminders: another rhythm, mute, *Later*, away."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from steepboard.domain import schedule
from steepboard.domain.local_time import DAY, local_instant
from steepboard.domain.quiet import Away
from steepboard.domain.records import Kind, State
from steepboard.domain.spans import LONGEST_DAYS, MOST_DAYS_BETWEEN
from steepboard.errors import NothingDue, OutOfRange, TooLate, WrongState
from steepboard.services.rhythms import quiet_of, series_of
from steepboard.services.starts import start_series
from steepboard.store import deliveries, diary, jars, shelf

if TYPE_CHECKING:
    from collections.abc import Iterable

    from steepboard.domain.notices import Task
    from steepboard.domain.records import Habit, Jar
    from steepboard.domain.schedule import ReminderKind, Series
    from steepboard.services.desk import Desk

_HOUR = timedelta(hours=1)
_FARTHEST = 300  # days; assumed: what lies further ahead was meant to be a day just past


class Later(StrEnum):
    """Until when a reminder is put off."""

    HOUR = "1h"
    TONIGHT = "tonight"
    """When it is time to get ready for the next day."""
    TOMORROW = "tomorrow"
    """At its own time of day."""


@dataclass(frozen=True, slots=True)
class PutOff:
    """One thing that was put off, and when it comes again: after quiet hours and days away."""

    kind: ReminderKind
    jar_id: int
    code: str
    until: datetime


def remind(desk: Desk, code: str, habit: Habit, now: datetime) -> Jar:
    """Keep how one jar wants to be reminded, in place of how it was; an act of the diary."""
    with desk.store.writing() as db:
        jar = jars.by_code(desk.store, code)
        if jar.state not in (State.PLANNED, State.STEEPING, State.SETTLING):
            raise WrongState(jar.code, jar.state.value, "reminded of")
        habit = _checked(habit, jar.habit, desk.day(now))
        entry = diary.add_entry(
            db,
            jar.id,
            diary.next_act(db, jar.id),
            Kind.REMIND,
            at=now,
            source=desk.source,
            initials=desk.initials,
            note=in_words(habit),
        )
        diary.add_habit(db, entry, habit)
    return jars.by_code(desk.store, code)


def in_words(habit: Habit) -> str:
    """Return what a jar does differently from the house, for the diary."""
    told = {
        "stir_every_days": "stir every {} d",
        "stir_at": "stir at {}",
        "taste_from_day": "taste from day {}",
        "taste_every_days": "taste every {} d",
        "taste_at": "taste at {}",
        "strain_at": "strain at {}",
        "muted_until": "quiet until {}",
    }

    def plain(value: object) -> object:
        if isinstance(value, time):
            return f"{value:%H:%M}"
        return f"{value:%a} {value.day} {value:%b %Y}" if isinstance(value, date) else value

    parts = [
        told[key].format(plain(value)) for key, value in asdict(habit).items() if value is not None
    ]
    return ", ".join(parts) or "as the house does"


def later(desk: Desk, code: str, choice: Later, now: datetime) -> tuple[PutOff, ...]:
    """Put off all that is due of a jar; raises `NothingDue` and `TooLate`."""
    jar = jars.by_code(desk.store, code)
    put_off = _put_off(desk, _due(desk, (jar,), now), choice, now)
    if not put_off:
        raise NothingDue(jar.code)
    return put_off


def later_all(
    desk: Desk, tasks: Iterable[Task], choice: Later, now: datetime
) -> tuple[PutOff, ...]:
    """Put off those of `tasks` that are still due; raises `TooLate`."""
    return _put_off(desk, still_due(desk, tasks, now), choice, now)


def still_due(desk: Desk, tasks: Iterable[Task], now: datetime) -> list[Series]:
    """Return those of `tasks` that still matter, put off or not, also such as came along early."""
    wanted = {(task.jar_id, task.kind) for task in tasks}
    ids = sorted({jar_id for jar_id, _ in wanted})
    found = [jar for jar_id in ids if (jar := jars.by_id(desk.store, jar_id))]
    soon = now + timedelta(minutes=desk.settings.reminders.group_minutes)
    due = dict.fromkeys([*_due(desk, found, now), *_due(desk, found, soon)])
    return [one for one in due if (one.jar_id, one.kind) in wanted]


def set_away(desk: Desk, first: date, last: date, now: datetime) -> Away:
    """Keep quiet from `first` to `last`, both included, in place of any days away before."""
    days, today = (last - first).days, desk.day(now)
    if not 0 <= days < LONGEST_DAYS:
        raise OutOfRange("days away", days + 1, f"1 to {LONGEST_DAYS}")
    if (first - today).days > _FARTHEST:
        raise OutOfRange("days until you leave", (first - today).days, f"0 to {_FARTHEST}")
    if last < today:
        raise OutOfRange("days until you are back", (last - today).days, "0 or more")
    away = Away(first, last)
    with desk.store.writing() as db:
        shelf.set_away(db, away)
    return away


def end_away(desk: Desk) -> Away | None:
    """Speak again at once; return the days that were given."""
    with desk.store.writing() as db:
        ended = shelf.away(desk.store)
        shelf.set_away(db, None)
    return ended


def away_now(desk: Desk, now: datetime) -> Away | None:
    """Return the days away that are going on or to come, or None."""
    away = shelf.away(desk.store)
    return away if away and away.last >= desk.day(now) else None


def _checked(habit: Habit, before: Habit, today: date) -> Habit:
    """Return a habit without a silence that is over by now; raises `OutOfRange`."""
    for quantity, days, most in (
        ("days between stirs", habit.stir_every_days, MOST_DAYS_BETWEEN),
        ("days until the first tasting", habit.taste_from_day, LONGEST_DAYS),
        ("days between tastings", habit.taste_every_days, MOST_DAYS_BETWEEN),
    ):
        if days is not None and not 1 <= days <= most:
            raise OutOfRange(quantity, days, f"1 to {most}")
    until = habit.muted_until
    if until is None or 0 < (until - today).days <= LONGEST_DAYS:
        return habit
    if until == before.muted_until:
        return replace(habit, muted_until=None)
    allowed = f"1 to {LONGEST_DAYS}"
    raise OutOfRange("days until it is reminded of again", (until - today).days, allowed)


def _due(desk: Desk, found: Iterable[Jar], now: datetime) -> list[Series]:
    """Return what matters now of these jars, put off or not."""
    quiet, found = quiet_of(desk), tuple(found)
    series = [one for jar in found for one in series_of(desk, jar)]
    ended = {jar.id for jar in found if jar.state is State.BOTTLED}
    if ended:
        series += [one for one in start_series(desk, now) if one.jar_id in ended]
    return [one for one in series if schedule.standing((one,), quiet, desk.zone, now)]


def _put_off(desk: Desk, due: Iterable[Series], choice: Later, now: datetime) -> tuple[PutOff, ...]:
    """Put off what still matters by then; raises `TooLate` where nothing does."""
    quiet, due = quiet_of(desk), tuple(due)
    until = {one: _until(desk, one, choice, now) for one in due}
    said = {one: quiet.released(at, desk.zone) for one, at in until.items()}
    kept = [
        one
        for one in due
        if schedule.standing(
            (one,), quiet, desk.zone, said[one], {(one.jar_id, one.kind): until[one]}
        )
    ]
    if due and not kept:
        raise TooLate("By then it is over, and would not be said again: put it off by less.")
    if kept:
        with desk.store.writing() as db:
            deliveries.snooze(db, ((one.jar_id, one.kind, until[one]) for one in kept))
    return tuple(PutOff(one.kind, one.jar_id, one.code, said[one]) for one in kept)


def _until(desk: Desk, one: Series, choice: Later, now: datetime) -> datetime:
    if choice is Later.HOUR:
        return now + _HOUR
    if choice is Later.TOMORROW:
        return local_instant(desk.day(now) + DAY, one.wall, desk.zone)
    if (at := tonight(desk, now)) is None:
        raise TooLate("It is evening already: put it off by 1h, or until tomorrow.")
    return at


def tonight(desk: Desk, now: datetime) -> datetime | None:
    """Return until when *tonight* puts off, or None where the evening has begun."""
    at = local_instant(desk.day(now), desk.settings.reminders.get_ready_at, desk.zone)
    return at if at > now else None
