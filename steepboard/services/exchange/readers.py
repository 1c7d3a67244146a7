"""What stands in a cell, as a person types it or as an export wrote it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from math import isfinite
from typing import TYPE_CHECKING, Any, TypeAlias

from steepboard import amounts
from steepboard.errors import BadAmount, BadCell
from steepboard.numerals import quoted, read_number
from steepboard.text import clean

if TYPE_CHECKING:
    from steepboard.amounts import Amount

Reader: TypeAlias = Callable[[str], Any]
_PLAIN = re.compile(r"[-+]?(?:[0-9]{1,20}\.?[0-9]{0,20}|\.[0-9]{1,20})(?:[eE][-+]?[0-9]{1,3})?")
_YES, _NO = ("yes", "true"), ("no", "false")


@dataclass(frozen=True, slots=True)
class Column:
    """How the cells under one head are read."""

    read: Reader
    needed: bool = False
    empty: Any = None
    """What an empty cell says."""
    is_number: bool = True
    """Whether a comma in it may stand for the point."""


def words(most: int, *, needed: bool = False) -> Column:
    """Return a column of text of so many characters at most."""

    def read(text: str) -> str:
        if len(tidy := clean(text, len(text))) > most:
            raise BadCell(f"it has more than {most} characters")
        return tidy

    return Column(read, needed, "", is_number=False)


def several(read: Reader) -> Column:
    """Return a column of several words, with a semicolon between them."""

    def every(text: str) -> tuple[Any, ...]:
        told = (part.strip() for part in text.split(";"))
        return tuple(dict.fromkeys(read(part) for part in told if part))

    return Column(every, empty=(), is_number=False)


def choice(*known: str, needed: bool = False) -> Column:
    """Return a column of words of a closed list."""

    def read(text: str) -> str:
        found = clean(text).casefold()
        if found not in known:
            raise BadCell(f"{quoted(text)} is none of {', '.join(known)}")
        return found

    return Column(read, needed, is_number=False)


def flag(text: str) -> bool:
    """Read yes or no."""
    told = text.strip().casefold()
    if told not in (*_YES, *_NO):
        raise BadCell(f"{quoted(text)} is neither yes nor no")
    return told in _YES


def day(text: str) -> date:
    """Read a day."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise BadCell(f"{quoted(text)} is not a day such as 2026-03-02") from None


def score(text: str) -> int:
    """Read a whole number from 0 to 3."""
    found = number(text)
    if found not in (0, 1, 2, 3):
        raise BadCell(f"{quoted(text)} is not a whole number from 0 to 3")
    return int(found)


def number(text: str) -> float:
    """Read a number without a unit."""
    found = _bare(text, "1.5")
    if found is None:
        raise BadCell(f"{quoted(text)} is not a number")
    return found


def volume(text: str) -> float:
    """Read a volume in mL, which is the unit of a number alone."""
    return _amount(text, amounts.parse_volume, "1.5 mL")


def strength(text: str) -> float:
    """Read a strength: a fraction where a number stands alone."""
    return _fraction(text, amounts.parse_strength, "45 %")


def share(text: str) -> float:
    """Read a part of the whole: a fraction where a number stands alone."""
    return _fraction(text, amounts.parse_fraction, "11 %")


def ratio(text: str) -> float:
    """Read mL for each gram."""
    found = _plain(text)
    return amounts.parse_ratio(text) if found is None else found


def days(text: str) -> float:
    """Read days, which are the unit of a number alone."""
    found = _plain(text)
    return amounts.parse_days(text) if found is None else found


def _amount(text: str, read: Callable[[str], Amount], example: str) -> float:
    found = _bare(text, example)
    return read(text).value if found is None else found


def _fraction(text: str, read: Callable[[str], Amount], example: str) -> float:
    found = _bare(text, example)
    if found is None:
        return read(text).value
    if not 0.0 <= found <= 1.0:
        reason = f"{quoted(text)} stands without a % and is no fraction from 0 to 1."
        raise BadAmount(text, reason, example)
    return found


def _bare(text: str, example: str) -> float | None:
    """Return a number that has no unit, None for one that has."""
    found = _plain(text)
    if found is None:
        told = read_number(text, example)
        return None if told.rest else told.value
    return found


def _plain(text: str) -> float | None:
    """Return a number as programs write it, to the last digit; None for any other."""
    if not _PLAIN.fullmatch(text.strip()):
        return None
    found = float(text)
    return found if isfinite(found) else None
