"""The data of a shelf that adds to what is shipped, or knows it better."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.catalogue.books import Books
from steepboard.catalogue.library import Library
from steepboard.store import own

if TYPE_CHECKING:
    from steepboard.store.connect import Store


def own_books(store: Store) -> Books:
    """Return the data of a shelf: its own entries, over files in its folder, over the shipped."""
    if not own.is_any(store):
        return Library.books
    return Books(store.path.parent / own.FOLDER, own.botanicals(store), own.spirits(store))
