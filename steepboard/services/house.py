"""The diary of the house: what is kept by name, forgotten, and taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, TypeAlias

from steepboard.errors import NothingToUndo, NotKept
from steepboard.store import house as store
from steepboard.text import clean

if TYPE_CHECKING:
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.domain.said import Said
    from steepboard.services.desk import Desk

Topic: TypeAlias = Literal["dose", "dropper", "formula", "par", "spirit price", "botanical price"]
"""What is kept by name and forgotten; a trial is ended, and taken back by `undo_trial`."""
_Any: TypeAlias = Topic | Literal["trial"]


def named(desk: Desk, topic: _Any, name: str) -> str:
    """Return a name as it is kept: as it was spelt before, whatever its letter case now."""
    wanted = clean(name, 80)
    if not wanted:
        raise NotKept(topic, "")
    known = {one.casefold(): one for one in store.names(desk.store, topic)}
    return known.get(wanted.casefold(), wanted)


def write(desk: Desk, db: Database, topic: _Any, name: str, act: str, now: datetime) -> int:
    """Write a line that the desk signs, and return its id; inside `Store.writing()`."""
    return store.add_entry(db, topic, name, act, now, desk.source, desk.initials)


def forget(desk: Desk, topic: Topic, name: str, now: datetime) -> str:
    """Keep what is kept of a name no longer; raises `NotKept`."""
    name = named(desk, topic, name)
    with desk.store.writing() as db:
        if name not in store.kept(desk.store, topic):
            raise NotKept(topic, name)
        write(desk, db, topic, name, "forget", now)
    return name


def last_said(desk: Desk, topic: _Any, name: str) -> Said | None:
    """Return what an undo would take back of a thing; None for nothing."""
    return store.last_said(desk.store, topic, named(desk, topic, name))


def undo(desk: Desk, topic: Topic, name: str, now: datetime) -> Said:
    """Take back what was said last of a thing, and return it; the undo is a line itself.

    Raises `NotKept` and `NothingToUndo`.
    """
    with desk.store.writing() as db:
        last = to_undo(desk, topic, name)
        write_undo(desk, db, topic, last.name, last.id, now)
    return last


def to_undo(desk: Desk, topic: _Any, name: str) -> Said:
    """Return what was said last of a thing. Raises `NotKept` and `NothingToUndo`."""
    name = named(desk, topic, name)
    if name not in store.names(desk.store, topic):
        raise NotKept(topic, name)
    last = store.last_said(desk.store, topic, name)
    if last is None:
        raise NothingToUndo(f"Nothing of {name} is left to undo.")
    return last


def write_undo(
    desk: Desk, db: Database, topic: str, name: str, entry_id: int, now: datetime
) -> None:
    """Take a line back; inside `Store.writing()`."""
    store.add_entry(db, topic, name, "undo", now, desk.source, desk.initials, undoes=entry_id)
