"""The diary of the house: what is kept by name, forgotten, and taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, TypeAlias

from steepboard.errors import NothingToUndo, NotKept
from steepboard.store import house as store
from steepboard.text import clean

if TYPE_CHECKING:
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.services.desk import Desk

Topic: TypeAlias = Literal["dose", "dropper", "trial", "formula"]


def named(desk: Desk, topic: Topic, name: str) -> str:
    """Return a name as it is kept: as it was spelt before, whatever its letter case now."""
    wanted = clean(name, 80)
    if not wanted:
        raise NotKept(topic, "")
    known = {one.casefold(): one for one in store.names(desk.store, topic)}
    return known.get(wanted.casefold(), wanted)


def write(
    desk: Desk,
    db: Database,
    topic: Topic,
    name: str,
    act: str,
    now: datetime,
    undoes: int | None = None,
) -> int:
    """Write a line that the desk signs, and return its id; inside `Store.writing()`."""
    return store.add_entry(db, topic, name, act, now, desk.source, desk.initials, undoes)


def forget(desk: Desk, topic: Topic, name: str, now: datetime) -> str:
    """Keep a dose, a dropper or a formula no longer; raises `NotKept`."""
    name = named(desk, topic, name)
    with desk.store.writing() as db:
        if name not in store.kept(desk.store, topic):
            raise NotKept(topic, name)
        write(desk, db, topic, name, "forget", now)
    return name


def undo(desk: Desk, topic: Topic, name: str, now: datetime) -> str:
    """Take back what was said last of a thing; the undo is a line itself.

    Raises `NotKept` and `NothingToUndo`.
    """
    with desk.store.writing() as db:
        return take_back(desk, db, topic, name, now)


def take_back(desk: Desk, db: Database, topic: Topic, name: str, now: datetime) -> str:
    """Do what `undo` does, inside `Store.writing()`."""
    name = named(desk, topic, name)
    if name not in store.names(desk.store, topic):
        raise NotKept(topic, name)
    last = store.last_entry(desk.store, topic, name)
    if last is None:
        raise NothingToUndo(f"Nothing of {name} is left to undo.")
    write(desk, db, topic, name, "undo", now, last)
    return name
