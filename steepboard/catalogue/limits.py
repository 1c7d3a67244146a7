"""What is allowed of limited substances in drinks, and the most that plants hold of them."""

from __future__ import annotations

import csv
import functools
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from steepboard.catalogue.documents import folder, rows
from steepboard.domain.limits import Limit, Share
from steepboard.errors import BadCatalogue
from steepboard.text import clean

if TYPE_CHECKING:
    from steepboard.catalogue.records import Botanical

_COLUMNS = ("substance", "latin", "mg_per_g", "source", "obtained")
_LONGEST = 200  # characters of a cell; assumed, the longest of ours has half of it


@dataclass(frozen=True, slots=True)
class Content:
    """The most that a plant is known to hold of a substance."""

    substance: str
    latin: str
    """How the plant's Latin name begins."""
    mg_per_g: float
    """In each gram as weighed."""
    source: str
    own: bool
    """Whether it comes from a person's own file."""


def limits(substance: str, latins: Sequence[str]) -> tuple[Limit, ...]:
    """Return the limits of a substance that hold for a jar with plants of these Latin names."""
    genera = {name.split()[0] for latin in latins for name in _names(latin)}
    return tuple(
        Limit(
            substance,
            row["place"],
            row["drink"],
            float(row["limit"]) if row["limit"] else None,
            row["unit"],
            label=row["rule"] == "label",
            source=row["source"],
            obtained=row["obtained"],
        )
        for row in rows("limits")
        if row["substance"] == substance and _holds(row, genera)
    )


@functools.cache
def contents(own_folder: Path | None = None) -> tuple[Content, ...]:
    """Return what plants hold, a person's own file too; BadCatalogue where that cannot be used."""
    shipped = tuple(_read(folder() / "contents.csv", own=False))
    path = own_folder / "contents.csv" if own_folder else None
    return (*_read(path, own=True), *shipped) if path and path.exists() else shipped


def share(
    known: Sequence[Content], substance: str, plant: Botanical, name: str, mass_g: float
) -> Share:
    """Return the most that so much of a plant, by the `name` people know, may hold."""
    fitting = [
        one
        for one in known
        if one.substance == substance
        and any(latin.startswith(one.latin) for latin in _names(plant.latin))
    ]
    if not fitting:
        return Share(name, mass_g, None, "not known here")
    best = max(fitting, key=lambda one: (one.own, len(one.latin)))
    return Share(name, mass_g, best.mg_per_g, best.source)


def _read(path: Path, *, own: bool) -> Iterator[Content]:
    where = f"catalogue/{path.name}" if own else path.name
    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError) as fault:
        raise BadCatalogue(where, None, None, f"it cannot be read ({fault})") from None
    kept = [(n, line) for n, line in enumerate(lines, start=1) if line and line[0] != "#"]
    numbers, texts = [n for n, _ in kept], [line for _, line in kept]
    table = csv.reader(texts)
    if tuple(next(table, ())) != _COLUMNS:
        raise BadCatalogue(where, None, None, f"its first line must be {','.join(_COLUMNS)}")
    for cells, line in zip(table, numbers[1:], strict=False):
        yield _content(where, line, cells, own=own)


def _content(where: str, line: int, cells: list[str], *, own: bool) -> Content:
    if len(cells) != len(_COLUMNS):
        raise BadCatalogue(where, line, None, f"it has {len(cells)} cells, not {len(_COLUMNS)}")
    row = {column: clean(cell, _LONGEST) for column, cell in zip(_COLUMNS, cells, strict=True)}
    for column, cell in row.items():
        if not cell:
            raise BadCatalogue(where, line, column, "it is empty")
    try:
        mg_per_g = float(row["mg_per_g"])
    except ValueError:
        mg_per_g = float("nan")
    if not 0 <= mg_per_g <= 1000:
        raise BadCatalogue(where, line, "mg_per_g", "it must be a number from 0 to 1000")
    source = f"{row['obtained']}: {row['source']}"
    return Content(row["substance"], row["latin"], mg_per_g, source, own)


def _names(latin: str) -> list[str]:
    """Return the Latin names of what goes by one trade name."""
    return [name.strip() for name in re.split(r"[,/]", latin) if name.strip()]


def _holds(row: Mapping[str, str], genera: set[str]) -> bool:
    if row["only_with"] and row["only_with"] not in genera:
        return False
    return row["not_with"] not in genera
