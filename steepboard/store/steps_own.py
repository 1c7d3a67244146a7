"""The step of the schema that dates what a shelf says of its botanicals; see `steps`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.store.checks import STAMP

if TYPE_CHECKING:
    from sqlite_utils import Database


def m009_believed(db: Database) -> None:
    """Keep how dry a botanical was taken to be until a person said otherwise."""
    db.executescript(f"""
        create table believed(
            plant text not null check(length(trim(plant)) between 1 and 80),
            until text not null check(until {STAMP}),
            fresh integer not null check(fresh in (0, 1)),
            moisture real not null check(moisture >= 0 and moisture < 1),
            moisture_u real not null check(moisture_u >= 0),
            moisture_source text not null check(length(moisture_source) <= 1000),
            soluble real not null check(soluble >= 0 and soluble < 1),
            soluble_u real not null check(soluble_u >= 0),
            soluble_source text not null check(length(soluble_source) <= 1000)
        ) strict;
    """)
