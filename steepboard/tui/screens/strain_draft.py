"""A straining as far as it was typed: the jar, the step, and the readings not kept yet."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from steepboard.domain.records import Jar, Reading, Separation, State
from steepboard.errors import BadAmount
from steepboard.services import straining
from steepboard.tui.screens.strain_steps import ASKS, FINAL, KEYS, STEPS, Step, is_read
from steepboard.tui.widgets.step_path import Standing

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.domain.balance import Balance
    from steepboard.services.desk import Desk

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
        typed = {reading.measure.value: reading.typed for reading in jar.readings}
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
            typed, kept = self.typed.get(measure.value, ""), self.jar.reading(measure)
            if not typed.strip() or (kept and kept.typed == typed):
                continue
            try:
                amount = ask.read(typed)
            except BadAmount:
                continue
            found.append(
                straining.reading(self.desk, measure, amount.value, typed, amount.resolution, now)
            )
        return tuple(found)

    def is_measured(self, now: datetime) -> bool:
        """Whether the one reading that is needed was taken."""
        new = {reading.measure for reading in self.readings(now)}
        return any(measure in new or self.jar.reading(measure) for measure in FINAL)

    def jar_by(self, separation: Separation) -> Jar:
        """Return the jar as if it were strained that way."""
        return replace(self.jar, charge=replace(self.jar.charge, separation=separation))

    def balance(self, now: datetime) -> Balance | None:
        """Return the balance of all that was read, kept or not."""
        return straining.balance(self.desk, self.jar_by(self.separation), self.readings(now))

    def standings(self) -> list[tuple[str, Standing]]:
        """Return how far each step is."""
        return [(step.key, self._standing(i)) for i, step in enumerate(STEPS)]

    def _standing(self, i: int) -> Standing:
        if i == self.at:
            return Standing.HERE
        bottled = STEPS[i].key == "bottle" and self.jar.state is State.BOTTLED
        if bottled or is_read(STEPS[i], self.jar):
            return Standing.READ
        return Standing.PASSED if i < self.at else Standing.AHEAD
