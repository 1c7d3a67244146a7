"""Taking back what was done last: to a jar, to a bottle, or by the house at all."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING

from steepboard.domain.bottles import BottleEntry, BottleKind
from steepboard.domain.records import Entry, Kind
from steepboard.domain.said import Said
from steepboard.errors import NotDrawnBy, NothingToUndo, TakeBackFirst
from steepboard.services import house
from steepboard.services.bottle_entries import written
from steepboard.store import bottles, diary, jars, stock, trials
from steepboard.store import house as house_store
from steepboard.text import clean

if TYPE_CHECKING:
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.services.desk import Desk


@dataclass(frozen=True, slots=True)
class LastAct:
    """The last act that still counts, of a jar, of a bottle or of the shelf."""

    code: str
    """Of the jar or bottle that it was done to, or the name of what the house said."""
    entries: tuple[Entry | BottleEntry | Said, ...]
    """At least one; made together, taken back together."""

    @property
    def kinds(self) -> tuple[str, ...]:
        """What the act consisted of: values of `Kind` and `BottleKind`, or what was said."""
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

    To a jar was done, too, what was bottled from it; to the shelf what the house said of doses,
    droppers, trials, formulas, pars and prices. Raises `UnknownJar`.
    """
    if code is None:
        return _last_of_shelf(desk)
    bottle = bottles.tag(desk.store, code)
    if bottle:
        act = bottles.last_act(desk.store, [bottle.id])
        return _of_bottles(desk, act, bottle.code) if act else None
    jar_id = jars.id_of(desk.store, code)
    return _later(desk, jar_id, bottles.last_fill(desk.store, jar_id), code)


def undo(desk: Desk, code: str | None, now: datetime) -> LastAct:
    """Take back the last act of a jar, a bottle or the shelf; the undo is an entry itself.

    Raises `NothingToUndo`, and `TakeBackFirst` where something rests on it.
    """
    with desk.store.writing() as db:
        last = last_act(desk, code)
        if last is None:
            raise NothingToUndo("Nothing is left to undo." if code is None else
                                f"Nothing of {code} is left to undo.")  # fmt: skip
        _take_back(desk, db, last, now)
    return last


def last_of_trial(desk: Desk, code: str) -> LastAct | None:
    """Return what an undo would take back of a bench trial; without a code, of the last one."""
    said = house.last_said(desk, "trial", code or house_store.last_name(desk.store, "trial"))
    return _of_house(desk, said) if said else None


def undo_trial(desk: Desk, code: str, now: datetime) -> LastAct:
    """Take back what was said last of a bench trial, of an end what was drawn for it, too.

    Without a code it is the trial that was written of last. Raises `NotKept` and `NothingToUndo`.
    """
    with desk.store.writing() as db:
        name = code or house_store.last_name(desk.store, "trial")
        last = _of_house(desk, house.to_undo(desk, "trial", name))
        _take_back(desk, db, last, now)
    return last


def undo_sold(desk: Desk, name: str, content: bytes, now: datetime) -> LastAct:
    """Take back all draws of a list of drinks, known by what is in it or else by its name.

    Raises `NotDrawnBy`.
    """
    with desk.store.writing() as db:
        act = stock.act_drawn_by(desk.store, sha256(content).hexdigest(), clean(name, 80))
        if act is None:
            raise NotDrawnBy(clean(name, 80))
        last = _of_bottles(desk, act, None)
        _take_back(desk, db, last, now)
    return last


def _take_back(desk: Desk, db: Database, last: LastAct, now: datetime) -> None:
    mine = [entry for entry in last.entries if isinstance(entry, BottleEntry)]
    if mine:
        _refuse_rested_on(desk, mine)
        act = bottles.next_act(db)
        for id_ in dict.fromkeys(entry.bottle_id for entry in mine):
            gone = written(desk, db, id_, act, BottleKind.UNDO, now, undoes=mine[0].act)
            bottles.add_entry(db, gone)
    others = [entry for entry in last.entries if isinstance(entry, Entry)]
    if others:
        _undo_jar(desk, db, others, now)
    for said in last.entries:
        if isinstance(said, Said):
            house.write_undo(desk, db, said.topic, said.name, said.id, now)


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
    """Refuse where a bottle was changed or tried since it was filled, or more was bottled."""
    for entry in entries:
        (tag,) = bottles.tags(desk.store, [entry.bottle_id])
        trial = trials.last_of(desk.store, tag.id)
        if trial and entry.kind is BottleKind.FILL:
            raise TakeBackFirst(trial, "bench undo")
        if entry.poured and bottles.last_act(desk.store, [tag.id]) != entry.act:
            raise TakeBackFirst(tag.code)
        if entry.jar_entry and tag.jar_id:
            last = bottles.last_fill(desk.store, tag.jar_id)
            if last and last != entry.act:
                (later, *_) = bottles.tags(desk.store, bottles.act_of(desk.store, last))
                raise TakeBackFirst(later.code)


def _last_of_shelf(desk: Desk) -> LastAct | None:
    found = _later(desk, None, bottles.last_act(desk.store), None)
    said = house_store.last_said(desk.store)
    if said is None:
        return found
    last = _of_house(desk, said)
    apart = found and said not in found.entries
    if found and apart and any(_came_after(entry, said) for entry in found.entries):
        return found
    return last


def _of_house(desk: Desk, said: Said) -> LastAct:
    """Return a line of the house as an act, with what was done along with it.

    That is what was drawn at the end of a trial, other names of a price that were forgotten, and
    the other rows of a list that was taken in.
    """
    if said.kind == "forget" and said.topic in ("spirit price", "botanical price"):
        return LastAct(said.name, house_store.forgotten_with(desk.store, said))
    if said.kind == "keep" and said.topic != "trial":
        together = house_store.kept_with(desk.store, said)
        return LastAct(together[0].name, together)
    act = trials.drawn_at_end(desk.store, said) if said.kind == "end" else None
    return _of_bottles(desk, act, said.name) if act else LastAct(said.name, (said,))


def _came_after(entry: Entry | BottleEntry | Said, said: Said) -> bool:
    """Say whether an entry of a jar or a bottle was written after a line of the house."""
    if isinstance(entry, Said):
        return False  # it came with a draw, which says it
    before = said.after_bottle_entry if isinstance(entry, BottleEntry) else said.after_entry
    return entry.id > before


def _later(desk: Desk, jar_id: int | None, act: int | None, code: str | None) -> LastAct | None:
    """Return the last act of a jar, or of all for None, or that act of bottles if it is later."""
    found = jars.last_act(desk.store, jar_id)
    entries = _jar_entries(desk, found[0], found[1]) if found else ()
    if act and (not entries or bottles.written_after(desk.store, act) >= entries[-1].id):
        return _of_bottles(desk, act, code)
    return LastAct(found[2], entries) if found else None


def _of_bottles(desk: Desk, act: int, code: str | None) -> LastAct:
    """Return an act of bottles with what was done along with it: to a jar, or to a trial."""
    ids = bottles.act_of(desk.store, act)
    mine = tuple(entry for entry in bottles.entries(desk.store, ids) if entry.act == act)
    with_jar = next((entry.jar_entry for entry in mine if entry.jar_entry), None)
    entries: tuple[Entry | BottleEntry | Said, ...] = mine
    if with_jar and (found := jars.act_with(desk.store, with_jar)):
        entries = (*mine, *_jar_entries(desk, *found))
    if ended := trials.ended_by(desk.store, act):
        entries = (ended, *mine)
    (first,) = bottles.tags(desk.store, [mine[0].bottle_id])
    return LastAct(code.strip().upper() if code else first.code, entries)


def _jar_entries(desk: Desk, jar_id: int, act: int) -> tuple[Entry, ...]:
    return tuple(entry for entry in jars.diary(desk.store, jar_id) if entry.act == act)
