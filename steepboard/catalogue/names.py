"""Names as people type them: compared without case and accents, and found in spite of a typo."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Mapping
from difflib import SequenceMatcher

_WORD = re.compile(r"[^\W_]+")
_LONGEST_ID = 80  # characters; assumed, as long as a name may be
_STEM = 4  # letters of a jar code; enough to tell jars apart on a strip of tape
# Share of letters that two words have in common to be taken for one another (difflib's ratio);
# assumed: one wrong, missing or swapped letter of four stays above it.
_ALIKE = 0.74
_SHORTEST = 4  # letters under which a word is not taken for a mistyped other; assumed


def key(name: str) -> str:
    """Return a name without case, accents and punctuation, to compare by."""
    if name.isascii():
        letters = name.casefold()
    else:
        folded = unicodedata.normalize("NFKD", name).casefold()
        letters = "".join(c for c in folded if not unicodedata.combining(c))
    return " ".join(_WORD.findall(letters))


def id_of(name: str) -> str:
    """Return what a botanical or spirit that is kept by a name gets as its id; perhaps nothing."""
    return key(name).replace(" ", "-")[:_LONGEST_ID]


def code_stem(name: str) -> str:
    """Return up to four letters A to Z for a jar's code: `orange peel` gives `ORAN`."""
    plain = unicodedata.normalize("NFKD", name).upper()
    letters = "".join(c for c in plain if "A" <= c <= "Z")[:_STEM]
    return letters if len(letters) >= 2 else "JAR"


def ranked(text: str, called: Mapping[str, Collection[str]], limit: int) -> list[str]:
    """Return the ids whose names hold a text or nearly do, the nearest first.

    First the whole name, then its beginning, the beginning of a word, a part, and at last what is
    only alike.
    """
    wanted = key(text)
    found = [
        (rank, id_)
        for id_, names in called.items()
        if (rank := min((_rank(wanted, key(name)) for name in names), default=_NEVER)) < _NEVER
    ]
    return [id_ for _, id_ in sorted(found)[:limit]]


def near(text: str, called: Mapping[str, Collection[str]], limit: int) -> list[str]:
    """Return the ids that may have been meant by a name that is none, the nearest first."""
    return ranked(text, called, limit) if len(key(text)) >= _SHORTEST else []


_NEVER = 9.0


def _rank(wanted: str, name: str) -> float:
    if wanted == name:
        return 0.0
    if name.startswith(wanted):
        return 1.0
    if f" {wanted}" in name:
        return 2.0
    if wanted in name or all(word in name for word in wanted.split()):
        return 3.0
    if len(wanted) < _SHORTEST:
        return _NEVER
    alike = max([_alike(wanted, name), *(_alike(wanted, word) - 0.05 for word in name.split())])
    return 5.0 - alike if alike >= _ALIKE else _NEVER


def _alike(wanted: str, name: str) -> float:
    if min(len(wanted), len(name)) < _SHORTEST:
        return 0.0
    matcher = SequenceMatcher(None, name, wanted, autojunk=False)
    if matcher.real_quick_ratio() < _ALIKE or matcher.quick_ratio() < _ALIKE:
        return 0.0
    return matcher.ratio()
