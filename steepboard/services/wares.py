"""What a spirit or botanical is bought as: one price serves all names of one entry."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from steepboard.catalogue.names import key
from steepboard.domain.costs import Ware

if TYPE_CHECKING:
    from collections.abc import Callable

    from steepboard.services.desk import Desk

_NEUTRAL = "neutral spirit"
_UNNAMED = ("spirit", "alcohol")
"""What a pour is called that has no name of its own. Assumed: it is neutral spirit, as most is."""


def entries(desk: Desk) -> Callable[[Ware, str], str]:
    """Return what tells of a name by which entry of the catalogue it goes, for one review.

    Names that no entry has are told apart as they are spelt, case and accents aside.
    """
    library = desk.library

    @cache
    def entry(ware: Ware, name: str) -> str:
        known = library.find_spirit(name) if ware is Ware.SPIRIT else library.find(name)
        if known:
            return known.id
        plain = key(name) or name.casefold()
        return _NEUTRAL if ware is Ware.SPIRIT and plain in _UNNAMED else plain

    return entry
