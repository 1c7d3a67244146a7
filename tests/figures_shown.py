"""Figures as they are shown: each number with the unit that it is told in."""

from __future__ import annotations

import re

_UNITS = ("ml/l", "ml/g", "g/ml", "g/l", "mg/l", "mg/g", "mg/kg", "ml", "l", "kg", "g", "%", "°c")
_MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
_DATE = re.compile(rf"\d+ (?:{_MONTHS})[a-z]*(?: \d{{4}})?")
_NUMBER = r"\d+(?:\.\d+)?"
_FIGURE = re.compile(
    rf"(?<![\w.:–-])(1:)?(?P<one>{_NUMBER})(?:\s*(?:±|to|–|or)\s*(?P<other>{_NUMBER}))?"
    rf"\s*(?P<unit>{'|'.join(_UNITS)})?(?![\w:])",
    re.IGNORECASE,
)


def figures(text):
    """Return the numbers of a text with their units; codes, clock times and dates have none.

    In `244 to 256 mL` both ends have the unit of the last.
    """
    found = set()
    for match in _FIGURE.finditer(_DATE.sub("", text)):
        unit = "1:" if match[1] else (match["unit"] or "").casefold()
        found |= {(number, unit) for number in (match["one"], match["other"]) if number}
    return found


def unanswered(text, answers):
    """Return the figures of a text that stand in no answer, digit by digit.

    What has no unit in the text, as in a table, may have any in its answer.
    """
    known = {figure for answer in answers for words in _words(answer) for figure in figures(words)}
    return {one for one in figures(text) if not any(_same(one, other) for other in known)}


def _words(answer):
    yield from (answer.figure, answer.value, answer.rule, answer.source)
    for one in answer.inputs:
        yield from (one.name, one.value, one.source)


def _same(shown, known):
    (number, unit), (exact, its_unit) = shown, known
    return unit in ("", its_unit) and number == exact
