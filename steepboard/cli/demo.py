"""The demo shelf: made by the real use cases, over the invented jars of `demo_shelf.toml`."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta, tzinfo
from functools import partial
from pathlib import Path
from typing import Any, TypeAlias

from steepboard.cli.demo_bench import BenchStory
from steepboard.cli.demo_bottles import Cellar
from steepboard.cli.demo_readings import Outcome, outcome, readings
from steepboard.cli.demo_stock import keep_settings, keep_stock
from steepboard.cli.minding import to_acknowledge
from steepboard.domain.local_time import local_instant
from steepboard.domain.records import Habit, Separation, Source, SpiritLine, State
from steepboard.errors import RecordUnusable
from steepboard.paths import Home, private_file
from steepboard.services import acts, material, reminder_acts, views
from steepboard.services.desk import Desk
from steepboard.services.rhythms import steep_of
from steepboard.settings import load
from steepboard.store.connect import Store

# When this bar does what; invented for the demo.
_CHARGES, _STIRS, _TASTES, _STRAINS, _BOTTLES, _COUNTS, _TRIES, _SHUTS = (
    time(15, 40), time(9, 20), time(17, 5), time(10, 30), time(16, 10), time(16, 50), time(17, 30),
    time(23, 10),
)  # fmt: skip
_SETTLES = 2  # days; invented for the demo

NOTICE = "Demo: the bar of a small railway hotel, invented like every figure in it."

_Event: TypeAlias = tuple[datetime, Callable[[datetime], None]]


def demo_home(home: Home) -> Home:
    """Return the folder of the demo, inside the one of the shelf it must not touch."""
    return Home(home.root / "demo")


def build(home: Home, now: datetime, zone: tzinfo) -> None:
    """Make the demo shelf in `home` anew; raises RecordUnusable over a record that is no demo.

    The new record takes the old one's place whole, so that a broken build leaves none.
    """
    home.make()
    marker = home.root / "demo-shelf.txt"
    if home.record.exists() and not marker.exists():
        raise RecordUnusable(
            f"{home.record} was not made by the demo. It is left alone: choose another --home."
        )
    private_file(marker).write_text(f"{NOTICE}\n", encoding="utf-8")
    new = home.root / "new-shelf.db"
    for path in (*home.root.glob("new-shelf.db*"), *home.root.glob("shelf.db*")):
        path.unlink()
    store = Store(new)
    store.conn.execute("pragma synchronous = off")  # what a power cut breaks is made anew anyway
    try:
        _Bar(store, now, zone).work()
    finally:
        store.close()
    new.replace(home.record)
    keep_settings(home)


@dataclass
class _Batch:
    """One jar of the story; what follows from the story is known once it happened."""

    told: Mapping[str, Any]
    code: str = ""
    outcome: Outcome | None = None


class _Bar:
    """The invented bar at work."""

    def __init__(self, store: Store, now: datetime, zone: tzinfo) -> None:
        story = tomllib.loads(Path(__file__).with_name("demo_shelf.toml").read_text("utf-8"))
        self._past, self._present, self._stock = story["past"], story["now"], story["stock"]
        self._cellar = Cellar(story["bottles"], story["house"]["initials"], story["house"]["seed"])
        house = story["house"]
        self._bench = BenchStory(story["bench"], house["initials"], house["seed"])
        self._people: Sequence[str] = story["house"]["initials"]
        self._chance = random.Random(story["house"]["seed"])  # noqa: S311 - a story, no secret
        self._desk = Desk(store, zone, load(), Source.BOARD, self._people[0])
        self._now = now

    def work(self) -> None:
        """Do everything the bar did, in the order of time."""
        told = [_Batch(jar) for recipe in self._past for jar in self._repeats(recipe)]
        batches = [*told, *map(_Batch, self._present)]
        events = [event for batch in batches for event in self._events(batch)]
        events += self._evenings()
        for at, act in sorted(events, key=lambda event: event[0]):
            act(at)
        keep_stock(self._desk, self._stock, self._now)

    def _evenings(self) -> Iterator[_Event]:
        """Draw each evening from the bottles, but for the one to come, and try at the bench."""
        for ago in range(self._cellar.first, 0, -1):
            yield self._at(ago, _SHUTS), partial(self._cellar.evening, self._desk)
        for told in self._cellar.told:
            at = self._at(told["ago"], _COUNTS)
            yield at, partial(self._cellar.happens, self._desk, told)
        for ago, act in self._bench.events():
            yield self._at(ago, _TRIES), partial(act, self._desk)

    def _repeats(self, recipe: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
        for ago in range(
            recipe["first"], 30, -recipe["every"]
        ):  # the last month is told jar by jar
            charged = ago - self._chance.randrange(6)
            lines = tuple(material.weighed(n, g, "") for n, g in recipe["botanicals"])
            days = material.steep_days(lines, self._desk.settings.steep.days).value
            strained = charged - days - self._chance.choice((0, 0, 0, 1, 2))
            yield {
                **recipe,
                "botanicals": [
                    (n, round(g * self._chance.uniform(0.95, 1.05), 1))
                    for n, g in recipe["botanicals"]
                ],
                "charged": charged,
                "days": days,
                "missed": [ago for ago in range(charged) if self._chance.random() < 0.06],
                "strained": strained,
                "bottled": strained - _SETTLES,
                "marc_weighed": self._chance.random() < 0.75,
                "filter_weighed": self._chance.random() < 0.6,
            }

    def _events(self, batch: _Batch) -> Iterator[_Event]:
        told = batch.told
        if "planned" in told:
            yield self._at(told["planned"], _TASTES), partial(self._charge, batch, acts.plan)
            return
        yield self._at(told["charged"], _CHARGES), partial(self._charge, batch, acts.charge)
        yield from self._stirs(batch)
        for ago, note in told.get("taste", ()):
            yield self._at(ago, _TASTES), partial(self._do, acts.taste, batch, note)
        if "moved" in told:
            ago, days, reason = told["moved"]
            strain_on = self._day(told["charged"] - days)
            yield self._at(ago, _TASTES), partial(self._do, acts.move, batch, strain_on, reason)
        if "own_time" in told:
            ago, stir_at = told["own_time"]
            own = Habit(stir_at=time.fromisoformat(stir_at))
            yield self._at(ago, _TASTES), partial(self._do, reminder_acts.remind, batch, own)
        if "strained" in told:
            yield self._at(told["strained"], _STRAINS), partial(self._strain, batch)
        if "bottled" in told:
            yield self._at(told["bottled"], _BOTTLES), partial(self._bottle, batch)
        if "discarded" in told:
            ago, reason = told["discarded"]
            yield self._at(ago, _BOTTLES), partial(self._do, acts.discard, batch, reason)

    def _stirs(self, batch: _Batch) -> Iterator[_Event]:
        told = batch.told
        ended = told.get("strained", told.get("discarded", (-1,)))
        last = ended if isinstance(ended, int) else ended[0]
        for ago in range(told["charged"] - 1, last, -1):
            if ago not in told.get("missed", ()):
                yield self._at(ago, _STIRS), partial(self._stir, batch)
        if "taken_back" in told:
            at = self._at(told["taken_back"], _STIRS)
            yield at, partial(self._stir, batch)
            yield at + timedelta(minutes=4), partial(self._do, acts.undo, batch)

    def _charge(self, batch: _Batch, act: Callable[..., Any], at: datetime) -> None:
        told = batch.told
        lines = tuple(material.weighed(n, g, f"{g:g} g") for n, g in told["botanicals"])
        order = acts.Order(
            lines,
            tuple(_spirit(*pour) for pour in told["spirits"]),
            name=told.get("name"),
            days=told.get("days"),
            stir_every_days=told.get("stir_every"),
            separation=Separation(told["separation"]) if "separation" in told else None,
            acknowledged=to_acknowledge(lines),
        )
        batch.code = act(self._signed(), order, at).code

    def _stir(self, batch: _Batch, at: datetime) -> None:
        jar = views.jar(self._desk, batch.code)
        day = self._desk.day(at)
        if jar.state is State.STEEPING and steep_of(self._desk, jar).stirs_on(day):
            acts.stir(self._signed(), (batch.code,), at)

    def _strain(self, batch: _Batch, at: datetime) -> None:
        batch.outcome = found = outcome(self._desk, views.jar(self._desk, batch.code), self._chance)
        marc = found.marc if batch.told.get("marc_weighed", True) else {}
        read = readings(self._desk, at, found.strained, marc)
        acts.strain(self._signed(), batch.code, read, at)

    def _bottle(self, batch: _Batch, at: datetime) -> None:
        assert batch.outcome  # noqa: S101 - it was strained before
        fine = batch.outcome.filter if batch.told.get("filter_weighed", True) else {}
        read = readings(self._desk, at, fine, batch.outcome.bottled)
        acts.strain(self._signed(), batch.code, read, at, bottled=True)
        if batch.told["bottled"] <= self._cellar.first:
            self._cellar.fill(self._desk, batch.code, batch.told.get("every"), at)

    def _do(self, act: Callable[..., Any], batch: _Batch, *rest: Any) -> None:
        act(self._signed(), batch.code, *rest)

    def _signed(self) -> Desk:
        return replace(self._desk, initials=self._chance.choice(self._people))

    def _day(self, ago: int) -> date:
        return self._desk.day(self._now) - timedelta(days=ago)

    def _at(self, ago: int, wall: time) -> datetime:
        """Return the instant of a local time so many days ago, never one that is still to come."""
        return min(local_instant(self._day(ago), wall, self._desk.zone), self._now)


def _spirit(name: str, volume_ml: float, percent: float) -> SpiritLine:
    return SpiritLine(
        name, volume_ml, percent / 100, 20.0, f"{volume_ml:g} mL", f"{percent:g} %"
    )  # fmt: skip
