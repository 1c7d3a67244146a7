"""Keeping the shelf's own botanicals and spirits."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any, NamedTuple

from steepboard.domain.own import OwnBotanical, OwnSpirit

if TYPE_CHECKING:
    from sqlite_utils import Database

    from steepboard.store.connect import Store

FOLDER = "catalogue"  # in the shelf's folder: files of one's own, named as the shipped ones
PARTED = {"cautions": " ", "aliases": ";", "allergens": ";"}
"""Columns that hold several words, each with what stands between them."""
_FLAGS = ("fresh", "fresh_soft")


class Believed(NamedTuple):
    """How dry a botanical was taken to be until then, in the order of its table."""

    plant: str
    """Its id."""
    until: str
    """An instant as the record writes them, so that their order is time's."""
    fresh: bool
    moisture: float
    moisture_u: float
    moisture_source: str
    soluble: float
    soluble_u: float
    soluble_source: str


def is_any(store: Store) -> bool:
    """Say whether the shelf has entries or files of its own."""
    sql = "select exists(select 1 from own_botanical) or exists(select 1 from own_spirit) as kept"
    return (store.path.parent / FOLDER).is_dir() or bool(store.rows(sql)[0]["kept"])


def botanicals(store: Store) -> tuple[OwnBotanical, ...]:
    """Return the shelf's own botanicals, by name."""
    return tuple(_botanical(row) for row in store.rows("select * from own_botanical order by name"))


def spirits(store: Store) -> tuple[OwnSpirit, ...]:
    """Return the shelf's own spirits, by name."""
    return tuple(OwnSpirit(**row) for row in store.rows("select * from own_spirit order by name"))


def believed(store: Store) -> tuple[Believed, ...]:
    """Return what was believed before, the first that was changed first."""
    rows = store.tuples("select * from believed order by until, rowid")
    return tuple(Believed(plant, until, bool(fresh), *rest) for plant, until, fresh, *rest in rows)


def add_believed(db: Database, one: Believed) -> None:
    """Keep what was believed until a change; inside `Store.writing()`."""
    db.table("believed").insert(one._asdict())


def keep_botanical(db: Database, one: OwnBotanical) -> None:
    """Keep a botanical, in place of any of the same id; inside `Store.writing()`."""
    row = asdict(one)
    row |= {column: between.join(row[column]) for column, between in PARTED.items()}
    db.table("own_botanical").upsert(row, pk="id")


def keep_spirit(db: Database, one: OwnSpirit) -> None:
    """Keep a spirit, in place of any of the same id; inside `Store.writing()`."""
    db.table("own_spirit").upsert(asdict(one), pk="id")


def drop_botanical(db: Database, id_: str) -> None:
    """Forget a botanical; inside `Store.writing()`."""
    db.table("own_botanical").delete_where("id = ?", [id_])


def drop_spirit(db: Database, id_: str) -> None:
    """Forget a spirit; inside `Store.writing()`."""
    db.table("own_spirit").delete_where("id = ?", [id_])


def _botanical(row: dict[str, Any]) -> OwnBotanical:
    words = {
        column: tuple(row[column].split(between)) if row[column] else ()
        for column, between in PARTED.items()
    }
    flags = {column: None if row[column] is None else bool(row[column]) for column in _FLAGS}
    return OwnBotanical(**{**row, **words, **flags})
