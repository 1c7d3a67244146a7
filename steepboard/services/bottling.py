"""Filling bottles: from a jar, from several batches at once, and what tops them up."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from steepboard.catalogue.load import code_stem
from steepboard.domain import guards
from steepboard.domain.bottle_fold import step_for
from steepboard.domain.bottles import Bottle, BottleKind, Poured, Purpose, Tag
from steepboard.domain.figures import short
from steepboard.domain.readings import Measured
from steepboard.domain.records import Jar, Kind, Measure, Reading, State
from steepboard.errors import (
    Doubtful,
    NoAnswer,
    NothingWeighed,
    OutOfRange,
    UnknownBottle,
    WrongState,
)
from steepboard.services.bottle_entries import written
from steepboard.services.bottle_shelf import Rest, bottle, rest
from steepboard.services.bottles import BRIM, Drawn, standing, write_draw
from steepboard.services.poisons import refuse_poison
from steepboard.store import bottles as store
from steepboard.store import diary, jars
from steepboard.text import clean

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.services.desk import Desk

BY_EYE = 0.02
"""± of a fill up to the shoulder, as a part of the bottle's size, spread evenly. Assumed."""
MOST_BOTTLES = 200
"""Of one bottling; assumed, far above any jar of a bar."""


@dataclass(frozen=True, slots=True)
class Fill:
    """One bottle to be filled; where no volume is told, up to its shoulder by eye."""

    size_ml: float
    volume: Measured | None = None
    typed: str = ""

    @property
    def filled(self) -> Measured:
        """What goes into it."""
        return self.volume or Measured(self.size_ml, 2.0 * BY_EYE * self.size_ml)


@dataclass(frozen=True, slots=True)
class Filled:
    """What a bottling made, and what of the jar is left over; None where nothing was read."""

    bottles: tuple[Bottle, ...]
    rest: Rest | None


@dataclass(frozen=True, slots=True)
class Part:
    """So much of what is in a jar or a bottle, by its code, or of a spirit with a strength."""

    volume: Measured
    code: str
    """Of a jar or a bottle; the name of the spirit where `strength` is told."""
    strength: float | None = None
    typed: str = ""


def fill(
    desk: Desk,
    code: str,
    fills: Sequence[Fill],
    now: datetime,
    *,
    left: Measured | None = None,
    note: str = "",
    sure: bool = False,
) -> Filled:
    """Bottle a jar that is strained. One that still settles ends with it.

    If it was not read what came out in the end, that is what is bottled here and is `left`.
    Raises `WrongState`, `OutOfRange`, and `Doubtful` where more is bottled than was recovered.
    """
    _refuse_unusable(fills)
    with desk.store.writing() as db:
        jar = jars.by_code(desk.store, code)
        if jar.state not in (State.SETTLING, State.BOTTLED):
            raise WrongState(jar.code, jar.state.value, "bottled")
        volumes = [one.filled for one in fills]
        _refuse_too_much(desk, jar, volumes, sure=sure)
        with_jar = _end_jar(desk, db, jar, (*volumes, *([left] if left else [])), now)
        act = store.next_act(db)
        for one in fills:
            tag = store.add_bottle(db, jar.code, jar.id, jar.name)
            poured = (Poured(one.filled, jar_id=jar.id),)
            entry = written(
                desk, db, tag.id, act, BottleKind.FILL, now,
                note=note, typed=one.typed, size_ml=one.size_ml, poured=poured, jar_entry=with_jar,
            )  # fmt: skip
            store.add_entry(db, entry)
        codes = [tag.code for tag in store.tags(desk.store, store.act_of(desk.store, act))]
    made = tuple(bottle(desk, one) for one in codes)
    return Filled(made, rest(desk, jars.by_code(desk.store, code)))


def combine(
    desk: Desk,
    parts: Sequence[Part],
    size_ml: float,
    now: datetime,
    *,
    name: str = "",
    note: str = "",
    sure: bool = False,
) -> Bottle:
    """Pour several into one bottle: grams add, and the cautions of all of them go with it.

    From one batch alone it is a further bottle of that batch, else a batch of its own. Raises
    `NoAnswer` for another name where it is of one batch.
    """
    guards.positive("size of the bottle", size_ml)
    if len(parts) < 2:
        raise NothingWeighed("second liquid", "name at least two to pour together")
    with desk.store.writing() as db:
        tag = _tag_of_blend(desk, db, parts, name)
        act = store.next_act(db)
        poured = _pour(desk, db, parts, act, now, note=note, sure=sure)
        _refuse_overflow(size_ml, sum(one.volume.value for one in poured))
        entry = written(
            desk, db, tag.id, act, BottleKind.FILL, now, note=note, size_ml=size_ml, poured=poured
        )
        store.add_entry(db, entry)
    return bottle(desk, tag.code)


def top_up(
    desk: Desk, code: str, part: Part, now: datetime, *, note: str = "", sure: bool = False
) -> Bottle:
    """Pour something into a bottle that stands, from jar or bottle, or plain spirit or water."""
    with desk.store.writing() as db:
        found = standing(desk, code, "topped up")
        if part.code.strip().upper() == found.code:
            raise OutOfRange("amount from itself", part.volume.value, "from another bottle or jar")
        act = store.next_act(db)
        poured = _pour(desk, db, (part,), act, now, note=note, sure=sure)
        total_ml, unsure_ml = found.left_ml + part.volume.value, 2.0 * found.left_u_ml
        _refuse_overflow(found.size_ml, total_ml, unsure_ml)
        entry = written(
            desk, db, found.tag.id, act, BottleKind.TOP_UP, now,
            note=note, typed=part.typed, poured=poured,
        )  # fmt: skip
        store.add_entry(db, entry)
    return bottle(desk, code)


def _pour(
    desk: Desk,
    db: Database,
    parts: Sequence[Part],
    act: int,
    now: datetime,
    *,
    note: str,
    sure: bool,
) -> tuple[Poured, ...]:
    """Take the parts from where they are; from bottles as draws of the same act."""
    poured = []
    for part in parts:
        guards.positive("amount", part.volume.value)
        if part.strength is not None:
            guards.fraction("strength", part.strength)
            refuse_poison(part.code)
            name = clean(part.code, 80) or "spirit"
            poured.append(Poured(part.volume, spirit=name, strength=part.strength))
        elif store.tag(desk.store, part.code):
            source = standing(desk, part.code, "drawn from")
            write_draw(
                desk, db, source, Drawn(part.volume, part.typed), Purpose.BLEND, act, now, note=note
            )
            poured.append(Poured(part.volume, bottle_id=source.tag.id))
        else:
            jar = _strained(desk, part.code)
            _refuse_too_much(desk, jar, [part.volume], sure=sure)
            poured.append(Poured(part.volume, jar_id=jar.id))
    return tuple(poured)


def _strained(desk: Desk, code: str) -> Jar:
    """Return a jar whose liquid may be poured; a code of neither kind is no bottle."""
    if code.count("-") > 1:
        raise UnknownBottle(code)
    jar = jars.by_code(desk.store, code)
    if jar.state is not State.BOTTLED:
        raise WrongState(jar.code, jar.state.value, "poured from")
    return jar


def _tag_of_blend(desk: Desk, db: Database, parts: Sequence[Part], name: str) -> Tag:
    codes = [part.code.strip().upper() for part in parts if part.strength is None]
    for code in codes:
        guards.within(f"times that {code} is named", codes.count(code), 1, 1, "once")
    sources = [_batch_of(desk, code) for code in codes]
    if not sources:
        raise NothingWeighed("tincture", "name at least one jar or bottle to pour from")
    batch, jar_id, first = sources[0]
    if all(source[0] == batch for source in sources):
        if clean(name, 80).casefold() not in ("", first.casefold()):
            raise NoAnswer(f"All of it is {batch}, {first}, and keeps that name: give no other.")
        return store.add_bottle(db, batch, jar_id, first)
    told = clean(name, 80) or clean(" and ".join(dict.fromkeys(s[2] for s in sources)), 80)
    return store.add_bottle(db, diary.next_code(db, code_stem(told)), None, told)


def _batch_of(desk: Desk, code: str) -> tuple[str, int | None, str]:
    """Return batch, jar and name of what a jar or a bottle holds."""
    tag = store.tag(desk.store, code)
    if tag:
        return tag.batch, tag.jar_id, tag.name
    jar = _strained(desk, code)
    return jar.code, jar.id, jar.name


def _end_jar(
    desk: Desk, db: Database, jar: Jar, volumes: Sequence[Measured], now: datetime
) -> int | None:
    """End the settling of a jar; return the entry that did, or None where it had ended."""
    if jar.state is State.BOTTLED:
        return None
    act = diary.next_act(db, jar.id)

    def entry(kind: Kind) -> int:
        return diary.add_entry(
            db, jar.id, act, kind, at=now, source=desk.source, initials=desk.initials
        )

    if not any(jar.reading(measure) for measure in (Measure.RECOVERED, Measure.RECOVERED_MASS)):
        total = sum(one.value for one in volumes)
        step = step_for(hypot(*(one.u for one in volumes)))
        read = Reading(Measure.RECOVERED, total, f"{short(total)} mL, as bottled", step, now)
        diary.add_readings(db, entry(Kind.READING), [read])
    diary.drop_draft(db, jar.id)
    return entry(Kind.BOTTLE)


def _refuse_unusable(fills: Sequence[Fill]) -> None:
    if not fills:
        raise NothingWeighed("bottle", "say how many of which size, say 3x100ml")
    guards.within("number of bottles", len(fills), 1, MOST_BOTTLES, f"from 1 to {MOST_BOTTLES}")
    for one in fills:
        guards.positive("size of the bottle", one.size_ml)
        guards.positive("volume filled in", one.filled.value)
        _refuse_overflow(one.size_ml, one.filled.value)


def _refuse_overflow(size_ml: float, volume_ml: float, unsure_ml: float = 0.0) -> None:
    if volume_ml - unsure_ml > size_ml * BRIM:
        allowed = f"at most what a bottle of {short(size_ml)} mL holds"
        raise OutOfRange("volume in mL", round(volume_ml, 1), allowed)


def _refuse_too_much(desk: Desk, jar: Jar, volumes: Sequence[Measured], *, sure: bool) -> None:
    """Ask where more would be bottled than came out of the jar, beyond what the ± explain."""
    found = rest(desk, jar)
    if found is None or sure:
        return
    more, u = sum(one.value for one in volumes), hypot(found.left_u_ml, *(v.u for v in volumes))
    if more > found.left_ml + 2.0 * u:
        told = (
            f"Of {jar.code} {found.recovered_ml:.1f} mL were recovered and "
            f"{found.bottled_ml:.1f} mL are bottled, so that {max(found.left_ml, 0):.1f} ± "
            f"{found.left_u_ml:.1f} mL are left: {short(more)} mL are more. Is it read right?"
        )
        raise Doubtful((told,))
