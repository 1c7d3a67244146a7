"""The number at the head of an amount, as people type it: `1.5`, `1,5`, `1 1/2` or `1½`."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from steepboard.errors import BadAmount
from steepboard.text import clean

LONGEST = 40
"""Characters of an amount; assumed, the longest honest amount has about 20."""

_FRACTIONS = {
    c: " " + unicodedata.normalize("NFKC", c).replace("\u2044", "/") for c in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
}
_SPELLINGS = str.maketrans({**_FRACTIONS, "\u2044": "/", "−": "-", "º": "°"})
_NUMBER = re.compile(
    r"(?P<sign>[-+]?) ?"
    r"(?:(?:(?P<whole>[0-9]{1,6}) )?(?P<top>[0-9]{1,4})/(?P<bottom>[0-9]{1,4})"
    r"|(?P<decimal>[0-9]{1,9}(?:[.,][0-9]{1,6})?|[.,][0-9]{1,6}))"
    r"(?![0-9.,/])"
)
_BEGINNING = re.compile(r"[-+]? ?(?P<digits>[.,/0-9]*[0-9][.,/0-9]*)")
_THOUSANDS = re.compile(r"0*[1-9][0-9]{0,2},[0-9]{3}")


@dataclass(frozen=True, slots=True)
class Number:
    """A number that was understood."""

    value: float
    step: float
    """One step of the last place that was typed."""
    shown: str
    """The number as it was typed."""
    rest: str
    """What follows the number: the unit."""


def read_number(text: str, example: str) -> Number:
    """Read the number that `text` begins with. Raises BadAmount with `example` of a right one."""
    if len(text) > LONGEST:
        raise BadAmount(text, "That is too long for an amount.", example)
    tidy = " ".join(text.translate(_SPELLINGS).split())
    if not tidy:
        raise BadAmount(text, "No amount was given.", example)
    found = _NUMBER.match(tidy)
    if found is None:
        raise BadAmount(text, _fault(text, tidy), example)
    sign = -1 if found["sign"] == "-" else 1
    rest, shown = tidy[found.end() :].strip(), found[0].strip()
    if found["decimal"]:
        value, step = _decimal(text, found["decimal"], example)
    elif int(found["bottom"]) == 0:
        raise BadAmount(text, "A fraction cannot have 0 below its line.", example)
    else:
        step = 1 / int(found["bottom"])
        value = int(found["whole"] or 0) + int(found["top"]) / int(found["bottom"])
    return Number(sign * value, step, shown, rest)


def quoted(text: str) -> str:
    """Return what was typed, made safe to show, in quotation marks."""
    return f"“{clean(text, LONGEST)}”"


def check_comma(text: str, digits: str, example: str) -> None:
    """Refuse the digits of a text whose comma may part thousands; raises `BadAmount`."""
    if _THOUSANDS.fullmatch(digits):
        large, small = digits.replace(",", ""), digits.replace(",", ".")
        reason = f"{digits} can be read as {large} or as {small}; write it without the comma."
        raise BadAmount(text, reason, example)


def _decimal(text: str, digits: str, example: str) -> tuple[float, float]:
    check_comma(text, digits, example)
    point = digits.replace(",", ".")
    return float(point), 10.0 ** -len(point.partition(".")[2])


def _fault(text: str, tidy: str) -> str:
    """Return why nothing was read from the beginning of an amount."""
    begun = _BEGINNING.match(tidy)
    if begun is None:
        return f"{quoted(text)} does not begin with a number."
    digits = begun["digits"]
    if len(re.findall("[.,]", digits)) > 1:
        return f"{digits} has more than one point or comma; write one, before the decimals."
    if digits[-1] in ".,/":
        return f"No digit follows the {digits[-1]} in {quoted(text)}."
    if "/" not in digits:
        return f"{digits} has too many digits: up to 9 before the point and 6 behind it are read."
    return f"{digits} is not a fraction that can be read here; write it with a point."
