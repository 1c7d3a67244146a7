"""A straining as far as it was typed: the jar, the step, and the readings not kept yet."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from steepboard.domain.records import Jar, Measure, Reading, Separation, State
from steepboard.errors import BadAmount, OutOfRange
from steepboard.services import straining
from steepboard.services.straining_result import result
from steepboard.tui.screens.strain_steps import ASKS, KEYS, STEPS, Step, is_read
from steepboard.tui.widgets.step_path import Standing

if TYPE_CHECKING:
    from collections.abc import Container
    from datetime import datetime

    from steepboard.domain.balance import Balance
    from steepboard.domain.expecting import Likely
    from steepboard.services.desk import Desk
    from steepboard.services.straining_result import Result

_WAY = "separation"


@dataclass
class StrainDraft:
    """What the pages show and write into; it changes as one types."""

    desk: Desk
    jar: Jar
    at: int = 0
    """Which of `STEPS` one is at."""
    typed: dict[str, str] = field(default_factory=dict)
    """By the name of the measure, and the chosen way of straining."""

    @classmethod
    def resumed(cls, desk: Desk, jar: Jar) -> StrainDraft:
        """Return the straining where it was left; of a bottled jar, its review."""
        read = {reading.measure: reading.typed for reading in jar.readings}
        typed = {
            ask.measure.value: read[measure]
            for ask in ASKS.values()
            for measure in ask.measures
            if measure in read
        }
        if jar.state is State.BOTTLED:
            return cls(desk, jar, KEYS.index("review"), typed)
        step, left = straining.draft(desk, jar) or (KEYS[0], {})
        return cls(desk, jar, KEYS.index(step) if step in KEYS else 0, typed | left)

    @property
    def step(self) -> Step:
        """The step one is at."""
        return STEPS[self.at]

    @property
    def separation(self) -> Separation:
        """The way of straining: chosen, as long as the jar still steeps, or written down."""
        chosen = self.typed.get(_WAY)
        steeping = self.jar.state is State.STEEPING
        return Separation(chosen) if chosen and steeping else self.jar.charge.separation

    def choose(self, way: str) -> None:
        """Choose a way of straining."""
        self.typed[_WAY] = way

    def leave(self) -> None:
        """Keep where the straining is left; there is nothing to come back to once bottled."""
        if self.jar.state is not State.BOTTLED:
            straining.leave(self.desk, self.jar, self.step.key, self.typed)

    def readings(self, now: datetime) -> tuple[Reading, ...]:
        """Return what was typed and understood and is not kept yet."""
        found = []
        for measure, ask in ASKS.items():
            text = self.typed.get(measure.value, "")
            if not text.strip():
                continue
            try:
                typed = ask.read(text)
            except (BadAmount, OutOfRange):
                continue
            kept = self.jar.reading(typed.measure)
            if kept is None or kept.typed != typed.typed:
                found.append(straining.understood(self.desk, typed, now))
        return tuple(found)

    def is_measured(self, now: datetime) -> bool:
        """Whether the one reading that is needed was taken."""
        new = {reading.measure for reading in self.readings(now)}
        return any(measure in new or self.jar.reading(measure) for measure in straining.FINAL)

    def jar_by(self, separation: Separation) -> Jar:
        """Return the jar as if it were strained that way."""
        return replace(self.jar, charge=replace(self.jar.charge, separation=separation))

    def balance(self, now: datetime) -> Balance | None:
        """Return the balance of all that was read, kept or not."""
        return straining.balance(self.desk, self.jar_by(self.separation), self.readings(now))

    def result(self, balance: Balance | None, now: datetime) -> Result | None:
        """Return what the straining comes to, where it can be balanced."""
        if balance is None:
            return None
        return result(self.desk, self.jar_by(self.separation), balance, self.readings(now))

    def standings(self, now: datetime) -> list[tuple[str, Standing]]:
        """Return how far each step is; what counts in the balance counts as read."""
        read = (*self.jar.readings, *self.readings(now))
        return [(step.short or step.key, self._standing(i, read)) for i, step in enumerate(STEPS)]

    def doubts(self, measures: Container[Measure], now: datetime) -> dict[Measure, str]:
        """Return a question for each of these that was typed and is far from what is usual."""
        jar, read = self.jar_by(self.separation), self.readings(now)
        here = [one for one in read if one.measure in measures]
        asked = {one.measure: straining.doubt(self.desk, jar, one, read) for one in here}
        return {measure: question for measure, question in asked.items() if question}

    def likely(self, now: datetime) -> dict[Measure, Likely]:
        """Return what each reading should be, given all that was read."""
        return straining.likely(self.desk, self.jar_by(self.separation), self.readings(now))

    def _standing(self, i: int, read: tuple[Reading, ...]) -> Standing:
        if i == self.at:
            return Standing.HERE
        bottled = STEPS[i].key == "bottle" and self.jar.state is State.BOTTLED
        if bottled or is_read(STEPS[i], read):
            return Standing.READ
        return Standing.PASSED if i < self.at else Standing.AHEAD
