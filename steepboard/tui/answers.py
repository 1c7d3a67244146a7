"""Answers that are no amounts, read as people type them; raises `BadAmount` as amounts do."""

from __future__ import annotations

import re

from steepboard.errors import BadAmount
from steepboard.text import clean

_DAYS = re.compile(r"([0-9]{1,3})(?: ?(?:d|day|days))?", re.IGNORECASE)
_PER_GRAM = re.compile(r"([0-9]{1,3}(?:[.,][0-9]{1,4})?)(?: ?ml ?/ ?g)?", re.IGNORECASE)
_MOST_DAYS = 400  # assumed: no steep takes longer than a year and a month


def words(text: str) -> str:
    """Return a name as it is kept."""
    return clean(text, 80)


def initials(text: str) -> str:
    """Return up to four letters to sign with."""
    return clean(text, 4)


def days(text: str) -> int:
    """Return a number of days, from 1 to 400, from `14` or `14 days`."""
    found = _DAYS.fullmatch(clean(text))
    if found is None or not 1 <= int(found[1]) <= _MOST_DAYS:
        raise BadAmount(
            text, f"“{clean(text, 40)}” is not a number of days from 1 to 400.", "14 days"
        )
    return int(found[1])


def per_gram(text: str) -> float:
    """Return mL held by a dry gram, from `1.6` or `1.6 mL/g`."""
    found = _PER_GRAM.fullmatch(clean(text))
    if found is None:
        raise BadAmount(text, f"“{clean(text, 40)}” is not so many mL per gram.", "1.6 mL/g")
    return float(found[1].replace(",", "."))
