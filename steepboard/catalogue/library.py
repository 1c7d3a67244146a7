"""What a shelf knows of botanicals and spirits, looked up by what people call them."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from steepboard.catalogue.books import Books
from steepboard.catalogue.classes import absorption, class_defaults
from steepboard.catalogue.names import key, near, ranked
from steepboard.catalogue.records import Absorption, Botanical, Estimate, Spirit
from steepboard.domain.records import BotanicalLine, Separation


class Library:
    """The botanicals and spirits of one shelf."""

    books = Books()

    def __init__(self, books: Books | None = None) -> None:
        if books is not None:
            self.books = books

    def find(self, name: str, fresh: bool | None = None) -> Botanical | None:
        """Return the botanical of that id, name or alias, case, accents and punctuation aside.

        A part of a name is not enough, as `lemon` is neither peel nor juice. With `fresh`, one that
        is known only in the other state is not returned: its figures, days and preparation do not
        hold. Its cautions do, so look for those without.
        """
        found = self.books.botanicals.get(self.books.names.get(key(name), ""))
        return None if found and fresh not in (None, found.fresh) else found

    def search(self, text: str, limit: int = 20) -> tuple[Botanical, ...]:
        """Return botanicals whose name, alias or Latin name is near a text, the nearest first.

        A part of a name and a typo are enough. Without a text, the first by name are returned.
        """
        if not key(text):
            return self.all_botanicals()[:limit]
        return tuple(self.books.botanicals[id_] for id_ in ranked(text, self.books.called, limit))

    def near(self, name: str, limit: int = 3) -> tuple[str, ...]:
        """Return names of botanicals that may have been meant, the nearest first."""
        ids = near(name, self.books.called, limit)
        return tuple(self.books.botanicals[id_].name for id_ in ids)

    def all_botanicals(self) -> tuple[Botanical, ...]:
        """Return all botanicals, by name."""
        return tuple(sorted(self.books.botanicals.values(), key=lambda one: one.name.casefold()))

    def find_spirit(self, name: str) -> Spirit | None:
        """Return the spirit of that id, name or alias, case, accents and punctuation aside."""
        return self.books.spirits.get(self.books.spirit_names.get(key(name), ""))

    def search_spirits(self, text: str, limit: int = 20) -> tuple[Spirit, ...]:
        """Return spirits whose name or alias is near a text, the nearest first."""
        if not key(text):
            return self.all_spirits()[:limit]
        called = {id_: (one.name, *one.aliases) for id_, one in self.books.spirits.items()}
        return tuple(self.books.spirits[id_] for id_ in ranked(text, called, limit))

    def all_spirits(self) -> tuple[Spirit, ...]:
        """Return all spirits, the strongest first."""
        return tuple(sorted(self.books.spirits.values(), key=lambda one: (-one.strength, one.name)))

    def dryness(self, line: BotanicalLine) -> tuple[Estimate, Estimate]:
        """Return the water of a botanical, of its mass, and its soluble part, of the dry mass."""
        found = self.find(line.catalogue_id, line.fresh) if line.catalogue_id else None
        figures = (
            (found.moisture, found.soluble)
            if found
            else class_defaults(line.material_class, line.fresh)
        )
        moisture, soluble = (Estimate(one.value, one.u, one.source) for one in figures)
        return moisture, soluble

    def absorption(self, line: BotanicalLine, separation: Separation) -> Absorption:
        """Return what a botanical holds back, with the ± of the next batch."""
        from steepboard.domain.learning import Prior, learn

        usual = absorption(line.material_class, separation, line.fresh)
        next_u = learn(Prior(usual.mean, usual.sd), {line.name: ()}).of(line.name).next_u
        return replace(usual, sd=next_u)

    def before(self, at: datetime) -> Library:  # noqa: ARG002  (what is shipped knows no time)
        """Return what was known at an instant."""
        return self

    def check(self) -> None:
        """Read all there is; raises BadCatalogue for a file that cannot be used."""
        self.books.names, self.books.spirit_names  # noqa: B018 - read for their faults


SHIPPED = Library()
"""What the program brings, without anything of one's own."""
