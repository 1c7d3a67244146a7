"""What is said of reminders that are due: what goes out as one, in which words and buttons."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from itertools import groupby

from steepboard.domain.schedule import Reminder, ReminderKind, urgency

_NAMED_JARS = 5  # assumed: as many as are read at a glance; fewer where they are long
_NAME_LENGTH = 40  # assumed, see above
LONGEST_BODY = 300  # characters; assumed: about as much as a notification shows
DIGEST = "digest"
"""The slot of a notice that takes up several kinds."""
ANSWER = "answer"
"""The slot of what is said back to a pressed button."""


@dataclass(frozen=True, slots=True)
class Button:
    """A button of a notice: a stable identifier and what it says."""

    identifier: str
    label: str


STIRRED = Button("stirred", "Stirred")
ALL_STIRRED = Button("all-stirred", "All stirred")
LATER = Button("later", "Later")
TONIGHT = Button("tonight", "Tonight")
TOMORROW = Button("tomorrow", "Tomorrow")
OPEN = Button("open", "Open")


@dataclass(frozen=True, slots=True)
class Task:
    """One thing that a notice asks for, of one jar."""

    kind: ReminderKind
    jar_id: int


@dataclass(frozen=True, slots=True)
class Notice:
    """What goes out as one; title and body are plain text, never markup."""

    slot: str
    """A notice takes the place of the former one of its slot."""
    due: datetime
    title: str
    body: str
    keys: tuple[str, ...] = ()
    tasks: tuple[Task, ...] = ()
    buttons: tuple[Button, ...] = ()
    loud: bool = False


def notices(
    reminders: Iterable[Reminder],
    minutes: int,
    zone: tzinfo,
    now: datetime,
    said: Collection[str] = (),
) -> tuple[Notice, ...]:
    """Return the notices for what is due: one for each kind, or a digest of what waited.

    Something waited where it is more than `minutes` late or was held back; then all goes out as
    one. `said` are keys that were delivered: such reminders are only named again, and a late strain
    is loud until it was once.
    """
    due = sorted(reminders, key=urgency)
    late = timedelta(minutes=minutes)
    new = [reminder for reminder in due if reminder.key not in said]
    waited = any(reminder.moved or now - reminder.due > late for reminder in new)
    kinds = [list(members) for _, members in groupby(due, key=lambda reminder: reminder.kind)]
    if waited and len(kinds) > 1:
        return (_digest(kinds, said),)
    first = min((reminder.due for reminder in new), default=now)
    held = any(reminder.moved for reminder in new)
    since = " ".join(_since(first, zone, now)) if waited and not held else ""
    return tuple(_notice(members, said, since) for members in kinds)


def _notice(members: Sequence[Reminder], said: Collection[str], since: str) -> Notice:
    first, alone = members[0], len(members) == 1
    what = first.code if alone else f"{len(members)} jars"
    names = [_named(member, coded=not alone) for member in members[:_NAMED_JARS]]
    stirred = STIRRED if alone else ALL_STIRRED
    stirs = (stirred,) if first.kind is ReminderKind.STIR else ()
    said_of_all = " ".join(part for part in (_ADVICE.get(first.kind), since) if part)
    for named in range(_NAMED_JARS, 0, -1):
        body = _list(names[:named], len(members)) + (f". {said_of_all}" if said_of_all else "")
        if len(body) <= LONGEST_BODY:
            break
    return _made(
        first.kind.value,
        members,
        _TITLES[first.kind].format(what),
        body,
        (*stirs, LATER, OPEN),
        said,
    )


def _digest(kinds: Sequence[Sequence[Reminder]], said: Collection[str]) -> Notice:
    members = [member for group in kinds for member in group]
    for named in range(_NAMED_JARS, 0, -1):
        listed = (_list([m.code + _late(m) for m in g[:named]], len(g)) for g in kinds)
        lines = [f"{_VERBS[g[0].kind]}: {codes}." for g, codes in zip(kinds, listed, strict=True)]
        if len(" ".join(lines)) <= LONGEST_BODY:
            break
    first = members[0]
    stirs = (ALL_STIRRED,) if any(m.kind is ReminderKind.STIR for m in members) else ()
    title = f"{len(members)} things to do, first: {_VERBS[first.kind].lower()} {first.code}"
    return _made(DIGEST, members, title, " ".join(lines), (*stirs, LATER, OPEN), said)


def _made(
    slot: str,
    members: Sequence[Reminder],
    title: str,
    body: str,
    buttons: tuple[Button, ...],
    said: Collection[str],
) -> Notice:
    loud = [m.loud_key for m in members if m.loud_key and m.loud_key not in said]
    keys = [key for m in members for key in (m.key, *m.folds) if key not in said]
    return Notice(
        slot,
        min(member.due for member in members),
        title,
        body,
        tuple(keys + loud),
        tuple(Task(member.kind, member.jar_id) for member in members),
        buttons,
        bool(loud),
    )


_TITLES = {
    ReminderKind.STRAIN: "Strain {} today",
    ReminderKind.GET_READY: "Get ready to strain {}",
    ReminderKind.START: "Start the next {}",
    ReminderKind.TASTE: "Taste {}",
    ReminderKind.STIR: "Stir {}",
    ReminderKind.BOTTLE: "Bottle {}",
}
_VERBS = {
    ReminderKind.STRAIN: "Strain",
    ReminderKind.GET_READY: "Get ready to strain",
    ReminderKind.START: "Start again",
    ReminderKind.TASTE: "Taste",
    ReminderKind.STIR: "Stir",
    ReminderKind.BOTTLE: "Bottle",
}
_ADVICE = {
    ReminderKind.GET_READY: "Lay out filter, bottles and labels.",
    ReminderKind.START: "Else the bottle runs dry before the next one is ready.",
    ReminderKind.BOTTLE: "It has settled.",
}


def _since(at: datetime, zone: tzinfo, now: datetime) -> tuple[str, ...]:
    local, today = at.astimezone(zone), now.astimezone(zone).date()
    day = () if local.date() == today else (f"{local:%a}", f"{local.day}", f"{local:%b}")
    return ("Due since", *day, f"{local.hour}:{local:%M}.")


def _list(names: Sequence[str], of: int) -> str:
    more = of - len(names)
    return ", ".join(names) + (f" and {more} more" if more > 0 else "")


def _named(reminder: Reminder, *, coded: bool) -> str:
    name = f"{reminder.code} {reminder.name}" if coded else reminder.name
    if len(name) > _NAME_LENGTH:
        name = name[: _NAME_LENGTH - 1].rstrip() + "…"
    return name + _late(reminder)


def _late(reminder: Reminder) -> str:
    late = reminder.late_days
    return f" ({late} day{'s' * (late > 1)} late)" if late else ""
