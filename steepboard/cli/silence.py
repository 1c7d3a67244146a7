"""Until when a jar is not spoken of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.records import State
from steepboard.services.waiting import if_put_off
from steepboard.tui import words

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk


def silence(desk: Desk, jar: Jar, now: datetime) -> str:
    """Return until when a jar is muted, or what of it is put off; nothing where it is spoken of."""
    if jar.state in (State.BOTTLED, State.DISCARDED):
        return ""
    if muted := jar.habit.on(desk.day(now)).muted_until:
        return f"muted until {words.day(muted)}"
    found = if_put_off(desk, jar, now)
    if found is None:
        return ""
    if found.again_at:
        return f"put off until {_until(desk, found.again_at, now)}"
    told = (
        f"{kind.value.replace('-', ' ')} put off until {_until(desk, until, now)}"
        for kind, until in found.put_off
    )
    return ", ".join(told)


def _until(desk: Desk, at: datetime, now: datetime) -> str:
    if desk.day(at) == desk.day(now):
        return f"{at.astimezone(desk.zone):%H:%M}"
    return words.moment(at, desk.zone)
