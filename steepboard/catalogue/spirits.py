"""A row of a file as a spirit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from steepboard.catalogue.records import Spirit
from steepboard.catalogue.tables import Row, source
from steepboard.domain.own import OwnSpirit

COLUMNS = ("id", "name", "aliases", "strength_percent", "source", "note")


def spirit(id_: str, row: Row, sources: Mapping[str, str]) -> Spirit:
    """Return the spirit of a row; raises BadCatalogue."""
    strength = row.number("strength_percent", 0, 100)
    if strength is None:
        raise row.fault("strength_percent", "a spirit needs its strength")
    return Spirit(
        id=id_,
        name=row["name"] or id_,
        aliases=row.listed("aliases"),
        strength=strength / 100,
        source=source(row, "source", ("name", "strength_percent"), sources),
        note=row["note"],
        own=row.own,
    )


def own_rows(own: Iterable[OwnSpirit]) -> dict[str, Row]:
    """Return what a shelf keeps of spirits as rows."""
    return {
        one.id: Row(
            f"your spirit {one.name}",
            None,
            {
                "id": one.id,
                "name": one.name,
                "strength_percent": f"{100 * one.strength:.10g}",
                "note": one.note,
            },
            own=True,
        )
        for one in own
    }
