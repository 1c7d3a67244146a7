"""The whole shelf as one JSON document: written row by row, read back all or nothing."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from typing import IO, TYPE_CHECKING

from steepboard.catalogue.library import Library
from steepboard.domain.bottle_fold import fold
from steepboard.domain.mixing import Liquid
from steepboard.errors import BadDocument, ShelfNotEmpty, TooNew
from steepboard.services.exchange.faults import Faults
from steepboard.services.exchange.parsing import found
from steepboard.services.exchange.schema import FORMAT, VERSION, faults
from steepboard.services.own_books import own_books
from steepboard.store import bottles, exchange
from steepboard.store.exchange_parts import LISTS
from steepboard.store.intake import Intake

if TYPE_CHECKING:
    from collections.abc import Generator, Iterable, Mapping

    from steepboard.services.desk import Desk
    from steepboard.services.exchange.parsing import Found
    from steepboard.store.exchange_parts import Part


def written(desk: Desk) -> Generator[str]:
    """Yield the document, a line for each row, in ASCII, so that no text in it acts on anything."""
    yield f'{{"format": "{FORMAT}", "version": {VERSION}'
    with exchange.at_one_moment(desk.store):
        for part in LISTS:
            yield f',\n"{part.name}": ['
            before = "\n"
            for row in exchange.rows(desk.store, part):
                yield before + json.dumps(row, allow_nan=False)
                before = ",\n"
            yield "]" if before == "\n" else "\n]"
    yield "}\n"


def take_in(desk: Desk, file: IO[bytes], name: str) -> Mapping[str, int]:
    """Write all that a document says to an empty record; return how many rows of each list.

    Raises what `fill` raises.
    """
    return fill(desk, found(file, name), name)


def fill(desk: Desk, rows: Iterable[Found], name: str) -> Mapping[str, int]:
    """Write what is found in a file to an empty record; return how many rows of each list.

    One transaction: where anything is wrong, nothing is written. Raises `ShelfNotEmpty`,
    `BadDocument`, `BadRows` with every bad row, `TooNew`, and `BadCatalogue` for a botanical or
    spirit that cannot be used.
    """
    with desk.store.transaction() as conn:
        if not exchange.is_empty(desk.store):
            raise ShelfNotEmpty(str(desk.store.path))
        taking = _Taking(name, Intake(conn))
        for one in rows:
            taking.take(one)
        taking.end()
        _follow(desk, name)
        Library(own_books(desk.store)).check()
    return taking.counts


class _Taking:
    """How far an import has come, and what stands against it."""

    def __init__(self, name: str, intake: Intake) -> None:
        self.counts: Counter[str] = Counter()
        self._name, self._intake = name, intake
        self._head: dict[str, object] = {}
        self._order = [part.name for part in LISTS]
        self._faults = Faults(name)

    def take(self, one: Found) -> None:
        """Take a value of the head or a row of a list."""
        if one.name in ("format", "version") and not one.in_list:
            self._head[one.name] = one.value
            self._check(one)
            return
        if len(self._head) < 2:
            raise BadDocument(self._name, one.line(), f"it does not begin as a {FORMAT} does")
        if not one.in_list or one.name not in self._order:
            raise BadDocument(self._name, one.line(), self._not_a_list(one))
        del self._order[: self._order.index(one.name)]
        self._take_row(LISTS[-len(self._order)], one)

    def end(self) -> None:
        """Raise what stands against the document as a whole."""
        if len(self._head) < 2:
            raise BadDocument(self._name, 1, f"it does not begin as a {FORMAT} does")
        self._faults.end()

    def _check(self, one: Found) -> None:
        wanted = {"format": FORMAT, "version": VERSION}[one.name]
        newer = isinstance(one.value, int) and one.name == "version" and one.value > VERSION
        if newer:
            raise TooNew(
                f"{self._name} was written by a newer Steepboard: it has version {one.value}, and "
                f"this one reads {VERSION}. Nothing was imported."
            )
        if one.value != wanted or isinstance(one.value, bool):
            raise BadDocument(self._name, one.line(), f"{one.place(())} is not “{wanted}”")

    def _not_a_list(self, one: Found) -> str:
        if one.name in (part.name for part in LISTS):
            return f"“{one.name}” " + ("comes too late" if one.in_list else "is not a list in [ ]")
        return f"“{one.name[:40]}” is not known"

    def _take_row(self, part: Part, one: Found) -> None:
        self.counts[part.name] += 1
        against = [*faults(part.name, one.value)]
        if against and isinstance(one.value, dict):
            self._intake.leave(part, one.value)
        if not against:
            against = [(no.path, no.reason) for no in self._intake.put(part, one.value)]
        for path, reason in against:
            self._faults.add(one.line(path), f"{one.place(path)}: {reason}")


def _follow(desk: Desk, name: str) -> None:
    """Follow the diary of each bottle; raises `BadDocument` where one cannot be followed."""
    liquids: dict[int, Liquid] = defaultdict(lambda: Liquid(0.0))
    for (id_,) in desk.store.tuples("select id from bottle"):
        ids = bottles.needed(desk.store, "id = ?", id_)
        tags = bottles.tags(desk.store, ids)
        try:
            fold(tags, bottles.entries(desk.store, ids), liquids)
        except (LookupError, ArithmeticError, ValueError) as fault:
            code = next(tag.code for tag in tags if tag.id == id_)
            raise BadDocument(name, None, f"the diary of {code} cannot be followed") from fault
