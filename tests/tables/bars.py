"""How often a bar runs dry that starts the next jar on its start-by date: simulated bars.

    python -m tests.tables.bars [BARS]

Each bar draws drink by drink, has a history of 4 to 43 weeks, and one batch that is 5 to 7 or 10 to
14 weeks of its use. It looks at the start-by date each morning and charges the next jar on the day
that comes up or up to two days later, which is what the margin is for; that jar is ready 16 days
later. It ran dry if more was drawn by then than the batch held. Beside it the same bars start when
half is gone. What is left by then is told in weeks of the bar's usual use. All is invented here,
and of other shapes than the forecast assumes: busy evenings, weekdays, a year's tide, big draws.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from itertools import accumulate
from math import exp, pi, sin
from random import Random

from steepboard.domain.forecast import use

KINDS = ("steady", "weekend-heavy", "seasonal", "dead")
MARGIN, LEAD = 2, 14 + 2
WEEKDAYS = (0.35, 0.0, 0.35, 0.5, 1.0, 2.5, 2.3)  # shut on Tuesdays
SIZES_ML = (1.5, 2, 2, 3, 4)
_MEAN_ML = sum(SIZES_ML) / len(SIZES_ML)
_BIG = 1 / 120  # of the draws there is one for a blend, of 10 to 30 mL
_DAYS = 900


@dataclass(frozen=True)
class Case:
    """What became of one batch; `None` where the rule named no day."""

    dry: bool
    left_weeks: float


@dataclass(frozen=True)
class Bar:
    """One bar: its batch, how it draws, and from when."""

    kind: str
    drinks: float
    chance: Random

    @property
    def weekly_ml(self) -> float:
        """What a week uses on average."""
        dead = 0.06 if self.kind == "dead" else 1.0
        return self.drinks * dead * 7 * (_MEAN_ML + 20 * _BIG)

    def evening(self, day: int) -> list[float]:
        """Return the draws of an evening, in mL."""
        rate = self.drinks
        match self.kind:
            case "weekend-heavy":
                rate *= WEEKDAYS[day % 7]
            case "seasonal":
                rate *= 1 + 0.5 * sin(2 * pi * day / 365)
            case "dead":
                rate *= 0.06
        count = poisson(self.chance, rate * self.chance.gammavariate(1 / 0.09, 0.09))
        big = self.chance.random() < count * _BIG
        return [*self.chance.choices(SIZES_ML, k=count), *([self.chance.uniform(10, 30)] * big)]


def poisson(chance: Random, rate: float) -> int:
    """Draw a count by Knuth's product of uniforms."""
    count, left = 0, chance.random()
    while left > exp(-rate):
        count, left = count + 1, left * chance.random()
    return count


def watch(kind: str, seed: int, weeks: tuple[float, float]) -> tuple[Case | None, Case | None]:
    """Return what came of one batch by its start-by date, and by half of it gone."""
    chance = Random(f"{kind}/{seed}/{weeks}")
    bar = Bar(kind, chance.uniform(1.5, 6), chance)
    first, before = chance.randrange(365), chance.randrange(28, 300)
    log = [(day, ml) for day in range(first - before, first) for ml in bar.evening(day)]
    held = bar.weekly_ml * chance.uniform(*weeks) + (10 if kind == "dead" else 0)
    evenings = [bar.evening(first + day) for day in range(_DAYS)]
    gone = [0.0, *accumulate(sum(evening) for evening in evenings)]
    delay = chance.randint(0, MARGIN)

    def case(start: int | None) -> Case | None:
        if not start or start + delay + LEAD >= _DAYS:  # none, or too late from the first
            return None
        left = held - gone[start + delay + LEAD]
        return Case(left < 0, left / bar.weekly_ml)

    half = next((day for day in range(_DAYS) if gone[day] > held / 2), None)
    return case(_start(bar, log, evenings, gone, held, first, before)), case(half)


def _start(
    bar: Bar,
    log: list[tuple[int, float]],
    evenings: list[list[float]],
    gone: list[float],
    held: float,
    first: int,
    before: int,
) -> int | None:
    """Return the day on which the start-by date has come, seen from no day before a need."""
    day = told = 0
    while day < _DAYS and gone[day] < held:
        while told < day:
            log += [(first + told, ml) for ml in evenings[told]]
            told += 1
        known = use(((first + day - at - 0.4, ml) for at, ml in log), before + day)
        if known:
            spare = held - gone[day] - known.most(LEAD + MARGIN)
            if spare <= 0:
                return day
            day += int(spare / (4 * bar.weekly_ml / 7))  # so long it cannot come up
        day += 1
    return None


def tell(cases: list[Case]) -> str:
    """Return the share that ran dry, and what was left when the next jar was ready."""
    if not cases:
        return "| |"
    dry = sum(case.dry for case in cases) / len(cases)
    return f"{100 * dry:.1f} % | {sum(case.left_weeks for case in cases) / len(cases):.1f}"


def main(bars: int) -> None:
    """Print the table."""
    print("| bar | batch, weeks | bars | dry | weeks left | half: dry | weeks left |")  # noqa: T201
    print("|---|---|---|---|---|---|---|")  # noqa: T201
    for kind in KINDS:
        for weeks in ((5, 7), (10, 14)):
            cases = [watch(kind, seed, weeks) for seed in range(bars)]
            ours = [case for case, _ in cases if case]
            half = [case for _, case in cases if case]
            row = (kind, f"{weeks[0]} to {weeks[1]}", f"{len(ours)}", tell(ours), tell(half))
            print(f"| {' | '.join(row)} |", flush=True)  # noqa: T201


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
