"""What every use case is handed: the record, the zone, the settings, and who acts from where."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo
from typing import TYPE_CHECKING

from steepboard.domain.records import Jar, Source
from steepboard.settings import Settings
from steepboard.store.connect import Store

if TYPE_CHECKING:
    from steepboard.catalogue.library import Library


@dataclass(frozen=True, slots=True)
class Desk:
    """One person's place at one shelf."""

    store: Store
    zone: tzinfo
    settings: Settings
    source: Source
    initials: str

    def day(self, at: datetime) -> date:
        """Return the local date of an instant."""
        return at.astimezone(self.zone).date()

    def version(self) -> int:
        """Return a number that changes when somebody else has written to the record."""
        return self.store.version()

    @property
    def library(self) -> Library:
        """What this shelf knows of botanicals: what it measured, its own, and what is shipped."""
        from steepboard.services import learning

        return learning.library(self.store, self.settings)

    def check_own(self) -> None:
        """Raise BadCatalogue where something of one's own cannot be used; else it is quick."""
        from steepboard.store import own

        if own.is_any(self.store):
            self.library.check()

    def library_for(self, jar: Jar) -> Library:
        """Return what was known when a jar was charged, or is now if it is only planned.

        So a review is not wise after the event, and what a jar is expected to bring stays put.
        """
        return self.library.before(jar.charged_at) if jar.charged_at else self.library

    @contextlib.contextmanager
    def opened_again(self) -> Iterator[Desk]:
        """Give another thread a desk with a connection of its own, closed when it is done."""
        store = Store(self.store.path)
        try:
            yield replace(self, store=store)
        finally:
            store.close()
