"""What is due at a moment, and when to look again: pure, from records, times and a zone.

Wall-clock times are those of the zone. A time that a clock change skips moves forward by the
gap; one that it repeats counts the first time only.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import StrEnum

from steepboard.domain.records import Jar

_DAY = timedelta(days=1)
_NAMED_JARS = 5  # assumed: with 40 characters a name that is about 300 in all, as much as is read
_NAME_LENGTH = 40  # assumed, see above


class ReminderKind(StrEnum):
    """What a reminder asks for; the order is that of what hurts most when it is forgotten."""

    STRAIN = "strain"
    GET_READY = "get-ready"
    """Filters, bottles and labels, the evening before."""
    STIR = "stir"


@dataclass(frozen=True, slots=True)
class Times:
    """When the shelf wants to be reminded, in wall-clock time, and how reminders are grouped."""

    stir_at: time
    get_ready_at: time
    strain_at: time
    group_minutes: int


@dataclass(frozen=True, slots=True)
class Steep:
    """The little that the schedule needs of a steeping jar; all dates are local."""

    jar_id: int
    code: str
    name: str
    charged_on: date
    strain_on: date
    stir_every_days: int
    stirred_on: frozenset[date] = frozenset()

    def stirs_on(self, day: date) -> bool:
        """Say whether `day` is a day to stir: every n days from the day after charging."""
        since = (day - self.charged_on).days - 1
        return since >= 0 and day <= self.strain_on and since % self.stir_every_days == 0


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
    late_days: int = 0
    """Calendar days since the strain day, for a strain that is late."""


@dataclass(frozen=True, slots=True)
class Button:
    """A button of a notice: a stable identifier and what it says."""

    identifier: str
    label: str


STIRRED = Button("stirred", "Stirred")
ALL_STIRRED = Button("all-stirred", "All stirred")


@dataclass(frozen=True, slots=True)
class Notice:
    """Reminders of one kind that go out as one; title and body are plain text, never markup."""

    kind: ReminderKind
    due: datetime
    title: str
    body: str
    keys: tuple[str, ...]
    jar_ids: tuple[int, ...]
    buttons: tuple[Button, ...] = ()


def steep_of(jar: Jar, zone: tzinfo) -> Steep:
    """Return what the schedule needs of `jar`; ValueError where it was never charged."""
    if jar.charged_at is None:
        raise ValueError(f"{jar.code} is not charged")
    return Steep(
        jar.id,
        jar.code,
        jar.name,
        jar.charged_at.astimezone(zone).date(),
        jar.strain_on,
        jar.charge.stir_every_days,
        frozenset(at.astimezone(zone).date() for at in jar.stirred_at),
    )


def local_instant(day: date, wall: time, zone: tzinfo) -> datetime:
    """Return the UTC instant at which clocks in `zone` show `wall` on `day`.

    Skipped times move forward by the gap; of a repeated time the first counts.
    """
    return datetime.combine(day, wall.replace(fold=0), tzinfo=zone).astimezone(UTC)


def due(steeps: Iterable[Steep], times: Times, zone: tzinfo, now: datetime) -> tuple[Reminder, ...]:
    """Return what is due at `now` and still matters, the most pressing first.

    A stir matters until its local day ends, getting ready until the strain is due, a strain until
    it is done; of a daily reminder only the latest occurrence counts.
    """
    today = now.astimezone(zone).date()
    stir = _latest(times.stir_at, zone, now)
    ready = _latest(times.get_ready_at, zone, now)
    strain = _latest(times.strain_at, zone, now)
    stirring = stir.at.astimezone(zone).date() == today
    found = []
    for steep in steeps:
        if steep.strain_on <= strain.day:
            late = max((today - steep.strain_on).days, 0)
            found.append(_reminder(ReminderKind.STRAIN, steep, strain.at, strain.day, late))
        elif steep.strain_on - _DAY <= ready.day:
            day = steep.strain_on - _DAY
            at = local_instant(day, times.get_ready_at, zone)
            found.append(_reminder(ReminderKind.GET_READY, steep, at, day))
        if stirring and today not in steep.stirred_on:
            stir_days = (d for d in stir.days if steep.stirs_on(d))
            found += [_reminder(ReminderKind.STIR, steep, stir.at, d) for d in stir_days][:1]
    return tuple(sorted(found, key=_urgency))


def next_wake(
    steeps: Iterable[Steep], times: Times, zone: tzinfo, now: datetime
) -> datetime | None:
    """Return the next instant strictly after `now` at which something becomes due, or None."""
    stir = _latest(times.stir_at, zone, now).day + _DAY
    ready = _latest(times.get_ready_at, zone, now).day + _DAY
    strain = _latest(times.strain_at, zone, now).day + _DAY
    first: dict[time, date] = {}
    for steep in steeps:
        days = [(times.strain_at, max(steep.strain_on, strain))]
        if steep.strain_on - _DAY >= ready:
            days.append((times.get_ready_at, steep.strain_on - _DAY))
        if (stir_day := _next_stir(steep, stir)) is not None:
            days.append((times.stir_at, stir_day))
        for wall, day in days:
            first[wall] = min(day, first.get(wall, day))
    return min((local_instant(day, wall, zone) for wall, day in first.items()), default=None)


def group(reminders: Iterable[Reminder], minutes: int) -> tuple[Notice, ...]:
    """Return the notices: reminders of a kind due within `minutes` of one another share one."""
    together = timedelta(minutes=minutes)
    groups: list[list[Reminder]] = []
    for reminder in sorted(reminders, key=lambda r: (_RANK[r.kind], r.due)):
        last = groups[-1][0] if groups else None
        if last and last.kind is reminder.kind and reminder.due - last.due <= together:
            groups[-1].append(reminder)
        else:
            groups.append([reminder])
    return tuple(_notice(sorted(members, key=_urgency)) for members in groups)


@dataclass(frozen=True, slots=True)
class _Latest:
    """The last time that a daily wall-clock time came round."""

    at: datetime
    days: tuple[date, ...]
    """Nearly always one; two where a zone skipped a whole day and both fall together."""

    @property
    def day(self) -> date:
        return self.days[-1]


def _latest(wall: time, zone: tzinfo, now: datetime) -> _Latest:
    today = now.astimezone(zone).date()
    # Two days back for a zone that skips a day, one ahead for a clock set back over midnight.
    days = (today + timedelta(days=i) for i in (-2, -1, 0, 1))
    past = [(at, day) for day in days if (at := local_instant(day, wall, zone)) <= now]
    last = past[-1][0]
    return _Latest(last, tuple(day for at, day in past if at == last))


def _next_stir(steep: Steep, earliest: date) -> date | None:
    every = steep.stir_every_days
    behind = max((earliest - steep.charged_on).days - 1, 0)
    day = steep.charged_on + timedelta(days=1 + -(-behind // every) * every)
    while day in steep.stirred_on:
        day += timedelta(days=every)
    return day if day <= steep.strain_on else None


def _reminder(
    kind: ReminderKind, steep: Steep, at: datetime, day: date, late_days: int = 0
) -> Reminder:
    key = f"{kind}/{steep.jar_id}/{day.isoformat()}"
    return Reminder(kind, steep.jar_id, steep.code, steep.name, at, key, late_days)


_RANK = {kind: rank for rank, kind in enumerate(ReminderKind)}


def _urgency(reminder: Reminder) -> tuple[int, int, str]:
    return _RANK[reminder.kind], -reminder.late_days, reminder.code


def _notice(members: Sequence[Reminder]) -> Notice:
    first, alone = members[0], len(members) == 1
    what = first.code if alone else f"{len(members)} jars"
    title = {
        ReminderKind.STRAIN: f"Strain {what} today",
        ReminderKind.GET_READY: f"Get ready to strain {what}",
        ReminderKind.STIR: f"Stir {what}",
    }[first.kind]
    body = ", ".join(_named(member, coded=not alone) for member in members[:_NAMED_JARS])
    if len(members) > _NAMED_JARS:
        body += f" and {len(members) - _NAMED_JARS} more"
    if first.kind is ReminderKind.GET_READY:
        body += ". Lay out filter, bottles and labels."
    buttons: tuple[Button, ...] = ()
    if first.kind is ReminderKind.STIR:
        buttons = (STIRRED,) if alone else (ALL_STIRRED,)
    return Notice(
        kind=first.kind,
        due=min(member.due for member in members),
        title=title,
        body=body,
        keys=tuple(member.key for member in members),
        jar_ids=tuple(member.jar_id for member in members),
        buttons=buttons,
    )


def _named(reminder: Reminder, *, coded: bool) -> str:
    name = f"{reminder.code} {reminder.name}" if coded else reminder.name
    if len(name) > _NAME_LENGTH:
        name = name[: _NAME_LENGTH - 1].rstrip() + "…"
    late = reminder.late_days
    return f"{name} ({late} day{'s' * (late > 1)} late)" if late else name
