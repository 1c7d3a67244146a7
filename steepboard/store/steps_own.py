"""The steps of the schema that add to what a shelf says of its botanicals; see `steps`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.store.checks import STAMP
from steepboard.store.script import run

if TYPE_CHECKING:
    from sqlite_utils import Database


def m009_believed(db: Database) -> None:
    """Keep how dry a botanical was taken to be until a person said otherwise."""
    run(
        db,
        f"""
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
    """,
    )


def m011_all_of_a_botanical(db: Database) -> None:
    """Let a botanical of one's own have all that one of the catalogue has."""
    for column in (
        "aliases text not null default '' check(length(aliases) <= 300)",
        "part text not null default '' check(length(part) <= 80)",
        "form text not null default '' check(length(form) <= 80)",
        "strength_min real check(strength_min between 0 and 1)",
        "strength_max real check(strength_max <= 1 and strength_max >= strength_min)",
        "moisture_low real check(moisture_low >= 0 and moisture_low <= moisture)",
        "moisture_high real check(moisture_high < 1 and moisture_high >= moisture)",
        "soluble_low real check(soluble_low >= 0 and soluble_low <= soluble)",
        "soluble_high real check(soluble_high < 1 and soluble_high >= soluble)",
        "pungency integer check(pungency between 0 and 3)",
        "bitterness integer check(bitterness between 0 and 3)",
        "allergens text not null default '' check(length(allergens) <= 300)",
        "use text check(use in ('usual', 'with care', 'poor choice', 'never'))",
        "fresh_soft integer check(fresh_soft in (0, 1))",
        "fresh_note text not null default '' check(length(fresh_note) <= 300)",
        "note text not null default '' check(length(note) <= 300)",
    ):
        db.execute(f"alter table own_botanical add column {column}")
