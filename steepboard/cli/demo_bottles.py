"""The bottles of the demo: filled after each late bottling, and drawn from every evening."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from math import hypot
from typing import Any

from steepboard.domain.bottles import Bottle, BottleKind, Purpose
from steepboard.domain.mixing import density
from steepboard.domain.readings import Measured
from steepboard.domain.records import Measure
from steepboard.services import bottles, bottling, views
from steepboard.services.bottles import Drawn
from steepboard.services.bottling import Fill, Part
from steepboard.services.desk import Desk
from steepboard.store import bottles as store

# Invented for the demo: how often an evening draws, for what, and how much of a usual evening.
_DRAWN, _WEEKEND, _WEEKEND_MORE = 0.8, (4, 5), 1.7
_PURPOSES = {Purpose.DOSE: 84, Purpose.BLEND: 6, Purpose.TASTING: 7, Purpose.SPILL: 3}
_TIMES = {Purpose.DOSE: 1.0, Purpose.BLEND: 4.0, Purpose.TASTING: 0.3, Purpose.SPILL: 1.5}
_USED = 0.75  # of a batch, until the next one stands
_STEP_ML = 0.5
_GLASS_G = 0.9  # of an empty bottle, for each mL of its size


@dataclass
class _Standing:
    """One bottle, and what usually goes of its kind in an evening."""

    bottle: Bottle
    evening_ml: float


class Cellar:
    """All bottles of the invented bar, drawn from in the order in which they were filled."""

    def __init__(self, told: Mapping[str, Any], people: list[str], seed: int) -> None:
        self._sizes, self.first = told["sizes"], told["first"]
        self.told = told["told"]
        self._people = people
        self._chance = random.Random(seed)  # noqa: S311 - a story, no secret
        self._stock: dict[str, list[_Standing]] = {}

    def fill(self, desk: Desk, code: str, every: int | None, at: datetime) -> None:
        """Bottle what was recovered of a jar, the largest bottles first."""
        read = views.jar(desk, code).reading(Measure.RECOVERED)
        assert read  # noqa: S101 - a jar of the demo is bottled with it
        fills, left = [], read.value
        for size in self._sizes:
            while left >= size:
                left -= size
                fills.append(Fill(size, Measured(size, 1.0), f"{size} mL"))
        made = bottling.fill(self._signed(desk), code, fills, at).bottles
        evening_ml = _USED * (read.value - left) / every if every else 0.0
        stock = self._stock.setdefault(_stem(code), [])
        stock.extend(_Standing(one, evening_ml) for one in made)

    def evening(self, desk: Desk, at: datetime) -> None:
        """Draw what an evening took, and write it down when the bar is shut."""
        weekend = at.astimezone(desk.zone).weekday() in _WEEKEND
        for stock in self._stock.values():
            if not stock or not stock[0].evening_ml or self._chance.random() > _DRAWN:
                continue
            (purpose,) = self._chance.choices(list(_PURPOSES), list(_PURPOSES.values()))
            usual = stock[0].evening_ml / _DRAWN * (_WEEKEND_MORE if weekend else 1.0)
            drawn = usual * _TIMES[purpose] * self._chance.uniform(0.5, 1.5) / 1.3
            self._draw(desk, stock, max(1, round(drawn / _STEP_ML)) * _STEP_ML, purpose, at)

    def happens(self, desk: Desk, told: Mapping[str, Any], at: datetime) -> None:
        """Let one thing happen to the last bottle of a kind, where one still stands."""
        stock = self._stock.get(told["of"])
        if not stock:
            return
        by = replace(desk, initials=told.get("by", ""))
        match told["what"]:
            case "break":
                code = stock.pop().bottle.code
                bottles.end(self._signed(desk), code, BottleKind.BREAK, told["why"], at)
            case "discard":
                code = stock.pop().bottle.code
                bottles.end(by, code, BottleKind.DISCARD, told["why"], at)
            case "correct":
                self._correct(by, stock[-1], told, at)
            case "topup":
                self._top_up(by, stock[-2:], told["ml"], at)
            case "count":
                self._count(self._signed(desk), stock[-1], told["off_ml"], at)
            case "combine":
                both = [stock[-1], *self._stock.get(told["with"], [])[-1:]]
                self._combine(self._signed(desk), both, told, at)

    def _combine(
        self, desk: Desk, both: list[_Standing], told: Mapping[str, Any], at: datetime
    ) -> None:
        ml = min(told["ml"], *(int(one.bottle.left_ml) for one in both))
        if ml < 1 or len(both) < 2:
            return
        parts = [Part(Measured(ml, 1.0), one.bottle.code) for one in both]
        bottling.combine(desk, parts, told["into"], at, name=told["name"])
        for one in both:
            one.bottle = replace(one.bottle, left_ml=one.bottle.left_ml - ml)

    def _top_up(self, desk: Desk, both: list[_Standing], ml: float, at: datetime) -> None:
        """Pour from the last bottle of a kind into the one before it, where there is room."""
        into, last = both[0], both[-1]
        if into is last or into.bottle.left_ml + ml > into.bottle.size_ml:
            return
        part = Part(Measured(ml, _STEP_ML), last.bottle.code, typed=f"{ml:g} mL")
        into.bottle = bottling.top_up(desk, into.bottle.code, part, at)
        last.bottle = replace(last.bottle, left_ml=last.bottle.left_ml - ml)

    def _correct(self, desk: Desk, one: _Standing, told: Mapping[str, Any], at: datetime) -> None:
        holds = Measured(one.bottle.left_ml + told["off_ml"], 1.0)
        said = bottles.correct(desk, one.bottle.code, holds, told["why"], at)
        one.bottle = said.bottle

    def _draw(
        self, desk: Desk, stock: list[_Standing], ml: float, purpose: Purpose, at: datetime
    ) -> None:
        one, desk = stock[0], self._signed(desk)
        if one.bottle.left_ml < ml:
            bottles.end(desk, one.bottle.code, BottleKind.USE_UP, "", at)
            stock.pop(0)
            return
        drawn = Drawn(Measured(ml, _STEP_ML), f"{ml:g} mL")
        with desk.store.writing() as db:
            act = store.next_act(db)
            bottles.write_draw(desk, db, one.bottle, drawn, purpose, act, at)
        one.bottle = replace(
            one.bottle,
            left_ml=one.bottle.left_ml - ml,
            left_u_ml=hypot(one.bottle.left_u_ml, drawn.u_ml),
        )

    def _count(self, desk: Desk, one: _Standing, off_ml: float, at: datetime) -> None:
        """Weigh a bottle that holds so much more than its diary says."""
        empty_g = round(_GLASS_G * one.bottle.size_ml)
        holds_g = (one.bottle.left_ml + off_ml) * density(one.bottle.liquid)[0]
        now = Measured(round(empty_g + holds_g), 1.0)
        counted = bottles.count(desk, one.bottle.code, now, at, empty=Measured(empty_g, 1.0))
        one.bottle = counted.bottle

    def _signed(self, desk: Desk) -> Desk:
        return replace(desk, initials=self._chance.choice(self._people))


def _stem(code: str) -> str:
    return code.partition("-")[0]
