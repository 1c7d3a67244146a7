"""Figures, days and states in the words of the board; nothing here is markup."""

from __future__ import annotations

from datetime import date, datetime, tzinfo
from typing import TYPE_CHECKING

from steepboard.domain.figures import amount, days
from steepboard.domain.records import State
from steepboard.text import visible

if TYPE_CHECKING:
    from steepboard.domain.records import Charge, Jar


def percent(fraction: float) -> str:
    """Return a fraction in per cent."""
    return f"{fraction * 100:.1f} %".replace(".0 %", " %")


def day(on: date) -> str:
    """Return a day, say `Mon 16 Mar`."""
    return f"{on:%a} {on.day} {on:%b}"


def moment(at: datetime, zone: tzinfo) -> str:
    """Return a moment in local time, say `Mon 16 Mar 09:05`."""
    local = at.astimezone(zone)
    return f"{day(local.date())} {local:%H:%M}"


def until(on: date, today: date) -> str:
    """Return how far off a day is."""
    ahead = (on - today).days
    if ahead < 0:
        return f"{days(-ahead)} late"
    return {0: "today", 1: "tomorrow"}.get(ahead, f"in {days(ahead)}")


def once_charged(jar: Jar, zone: tzinfo) -> str:
    """Return how long a planned jar is to steep; empty for any other, which has its day."""
    length = jar.planned_days(zone)
    return "" if length is None else f"{days(length)} once charged"


def standing(jar: Jar, today: date, zone: tzinfo) -> str:
    """Return where a jar stands, in one line."""
    if jar.state is State.STEEPING and jar.charged_at:
        on = (today - jar.charged_at.astimezone(zone).date()).days
        whole = on + (jar.strain_on - today).days
        when = f"strain {day(jar.strain_on)}, {until(jar.strain_on, today)}"
        return f"steeping, day {on}{f' of {whole}' if on <= whole else ''} · {when}"
    if length := once_charged(jar, zone):
        return f"planned, {length}"
    at = {State.SETTLING: jar.strained_at, State.BOTTLED: jar.bottled_at}.get(jar.state)
    since = f" since {day(at.astimezone(zone).date())}" if at else ""
    return {State.SETTLING: f"strained, settling{since}", State.BOTTLED: f"bottled{since}"}.get(
        jar.state, jar.state.value
    )


def silence(jar: Jar, put_off: datetime | None, today: date, zone: tzinfo) -> str:
    """Return until when a jar is not spoken of; nothing where it is."""
    if muted := jar.habit.on(today).muted_until:
        return f"quiet until {day(muted)}"
    if put_off is None:
        return ""
    local = put_off.astimezone(zone)
    return f"again {f'at {local:%H:%M}' if local.date() == today else moment(put_off, zone)}"


def charge(what: Charge) -> str:
    """Return what is in a jar, in one line."""
    solids = " + ".join(f"{amount(b.mass_g)} g {b.name}" for b in what.botanicals)
    pours = " + ".join(
        f"{amount(s.volume_ml)} mL {s.name}{f' {percent(s.strength)}' if s.strength else ''}"
        for s in what.spirits
    )
    return visible(f"{solids} in {pours}")
