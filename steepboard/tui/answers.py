"""Answers that are no amounts, read as people type them; raises `BadAmount` as amounts do."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import time

from steepboard.domain.spans import LONGEST_DAYS
from steepboard.errors import BadAmount
from steepboard.text import clean

_DAYS = re.compile(r"([0-9]{1,3})(?: ?(?:d|day|days))?", re.IGNORECASE)
_WHOLE = re.compile(r"[0-9]{1,4}")
_CLOCK = re.compile(r"([0-9]{1,2})(?:[:.]?([0-9]{2}))?")
_PER_GRAM = re.compile(r"([0-9]{1,3}(?:[.,][0-9]{1,4})?)(?: ?ml ?/ ?g)?", re.IGNORECASE)


def words(text: str) -> str:
    """Return a name as it is kept."""
    return clean(text, 80)


def initials(text: str) -> str:
    """Return up to four letters to sign with."""
    return clean(text, 4)


def days_up_to(most: int) -> Callable[[str], int]:
    """Return a reader of a number of days, from 1 to `most`, from `14` or `14 days`."""

    def read(text: str) -> int:
        found = _DAYS.fullmatch(clean(text))
        if found is None or not 1 <= int(found[1]) <= most:
            told = f"“{clean(text, 40)}” is not a number of days from 1 to {most}."
            raise BadAmount(text, told, "14 days")
        return int(found[1])

    return read


days = days_up_to(LONGEST_DAYS)
"""Reads how long something steeps or rests."""


def whole_up_to(most: int) -> Callable[[str], int]:
    """Return a reader of a whole number from 1 to `most`."""

    def read(text: str) -> int:
        found = _WHOLE.fullmatch(clean(text))
        if found is None or not 1 <= int(found[0]) <= most:
            told = f"“{clean(text, 40)}” is not a whole number from 1 to {most}."
            raise BadAmount(text, told, "5")
        return int(found[0])

    return read


def clock(text: str) -> time:
    """Return a time of day from `8:30`, `08.30`, `0830` or `8`."""
    found = _CLOCK.fullmatch(clean(text))
    if found is None or int(found[1]) > 23 or int(found[2] or 0) > 59:
        raise BadAmount(text, f"“{clean(text, 40)}” is not a time of day.", "08:30")
    return time(int(found[1]), int(found[2] or 0))


def per_gram(text: str) -> float:
    """Return mL held by a dry gram, from `1.6` or `1.6 mL/g`."""
    found = _PER_GRAM.fullmatch(clean(text))
    if found is None:
        raise BadAmount(text, f"“{clean(text, 40)}” is not so many mL per gram.", "1.6 mL/g")
    return float(found[1].replace(",", "."))
