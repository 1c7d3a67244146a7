"""Days as people type them."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta

from steepboard.errors import BadAmount
from steepboard.text import clean

_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_WEEKDAYS = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
_DAY_MONTH = re.compile(r"([0-9]{1,2})\.? ?([a-z]{3})[a-z]*\.?")


def day_reader(today: date) -> Callable[[str], date]:
    """Return a reader of `18`, `18 Mar`, `fri`, `+3` or `2026-03-18`, each the next such day.

    The reader raises `BadAmount`.
    """

    def read(text: str) -> date:
        wanted = clean(text, 40).casefold()
        try:
            found = _read(wanted, today)
        except (ValueError, OverflowError):
            found = None
        if found is None:
            raise BadAmount(text, f"“{clean(text, 40)}” is not a day.", "18, 18 Mar, fri or +3")
        return found

    return read


def _read(wanted: str, today: date) -> date | None:
    ahead = [today + timedelta(days=n) for n in range(366)]
    if re.fullmatch(r"\+ ?[0-9]{1,3}", wanted):
        return today + timedelta(days=int(wanted[1:]))
    if re.fullmatch(r"[0-9]{1,2}\.?", wanted):
        return next((day for day in ahead if day.day == int(wanted.rstrip("."))), None)
    if wanted in ("today", "tomorrow"):
        return ahead[wanted == "tomorrow"]
    if wanted and any(wanted in (name, name[:3]) for name in _WEEKDAYS):
        return next(day for day in ahead[1:] if _WEEKDAYS[day.weekday()].startswith(wanted))
    if (found := _DAY_MONTH.fullmatch(wanted)) and found[2] in _MONTHS:
        month = _MONTHS.index(found[2]) + 1
        this_year = date(today.year, month, int(found[1]))
        return this_year if this_year >= today else this_year.replace(year=today.year + 1)
    return date.fromisoformat(wanted)
