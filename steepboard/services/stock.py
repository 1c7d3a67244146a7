"""What stands of each kind of bottle, how fast it goes, and by when the next jar is to be started.

Bottles and jars are of one kind that have one name: the botanical's, unless a jar was named.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from math import hypot
from typing import TYPE_CHECKING

from steepboard.domain import forecast, guards
from steepboard.domain.figures import short
from steepboard.domain.forecast import RunOut, StartBy, Term, Use
from steepboard.domain.records import State
from steepboard.errors import UnknownStock
from steepboard.services import house as diary
from steepboard.services import levels
from steepboard.services.rhythms import bottle_on
from steepboard.services.undoing import LastAct
from steepboard.store import house, jars
from steepboard.text import clean

if TYPE_CHECKING:
    from collections.abc import Iterable

    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk
    from steepboard.services.levels import Level


_LATELY = timedelta(days=56)
"""What was drawn so lately is still wanted though none stands. Assumed, two months."""


@dataclass(frozen=True, slots=True)
class Coming:
    """A jar of the kind that is under way."""

    jar: Jar
    ready_on: date
    volume_ml: float
    u_ml: float


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of bottle; volumes in mL with their ±, standard uncertainties."""

    name: str
    level: Level | None
    """What stands; None where nothing does."""
    par_ml: float | None
    """The least that is to stand; 0: it is not made again; None: nothing was said."""
    use: Use | None
    """None where nothing was drawn yet."""
    coming: tuple[Coming, ...] = ()
    run_out: RunOut | None = None
    """Of what stands alone."""
    start: StartBy | None = None
    """None where no day can be told, or it is not made again."""
    last: Jar | None = None
    """The last jar that was bottled of it; the next one is made alike."""

    @property
    def left_ml(self) -> float:
        """What stands."""
        return self.level.left_ml if self.level else 0.0

    @property
    def left_u_ml(self) -> float:
        """± of it."""
        return self.level.left_u_ml if self.level else 0.0

    @property
    def below_par(self) -> bool:
        """Whether less stands than is to."""
        return self.par_ml is not None and self.left_ml < self.par_ml


def stock(desk: Desk, now: datetime, active: Iterable[Jar] | None = None) -> tuple[Stock, ...]:
    """Return every kind of bottle that stands, went lately or has a least to stand, by name.

    `active` are the unfinished jars, where they are known already.
    """
    known = levels.known(desk, now)
    pars = {name.casefold(): (name, ml) for name, ml in house.pars(desk.store).items()}
    names = {key: level.name for key, level in known.standing.items()}
    names |= {key: name for key, (name, _) in pars.items() if key not in names}
    lately = now - _LATELY
    for key, drawn in known.drawn.items():
        if key in known.last and key not in names and any(at >= lately for at, _ in drawn):
            names[key] = known.last[key].name
    if not names:
        return ()
    under_way = jars.active(desk.store, contents=False) if active is None else active
    coming: dict[str, list[Coming]] = {}
    for jar in under_way:
        if jar.name.casefold() in names and jar.state in (State.STEEPING, State.SETTLING):
            coming.setdefault(jar.name.casefold(), []).append(_coming(desk, jar))
    return tuple(
        _stock(desk, now, name, pars.get(key, ("", None))[1], tuple(coming.get(key, ())))
        for key, name in sorted(names.items())
    )


def one(desk: Desk, name: str, now: datetime) -> Stock:
    """Return one kind of bottle, by its name or a part that no other has; raises `UnknownStock`."""
    found = {each.name: each for each in stock(desk, now)}
    return found[_meant(name, found)]


def set_par(desk: Desk, name: str, volume_ml: float | None, now: datetime) -> Stock | None:
    """Keep the least that is to stand of a kind, 0 where it is not made again, None to forget.

    Raises `UnknownStock` for what no jar is called, and `OutOfRange`.
    """
    if volume_ml is not None:
        guards.not_negative("least to stand", volume_ml)
    wanted = diary.named(desk, "par", kind(desk, name))
    if volume_ml is not None:
        with desk.store.writing() as db:
            house.add_par(db, diary.write(desk, db, "par", wanted, "keep", now), volume_ml)
    elif wanted in house.kept(desk.store, "par"):
        diary.forget(desk, "par", wanted, now)
    return next((s for s in stock(desk, now) if s.name.casefold() == wanted.casefold()), None)


def undo_par(desk: Desk, name: str, now: datetime) -> LastAct:
    """Take back what was said last of how much of a kind is to stand.

    Raises `UnknownStock` for what no jar is called, `NotKept` and `NothingToUndo`.
    """
    said = diary.undo(desk, "par", kind(desk, name), now)
    return LastAct(said.name, (said,))


def kind(desk: Desk, typed: str) -> str:
    """Return the kind of jar that a name or a part of it means; raises `UnknownStock`."""
    return _meant(typed, [told for _, told in jars.codes(desk.store)])


def _meant(typed: str, names: Iterable[str]) -> str:
    """Return the name that was meant, by itself or by a part of it; raises `UnknownStock`."""
    wanted = clean(typed, 80)
    known = {name.casefold(): name for name in names}
    key = wanted.casefold()
    near = [name for folded, name in known.items() if key in folded]
    if not key or (key not in known and len(near) != 1):
        raise UnknownStock(wanted, tuple(sorted(near)) if key else ())
    return known.get(key) or near[0]


def _stock(
    desk: Desk, now: datetime, name: str, par_ml: float | None, coming: tuple[Coming, ...]
) -> Stock:
    key, known = name.casefold(), levels.known(desk, now)
    level, last = known.standing.get(key), known.last.get(key)
    use = forecast.use(
        (((now - at) / timedelta(days=1), ml) for at, ml in known.drawn.get(key, ())),
        (now - known.since.get(key, now)) / timedelta(days=1),
    )
    left, u = (level.left_ml, level.left_u_ml) if level else (0.0, 0.0)
    run_out = forecast.run_out(use, left, u) if use else None
    made = Stock(name, level, par_ml, use, coming, run_out, None, last)
    if last is None or par_ml == 0.0:
        return made
    return replace(made, start=start_of(desk, made, now))


def start_of(desk: Desk, one: Stock, now: datetime) -> StartBy | None:
    """Return by when the next jar is to be charged so that it is ready before less stands."""
    if one.last is None or one.last.charged_at is None:
        return None
    last, charged_on = one.last, desk.day(one.last.charged_at)
    par_ml = one.par_ml or 0.0
    held_ml = one.left_ml + sum(each.volume_ml for each in one.coming)
    u_ml = hypot(one.left_u_ml, *(each.u_ml for each in one.coming))
    if one.use is None:
        early: int | None = 0 if held_ml < par_ml else None
        told = f"{held_ml:.0f} mL are there, {short(par_ml)} mL are to stand"
    else:
        early = forecast.run_out(one.use, max(held_ml - par_ml, 0.0), u_ml).early
        reserve = f", {short(par_ml)} mL of them to stay" if par_ml else ""
        under_way = ", jars under way counted in" if one.coming else ""
        told = (
            f"{held_ml:.0f} mL{under_way}{reserve}; {one.use.ml_per_week:.0f} mL a week; in one "
            "of ten cases it is gone sooner"
        )
    if early is None:
        return None
    settings = desk.settings
    days = (last.strain_on - charged_on).days
    terms = (
        Term("may be gone" if one.use else "too little stands", early, told),
        Term("steep", -days, f"as {last.code} did"),
        Term("settle", -settings.steep.settle_days, "steep.settle_days of the settings"),
        Term("to spare", -settings.stock.margin_days, "stock.margin_days of the settings"),
    )
    return forecast.start_by(desk.day(now), terms)


def _coming(desk: Desk, jar: Jar) -> Coming:
    volume_ml, u_ml = levels.expected(desk, jar)
    settled = bottle_on(desk, jar)
    ready_on = settled or jar.strain_on + timedelta(days=desk.settings.steep.settle_days)
    return Coming(jar, ready_on, volume_ml, u_ml)
