"""What a shelf knows of botanicals: one's own entries, then what the program brings."""

from __future__ import annotations

import functools
import re
import unicodedata
from collections.abc import Mapping
from datetime import datetime
from functools import cached_property
from typing import Any

from steepboard.catalogue.classes import absorption, class_defaults, sourced
from steepboard.catalogue.documents import document
from steepboard.catalogue.records import Absorption, Botanical, Estimate
from steepboard.domain.records import BotanicalLine, Separation

_STEM = 4  # letters of a jar code; enough to tell jars apart on a strip of tape


class Library:
    """The botanicals of one shelf, looked up by what people call them."""

    def find(self, name: str, fresh: bool | None = None) -> Botanical | None:
        """Return the botanical of that id, name or alias, case, accents and punctuation aside.

        A part of a name is not enough, as `lemon` is neither peel nor juice. With `fresh`, one that
        is known only in the other state is not returned: its figures, days and preparation do not
        hold. Its cautions do, so look for those without.
        """
        found = self._botanicals.get(self._names.get(key(name), ""))
        return None if found and fresh not in (None, found.fresh) else found

    def all_botanicals(self) -> tuple[Botanical, ...]:
        """Return all botanicals, by name."""
        return tuple(sorted(self._botanicals.values(), key=lambda botanical: botanical.name))

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
        return absorption(line.material_class, separation, line.fresh)

    def before(self, at: datetime) -> Library:  # noqa: ARG002  (what is shipped knows no time)
        """Return what was known at an instant."""
        return self

    @property
    def _botanicals(self) -> Mapping[str, Botanical]:
        return _botanicals()

    @cached_property
    def _names(self) -> Mapping[str, str]:
        """From each id, name and alias, as a key, to the id."""
        return {
            key(name): botanical.id
            for botanical in self._botanicals.values()
            for name in (botanical.id, botanical.name, *botanical.aliases)
        }


SHIPPED = Library()
"""What the program brings, without anything of one's own."""


@functools.cache
def _botanicals() -> Mapping[str, Botanical]:
    table = document("botanicals")
    sources = table["sources"]
    return {id_: _botanical(id_, table[id_], sources) for id_ in table if id_ != "sources"}


def _botanical(id_: str, entry: Mapping[str, Any], sources: Mapping[str, str]) -> Botanical:
    fresh = entry.get("fresh", False)
    moisture, soluble = class_defaults(entry["material_class"], fresh)
    ratio_min, ratio_max = entry["ratio"]
    days_min, days_typical, days_max = entry["days"]
    return Botanical(
        id=id_,
        name=entry["name"],
        latin=entry["latin"],
        part=entry["part"],
        material_class=entry["material_class"],
        aliases=tuple(entry["aliases"]),
        fresh=fresh,
        moisture=sourced(entry, "moisture", sources) if "moisture" in entry else moisture,
        soluble=sourced(entry, "soluble", sources) if "soluble" in entry else soluble,
        ratio_min=ratio_min,
        ratio_max=ratio_max,
        ratio_source=sources[entry["ratio_source"]],
        days_min=days_min,
        days_typical=days_typical,
        days_max=days_max,
        taste_from_day=entry["taste_from_day"],
        days_source=sources["practice"],
        preparation=entry["preparation"],
        cautions=tuple(entry["cautions"]),
    )


def code_stem(name: str) -> str:
    """Return up to four letters A to Z for a jar's code: `orange peel` gives `ORAN`."""
    plain = unicodedata.normalize("NFKD", name).upper()
    letters = "".join(c for c in plain if "A" <= c <= "Z")[:_STEM]
    return letters if len(letters) >= 2 else "JAR"


def key(name: str) -> str:
    """Return a name without case, accents and punctuation, to compare by."""
    letters = unicodedata.normalize("NFKD", name).casefold()
    unaccented = "".join(c for c in letters if not unicodedata.combining(c))
    return " ".join(re.findall(r"\w+", unaccented.replace("_", " ")))
