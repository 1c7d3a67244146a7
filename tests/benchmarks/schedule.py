"""The schedule of 10,000 jars, against sorting 10,000 tuples in the same run."""

from __future__ import annotations

import random
import sys
from dataclasses import replace
from datetime import date, time, timedelta
from timeit import repeat

from steepboard.domain.notices import notices
from steepboard.domain.quiet import Quiet
from steepboard.domain.schedule import Steep, due, next_wake
from tests.fakes import BERLIN, GROUP_MINUTES, steep, utc

JARS = 10_000
NOW = utc("2026-11-25T09:30")
NIGHT = Quiet(time(0), time(8), time(9))


def main() -> None:
    """Print each ratio: the best of several runs over the best of the floor's."""
    chance = random.Random(1)
    tuples = [(chance.random(), number) for number in range(JARS)]
    floor = best(lambda: sorted(tuples))
    shelf = [one for number in range(JARS) for one in jar(number).series()]
    reminders = due(shelf, NIGHT, BERLIN, NOW)
    for name, task in (
        ("due", lambda: due(shelf, NIGHT, BERLIN, NOW)),
        ("notices", lambda: notices(reminders, GROUP_MINUTES, BERLIN, NOW)),
        ("next_wake", lambda: next_wake(shelf, NIGHT, BERLIN, NOW)),
    ):
        taken = best(task)
        sys.stdout.write(
            f"{name:10} {taken / floor:6.1f} × sorting {JARS:,} tuples ({taken * 1000:.1f} ms)\n"
        )


def best(task) -> float:
    """Return the seconds of the fastest of seven runs."""
    return min(repeat(task, number=1, repeat=7))


def jar(number: int) -> Steep:
    """Return a jar of a fortnight, charged on one of the last twenty days."""
    charged_on = date(2026, 11, 25) - timedelta(days=number % 20)
    stirred = frozenset(charged_on + timedelta(days=day) for day in range(1, number % 20))
    made = steep(
        number,
        f"ROSE-{number:05}",
        "Rose petals",
        charged_on,
        charged_on + timedelta(days=14),
        stir_every_days=1 + number % 3,
        taste_from_day=5,
    )
    return replace(made, stirred_on=stirred)


if __name__ == "__main__":
    main()
