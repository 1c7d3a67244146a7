"""What the demo's bar keeps of doses and droppers, and what it tries at the bench."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from typing import Any, TypeAlias

from steepboard.domain.base import Base
from steepboard.domain.bench import Verdict
from steepboard.domain.dosing import Tool
from steepboard.domain.readings import Measured
from steepboard.services import bench, bottle_shelf, doses, droppers, formulas
from steepboard.services.desk import Desk

_STEP_ML = 0.1  # of the small cylinder that drops are counted into; invented for the demo
_BETWEEN = timedelta(minutes=4)  # steps of a trial; invented for the demo

Event: TypeAlias = tuple[int, Callable[[Desk, datetime], None]]
"""How many days ago, and what is done then."""


class BenchStory:
    """The bench of the invented bar."""

    def __init__(self, told: Mapping[str, Any], people: list[str], seed: int) -> None:
        self._told, self._people = told, people
        self._chance = random.Random(seed)  # noqa: S311 - a story, no secret
        name, strength, sugar_g_l = told["base"]
        self._base = Base(name, told["sample_ml"], strength / 100.0, sugar_g_l)

    def events(self) -> Iterator[Event]:
        """Return what happens, each with its day."""
        for kind in ("droppers", "doses", "trials", "formulas", "blends"):
            for told in self._told[kind]:
                yield told["ago"], partial(getattr(self, f"_{kind}"), told)
        for told in self._told["trials"]:
            if "again" in told:
                yield told["again"][0], partial(self._again, told)

    def _droppers(self, told: Mapping[str, Any], desk: Desk, at: datetime) -> None:
        strength = bottle_shelf.bottle(desk, self._code(desk, told["of"])).liquid.strength
        droppers.count(
            self._signed(desk), told["name"], Tool(told["tool"]), told["count"],
            Measured(told["ml"], _STEP_ML), strength, at,
        )  # fmt: skip

    def _doses(self, told: Mapping[str, Any], desk: Desk, at: datetime) -> None:
        name, volume_ml, strength, sugar_g_l = told["drink"]
        drink = Base(name, volume_ml, strength / 100.0, sugar_g_l)
        code, gives = self._code(desk, told["of"]), told["gives"]
        doses.keep(self._signed(desk), told["name"], told["ml"], code, gives, at, drink=drink)

    def _trials(self, told: Mapping[str, Any], desk: Desk, at: datetime) -> None:
        desk = self._signed(desk)
        begun = bench.start(
            desk,
            self._code(desk, told["of"]),
            self._base,
            at,
            sample_u_ml=_STEP_ML,
            thinned=told.get("thinned", 1.0),
        )
        for typed, verdict, remark in told["steps"]:
            at += _BETWEEN
            bench.add(desk, begun.trial.code, typed, Verdict(verdict), at, remark=remark)

    def _again(self, told: Mapping[str, Any], desk: Desk, at: datetime) -> None:
        _, number, verdict, remark = told["again"]
        desk, code = self._signed(desk), told["code"]
        bench.taste_again(desk, code, number, Verdict(verdict), at, remark=remark)
        bench.end(desk, code, at)

    def _formulas(self, told: Mapping[str, Any], desk: Desk, at: datetime) -> None:
        formulas.keep(self._signed(desk), told["name"], told["trials"], at, note=told["note"])

    def _blends(self, told: Mapping[str, Any], desk: Desk, at: datetime) -> None:
        blend = formulas.from_formula(desk, told["of"], told["ml"])
        formulas.draw(self._signed(desk), blend, told["part"], at)

    def _code(self, desk: Desk, stem: str) -> str:
        """Return the first bottle of a kind that stands."""
        codes = (one.code for one in bottle_shelf.bottles(desk))
        return next(code for code in codes if code.startswith(f"{stem}-"))

    def _signed(self, desk: Desk) -> Desk:
        return replace(desk, initials=self._chance.choice(self._people))
