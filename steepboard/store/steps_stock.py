"""The step of the schema that brings what stock needs beside bottles; see `steps`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.store.checks import STAMP
from steepboard.store.script import run

if TYPE_CHECKING:
    from sqlite_utils import Database


def m008_stock(db: Database) -> None:
    """Allow a least of 0 for what is not made again; keep which lists of drinks were drawn by."""
    run(
        db,
        f"""
        alter table par rename to par_before;
        create table par(
            name text primary key check(length(trim(name)) between 1 and 80),
            volume_ml real not null check(volume_ml >= 0)
        ) strict, without rowid;
        insert into par select name, volume_ml from par_before;
        drop table par_before;
        create table sold(
            act integer primary key check(act > 0),
            digest text not null check(length(digest) = 64),
            file text not null check(length(trim(file)) between 1 and 80),
            at text not null check(at {STAMP})
        ) strict;
    """,
    )
