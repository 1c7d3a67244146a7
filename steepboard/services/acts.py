"""What people do to jars. Each act is one transaction and leaves its line in the diary."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from steepboard.catalogue.cautions import LAST_WORD
from steepboard.catalogue.load import code_stem
from steepboard.domain import guards
from steepboard.domain.records import (
    BotanicalLine,
    Charge,
    Kind,
    Reading,
    Separation,
    SpiritLine,
    State,
)
from steepboard.domain.spans import LONGEST_DAYS
from steepboard.errors import (
    NeedsAcknowledging,
    NothingWeighed,
    OutOfRange,
    WrongState,
)
from steepboard.services import material
from steepboard.services.cautions import in_full, to_read
from steepboard.services.poisons import refuse_plant, refuse_poison
from steepboard.services.undoing import LastAct, last_act, undo
from steepboard.store import diary, jars
from steepboard.text import clean

if TYPE_CHECKING:
    from datetime import date, datetime

    from sqlite_utils import Database

    from steepboard.catalogue.load import Library
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk

__all__ = [
    "LastAct",
    "Order",
    "charge",
    "charge_planned",
    "discard",
    "last_act",
    "move",
    "plan",
    "stir",
    "strain",
    "taste",
    "undo",
]


@dataclass(frozen=True, slots=True)
class Order:
    """What is to go into a jar. What is None takes the default of material or house."""

    botanicals: tuple[BotanicalLine, ...]
    spirits: tuple[SpiritLine, ...]
    name: str | None = None
    strain_on: date | None = None
    days: int | None = None
    stir_every_days: int | None = None
    separation: Separation | None = None
    vessel_ml: float | None = None
    held_ml_per_g: float | None = None
    kept_ml: float | None = None
    acknowledged: tuple[str, ...] = ()
    """Codes of the cautions that were read."""


def plan(desk: Desk, order: Order, now: datetime) -> Jar:
    """Put a jar on the shelf that is still to be charged; its days count from today."""
    return _new(desk, Kind.PLAN, order, now)


def charge(desk: Desk, order: Order, now: datetime) -> Jar:
    """Charge a new jar.

    Raises `NothingWeighed`, `NotForDrinking`, `DeadlyPlant` and `NeedsAcknowledging`.
    """
    _refuse_unread(desk, order)
    return _new(desk, Kind.CHARGE, order, now)


def charge_planned(desk: Desk, code: str, now: datetime, acknowledged: tuple[str, ...] = ()) -> Jar:
    """Charge a planned jar as planned; the steep keeps its length and starts today."""
    with desk.store.writing() as db:
        jar = _in_state(desk, code, "charged", State.PLANNED)
        length = jar.planned_days(desk.zone)
        assert length is not None  # noqa: S101 - a planned jar has its plan
        order = Order(
            jar.charge.botanicals,
            jar.charge.spirits,
            strain_on=desk.day(now) + timedelta(days=length),
            stir_every_days=jar.charge.stir_every_days,
            separation=jar.charge.separation,
            vessel_ml=jar.charge.vessel_ml,
            held_ml_per_g=jar.charge.held_ml_per_g,
            kept_ml=jar.charge.kept_ml,
            acknowledged=acknowledged,
        )
        _refuse_unread(desk, order)
        _write_charge(desk, db, jar.id, Kind.CHARGE, order, now)
    return jars.by_code(desk.store, code)


def stir(desk: Desk, codes: tuple[str, ...], now: datetime) -> tuple[Jar, ...]:
    """Write down that these jars were stirred; all or, where one cannot be, none."""
    with desk.store.writing() as db:
        found = [_in_state(desk, code, "stirred", State.STEEPING) for code in codes]
        for jar in found:
            _write(desk, db, jar.id, Kind.STIR, now)
    return tuple(jars.by_code(desk.store, jar.code) for jar in found)


def taste(desk: Desk, code: str, note: str, now: datetime) -> Jar:
    """Keep a tasting note."""
    with desk.store.writing() as db:
        jar = _in_state(desk, code, "tasted", State.STEEPING, State.SETTLING, State.BOTTLED)
        _write(desk, db, jar.id, Kind.TASTE, now, note=note)
    return jars.by_code(desk.store, code)


def move(desk: Desk, code: str, strain_on: date, reason: str, now: datetime) -> Jar:
    """Move the strain day of a steep, today at the earliest, and keep why."""
    with desk.store.writing() as db:
        jar = _in_state(desk, code, "moved", State.STEEPING)
        _refuse_past(desk, strain_on, now)
        _write(desk, db, jar.id, Kind.MOVE, now, note=reason, strain_on=strain_on)
    return jars.by_code(desk.store, code)


def strain(
    desk: Desk,
    code: str,
    readings: tuple[Reading, ...],
    now: datetime,
    *,
    separation: Separation | None = None,
    bottled: bool = False,
) -> Jar:
    """Strain a steep, or add readings to a straining; `bottled` ends it. One act in the diary."""
    with desk.store.writing() as db:
        jar = _in_state(desk, code, "strained", State.STEEPING, State.SETTLING, State.BOTTLED)
        act = diary.next_act(db, jar.id)
        if jar.state is State.STEEPING:
            parted = separation or jar.charge.separation
            entry = _write(desk, db, jar.id, Kind.STRAIN, now, act=act, separation=parted)
            diary.add_readings(db, entry, readings)
        elif readings:
            entry = _write(desk, db, jar.id, Kind.READING, now, act=act)
            diary.add_readings(db, entry, readings)
        if bottled and jar.state is not State.BOTTLED:
            _write(desk, db, jar.id, Kind.BOTTLE, now, act=act)
            diary.drop_draft(db, jar.id)
    return jars.by_code(desk.store, code)


def discard(desk: Desk, code: str, reason: str, now: datetime) -> Jar:
    """Throw a jar's content away, and keep why."""
    with desk.store.writing() as db:
        unfinished = (State.PLANNED, State.STEEPING, State.SETTLING)
        jar = _in_state(desk, code, "discarded", *unfinished)
        _write(desk, db, jar.id, Kind.DISCARD, now, note=reason)
        diary.drop_draft(db, jar.id)
    return jars.by_code(desk.store, code)


def _new(desk: Desk, kind: Kind, order: Order, now: datetime) -> Jar:
    if not order.botanicals:
        raise NothingWeighed("botanical", "weigh at least one, say caraway 40 g")
    if not order.spirits:
        raise NothingWeighed("spirit", "pour at least one, say 300 mL of 45 %")
    name = clean(order.name or ", ".join(line.name for line in order.botanicals), 80)
    with desk.store.writing() as db:
        jar_id, code = diary.add_jar(db, code_stem(name), name)
        _write_charge(desk, db, jar_id, kind, order, now)
    return jars.by_code(desk.store, code)


def _write_charge(
    desk: Desk, db: Database, jar_id: int, kind: Kind, order: Order, now: datetime
) -> None:
    order = _checked(order, desk.library)
    asked, house = desk.settings.reminders, desk.settings.steep
    days = order.days or material.steep_days(order.botanicals, house.days, desk.library).value
    strain_on = order.strain_on or desk.day(now) + timedelta(days=days)
    _refuse_past(desk, strain_on, now)
    charge = Charge(
        order.botanicals,
        order.spirits,
        strain_on,
        order.stir_every_days or asked.stir_every_days,
        order.separation or house.separation,
        order.vessel_ml,
        order.held_ml_per_g,
        order.kept_ml,
        material.taste_from_day(order.botanicals, desk.library),
    )
    diary.add_charge(db, _write(desk, db, jar_id, kind, now), charge, order.acknowledged)


def _checked(order: Order, library: Library) -> Order:
    """Return the order with names made plain; raises what the first unusable answer deserves."""
    spirits = tuple(replace(line, name=clean(line.name, 80) or "spirit") for line in order.spirits)
    for name in (*(line.name for line in spirits), *(line.name for line in order.botanicals)):
        refuse_poison(name)
    for botanical in order.botanicals:
        refuse_plant(botanical, library)
        guards.positive("mass", botanical.mass_g)
        guards.fraction("moisture", botanical.moisture or 0.0)
        guards.fraction("soluble part", botanical.soluble or 0.0)
    for pour in material.pours(spirits):
        guards.positive("volume", pour.volume_ml)
    for quantity, given in (
        ("volume of the jar", order.vessel_ml),
        ("held liquid per gram", order.held_ml_per_g),
        ("volume kept by filter and vessel", order.kept_ml),
    ):
        guards.not_negative(quantity, given or 0.0)
    acknowledged = tuple(dict.fromkeys(order.acknowledged))
    return replace(order, spirits=spirits, acknowledged=acknowledged)


def _refuse_past(desk: Desk, strain_on: date, now: datetime) -> None:
    ahead = (strain_on - desk.day(now)).days
    if not 0 <= ahead <= LONGEST_DAYS:
        raise OutOfRange("days until the strain", ahead, f"0 to {LONGEST_DAYS}")


def _refuse_unread(desk: Desk, order: Order) -> None:
    for line in order.botanicals:  # nobody is asked to read the cautions of what is refused
        refuse_plant(line, desk.library)
    unread = to_read(order.botanicals, desk.library, order.acknowledged)
    if unread:
        names = ", ".join(
            line.name
            for line in order.botanicals
            if to_read((line,), desk.library, order.acknowledged)
        )
        raise NeedsAcknowledging(names, (*map(in_full, unread), LAST_WORD))


def _in_state(desk: Desk, code: str, act: str, *states: State) -> Jar:
    jar = jars.by_code(desk.store, code)
    if jar.state not in states:
        raise WrongState(jar.code, jar.state.value, act)
    return jar


def _write(
    desk: Desk,
    db: Database,
    jar_id: int,
    kind: Kind,
    now: datetime,
    *,
    act: int | None = None,
    note: str = "",
    strain_on: date | None = None,
    separation: Separation | None = None,
) -> int:
    return diary.add_entry(
        db,
        jar_id,
        act or diary.next_act(db, jar_id),
        kind,
        at=now,
        source=desk.source,
        initials=desk.initials,
        note=clean(note, 500),
        strain_on=strain_on,
        separation=separation,
    )
