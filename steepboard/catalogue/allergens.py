"""Allergens that the lists of the EU and the US want named."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping

from steepboard.catalogue.documents import rows
from steepboard.catalogue.names import key
from steepboard.catalogue.tables import unknown
from steepboard.text import clean


@functools.cache
def allergens() -> Mapping[str, tuple[str, str]]:
    """Return from each allergen how the lists of the EU and the US name it; empty for not."""
    return {row["name"]: (row["eu"], row["us"]) for row in rows("allergens")}


def allergen(text: str) -> str:
    """Return the allergen of that name, one or many of it; raises `UnknownWord`."""
    known = allergens()
    wanted = _single(text)
    if found := next((name for name in known if _single(name) == wanted), None):
        return found
    raise unknown(clean(text, 40).casefold(), "an allergen of the lists", tuple(known))


def on_lists(names: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return how the EU and how the US name allergens; one that is not known stays as it is."""
    told = [allergens().get(name, (name, name)) for name in names]
    return tuple([eu for eu, _ in told if eu]), tuple([us for _, us in told if us])


def named_on(place: int) -> tuple[str, ...]:
    """Return all names of one list: 0 that of the EU, 1 that of the US."""
    return tuple(name for told in allergens().values() if (name := told[place]))


def _single(text: str) -> str:
    return key(text).removesuffix("s")
