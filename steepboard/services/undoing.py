"""Taking back what was done last: to a jar, to a bottle, or on the whole shelf."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.domain.bottles import BottleEntry, BottleKind
from steepboard.domain.records import Kind
from steepboard.errors import NothingToUndo, TakeBackFirst
from steepboard.services.bottle_entries import written
from steepboard.store import bottles, diary, jars

if TYPE_CHECKING:
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.domain.records import Entry
    from steepboard.services.desk import Desk


@dataclass(frozen=True, slots=True)
class LastAct:
    """The last act that still counts, of a jar, of a bottle or of the shelf."""

    code: str
    """Of the jar or bottle that it was done to."""
    entries: tuple[Entry | BottleEntry, ...]
    """At least one; made together, taken back together."""

    @property
    def kinds(self) -> tuple[Kind | BottleKind, ...]:
        """What the act consisted of."""
        return tuple(entry.kind for entry in self.entries)

    @property
    def at(self) -> datetime:
        """When it was done."""
        return self.entries[0].at

    @property
    def initials(self) -> str:
        """Who did it."""
        return self.entries[0].initials


def last_act(desk: Desk, code: str | None = None) -> LastAct | None:
    """Return what an undo would take back, of a jar, a bottle or the shelf; None for nothing.

    To a jar was done, too, what was bottled from it. Raises `UnknownJar`.
    """
    bottle = bottles.tag(desk.store, code) if code else None
    if bottle:
        act = bottles.last_act(desk.store, [bottle.id])
        return _of_bottles(desk, act, bottle.code) if act else None
    jar_id = jars.id_of(desk.store, code) if code else None
    found = jars.last_act(desk.store, jar_id)
    act = bottles.last_fill(desk.store, jar_id) if jar_id else bottles.last_act(desk.store)
    entries = _jar_entries(desk, found[0], found[1]) if found else ()
    if act and (not entries or bottles.written_after(desk.store, act) >= entries[-1].id):
        return _of_bottles(desk, act, code)
    return LastAct(found[2], entries) if found else None


def undo(desk: Desk, code: str | None, now: datetime) -> LastAct:
    """Take back the last act of a jar, a bottle or the shelf; the undo is an entry itself.

    Raises `NothingToUndo`, and `TakeBackFirst` where something rests on it.
    """
    with desk.store.writing() as db:
        last = last_act(desk, code)
        if last is None:
            raise NothingToUndo("Nothing is left to undo." if code is None else
                                f"Nothing of {code} is left to undo.")  # fmt: skip
        mine = [entry for entry in last.entries if isinstance(entry, BottleEntry)]
        if mine:
            _refuse_rested_on(desk, mine)
            act = bottles.next_act(db)
            for id_ in dict.fromkeys(entry.bottle_id for entry in mine):
                gone = written(desk, db, id_, act, BottleKind.UNDO, now, undoes=mine[0].act)
                bottles.add_entry(db, gone)
        others = [entry for entry in last.entries if not isinstance(entry, BottleEntry)]
        if others:
            _undo_jar(desk, db, others, now)
    return last


def _undo_jar(desk: Desk, db: Database, entries: list[Entry], now: datetime) -> None:
    first = entries[0]
    diary.add_entry(
        db,
        first.jar_id,
        diary.next_act(db, first.jar_id),
        Kind.UNDO,
        at=now,
        source=desk.source,
        initials=desk.initials,
        undoes=first.act,
    )
    if any(entry.kind is Kind.CHARGE for entry in entries):
        diary.drop_draft(db, first.jar_id)


def _refuse_rested_on(desk: Desk, entries: list[BottleEntry]) -> None:
    """Refuse where a bottle was changed since it was filled or topped up, or more was bottled."""
    for entry in entries:
        (tag,) = bottles.tags(desk.store, [entry.bottle_id])
        if entry.poured and bottles.last_act(desk.store, [tag.id]) != entry.act:
            raise TakeBackFirst(tag.code)
        if entry.jar_entry and tag.jar_id:
            last = bottles.last_fill(desk.store, tag.jar_id)
            if last and last != entry.act:
                (later, *_) = bottles.tags(desk.store, bottles.act_of(desk.store, last))
                raise TakeBackFirst(later.code)


def _of_bottles(desk: Desk, act: int, code: str | None) -> LastAct:
    ids = bottles.act_of(desk.store, act)
    mine = tuple(entry for entry in bottles.entries(desk.store, ids) if entry.act == act)
    with_jar = next((entry.jar_entry for entry in mine if entry.jar_entry), None)
    entries: tuple[Entry | BottleEntry, ...] = mine
    if with_jar and (found := jars.act_with(desk.store, with_jar)):
        entries = (*mine, *_jar_entries(desk, *found))
    (first,) = bottles.tags(desk.store, [mine[0].bottle_id])
    return LastAct(code.strip().upper() if code else first.code, entries)


def _jar_entries(desk: Desk, jar_id: int, act: int) -> tuple[Entry, ...]:
    return tuple(entry for entry in jars.diary(desk.store, jar_id) if entry.act == act)
