"""What a pressed button of a notice does, and what is said back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.domain.notices import (
    ALL_STIRRED,
    ANSWER,
    LATER,
    STIRRED,
    TOMORROW,
    TONIGHT,
    Notice,
)
from steepboard.domain.records import Kind, State
from steepboard.domain.schedule import ReminderKind
from steepboard.errors import TooLate
from steepboard.services.reminder_acts import Later, later_all, still_due, tonight
from steepboard.store import diary, jars

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.domain.notices import Task
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk

_CHOICES = {LATER: Later.HOUR, TONIGHT: Later.TONIGHT, TOMORROW: Later.TOMORROW}
_OVER = "What it asked for is done or over. Nothing was written."


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a pressed button."""

    stirred: tuple[str, ...] = ()
    """Codes of the jars that were written down as stirred."""
    reply: Notice | None = None
    """What is to be said back, where the person would not see it otherwise."""


def answer(desk: Desk, notice: Notice, identifier: str, now: datetime) -> Answer:
    """Do what the button asks for: one transaction, safe to repeat, never a fault of the press."""
    if identifier in (STIRRED.identifier, ALL_STIRRED.identifier):
        return _stirred(desk, notice, now)
    for button, choice in _CHOICES.items():
        if identifier == button.identifier:
            return _put_off(desk, notice, choice, now)
    return Answer()


def _stirred(desk: Desk, notice: Notice, now: datetime) -> Answer:
    written, left = [], []
    with desk.store.writing() as db:
        for task in notice.tasks:
            if task.kind is not ReminderKind.STIR:
                continue
            jar = jars.by_id(desk.store, task.jar_id)
            if refusal := _why_not(desk, jar, task, now):
                left.append(refusal)
            elif jar:
                diary.add_entry(
                    db,
                    jar.id,
                    diary.next_act(db, jar.id),
                    Kind.STIR,
                    at=now,
                    source=desk.source,
                    initials=desk.initials,
                )
                written.append(jar.code)
    reply = _reply(now, "Nothing was written", " ".join(left)) if left and not written else None
    return Answer(tuple(written), reply)


def _why_not(desk: Desk, jar: Jar | None, task: Task, now: datetime) -> str:
    """Return why a stir of a jar is not written, or nothing where it is."""
    if jar is None:
        return "That jar was taken off the shelf."
    if jar.state is not State.STEEPING:
        return f"{jar.code} is {jar.state.value}: there is nothing to stir."
    if any(desk.day(at) == desk.day(now) for at in jar.stirred_at):
        return f"{jar.code} was stirred today already."
    return "" if still_due(desk, (task,), now) else f"The reminder of {jar.code} is over."


def _put_off(desk: Desk, notice: Notice, choice: Later, now: datetime) -> Answer:
    try:
        put_off = later_all(desk, notice.tasks, choice, now)
    except TooLate as fault:
        return Answer(reply=_reply(now, "Not put off", str(fault)))
    if not put_off:
        return Answer(reply=_reply(now, "Nothing to put off", _OVER))
    until = min(one.until for one in put_off).astimezone(desk.zone)
    day = "" if until.date() == desk.day(now) else f"{until:%A} "
    said = f"Again {day}at {until.hour}:{until:%M}."
    title = "Put off: " + ", ".join(dict.fromkeys(one.code for one in put_off))
    if choice is not Later.HOUR:
        return Answer(reply=_reply(now, title, said))
    others = (TONIGHT, TOMORROW) if tonight(desk, now) else (TOMORROW,)
    reply = Notice(ANSWER, now, title, f"{said} Or later:", tasks=notice.tasks, buttons=others)
    return Answer(reply=reply)


def _reply(now: datetime, title: str, body: str) -> Notice:
    return Notice(ANSWER, now, title, body)
