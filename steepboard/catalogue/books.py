"""The data of one shelf: what is shipped, the files in its own folder, its own entries."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path

from steepboard.catalogue.botanicals import COLUMNS as BOTANICAL_COLUMNS
from steepboard.catalogue.botanicals import botanical
from steepboard.catalogue.botanicals import own_rows as rows_of_botanicals
from steepboard.catalogue.documents import folder
from steepboard.catalogue.limits import Content, contents
from steepboard.catalogue.names import key
from steepboard.catalogue.records import Botanical, Spirit
from steepboard.catalogue.spirits import COLUMNS as SPIRIT_COLUMNS
from steepboard.catalogue.spirits import own_rows as rows_of_spirits
from steepboard.catalogue.spirits import spirit
from steepboard.catalogue.tables import STANDINGS, Row, Rows, overlaid, read
from steepboard.domain.own import OwnBotanical, OwnSpirit

_SOURCES = ("code", "obtained", "text")


class Books:
    """Botanicals and spirits, each read when first asked for.

    A shelf's own entries win over the files in its own folder, and those over what is shipped.
    BadCatalogue is raised for a file that cannot be used.
    """

    def __init__(
        self,
        own_folder: Path | None = None,
        own_botanicals: Iterable[OwnBotanical] = (),
        own_spirits: Iterable[OwnSpirit] = (),
    ) -> None:
        self._folder = own_folder
        self._own_botanicals, self._own_spirits = tuple(own_botanicals), tuple(own_spirits)

    @cached_property
    def sources(self) -> Mapping[str, str]:
        """What each code of a source says."""
        return {**_shipped_sources(), **_told(_own_file(self._folder, "sources"))}

    @cached_property
    def botanicals(self) -> Mapping[str, Botanical]:
        """All botanicals by id."""
        shipped = _shipped_botanicals()
        below = _shipped_rows("botanicals")
        changed = overlaid(below, _own_file(self._folder, "botanicals"))
        changed |= overlaid({**below, **changed}, rows_of_botanicals(self._own_botanicals))
        if not changed:
            return shipped
        made = {id_: botanical(id_, row, self.sources) for id_, row in changed.items()}
        _refuse_taken(changed, made, shipped)
        return {**shipped, **made}

    @cached_property
    def spirits(self) -> Mapping[str, Spirit]:
        """All spirits by id."""
        below = _shipped_rows("spirits")
        changed = overlaid(below, _own_file(self._folder, "spirits"))
        changed |= overlaid({**below, **changed}, rows_of_spirits(self._own_spirits))
        rows = {**below, **changed}
        return {id_: spirit(id_, row, self.sources) for id_, row in rows.items()}

    @property
    def contents(self) -> tuple[Content, ...]:
        """The most that plants are known to hold of limited substances."""
        return contents(self._folder)

    @cached_property
    def called(self) -> Mapping[str, tuple[str, ...]]:
        """From each id to all that a botanical is called."""
        return {
            id_: (id_, one.name, *one.aliases, *one.latin.split(", "))
            for id_, one in self.botanicals.items()
        }

    @cached_property
    def names(self) -> Mapping[str, str]:
        """From each id, name and alias, as a key, to the id; one's own come last and win."""
        return {
            key(name): one.id
            for one in sorted(self.botanicals.values(), key=lambda one: one.own)
            for name in (one.id, one.name, *one.aliases)
        }

    @cached_property
    def spirit_names(self) -> Mapping[str, str]:
        """From each id, name and alias of a spirit, as a key, to the id."""
        return {
            key(name): one.id
            for one in sorted(self.spirits.values(), key=lambda one: one.own)
            for name in (one.id, one.name, *one.aliases)
        }


@functools.cache
def _shipped_rows(name: str) -> Rows:
    return read(folder() / f"{name}.csv", _columns(name), own=False)


@functools.cache
def _shipped_sources() -> Mapping[str, str]:
    return _told(_shipped_rows("sources"))


@functools.cache
def _shipped_botanicals() -> Mapping[str, Botanical]:
    told = _shipped_sources()
    return {id_: botanical(id_, row, told) for id_, row in _shipped_rows("botanicals").items()}


@functools.cache
def _own_file(own_folder: Path | None, name: str) -> Rows:
    """Return the rows of a person's own file, read once for each run of the program."""
    path = own_folder / f"{name}.csv" if own_folder else None
    return read(path, _columns(name), own=True) if path and path.exists() else {}


def _columns(name: str) -> tuple[str, ...]:
    known = {"botanicals": BOTANICAL_COLUMNS, "spirits": SPIRIT_COLUMNS, "sources": _SOURCES}
    return known[name]


def _told(rows: Rows) -> dict[str, str]:
    """Return from each code what is told of a source: how it was obtained, and which it is."""
    for row in rows.values():
        if not row["obtained"].startswith(STANDINGS):
            raise row.fault("obtained", f"it must begin with one of {', '.join(STANDINGS)}")
    return {
        code: ": ".join(filter(None, (row["obtained"], row["text"]))) for code, row in rows.items()
    }


def _refuse_taken(
    rows: Mapping[str, Row], made: Mapping[str, Botanical], shipped: Mapping[str, Botanical]
) -> None:
    """Refuse a name in a file that means another botanical already."""
    taken = {
        key(name): one.id
        for one in (*shipped.values(), *made.values())
        for name in (one.id, one.name, *one.aliases)
        if one.id not in made
    }
    for id_, one in made.items():
        for column, names in (("id", (id_,)), ("name", (one.name,)), ("aliases", one.aliases)):
            for name in names:
                other = taken.setdefault(key(name), id_)
                if other != id_ and rows[id_].line is not None:
                    raise rows[id_].fault(column, f"“{name}” means {other} already")
