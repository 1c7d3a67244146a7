"""The schedule of 10,000 jars, against sorting 10,000 tuples in the same run."""

from __future__ import annotations

import random
import sys
from datetime import date, timedelta
from timeit import repeat

from steepboard.domain.schedule import Steep, due, group, next_wake
from tests.fakes import BERLIN, TIMES, utc

JARS = 10_000
NOW = utc("2026-11-25T09:30")


def main() -> None:
    """Print each ratio: the best of several runs over the best of the floor's."""
    chance = random.Random(1)
    tuples = [(chance.random(), number) for number in range(JARS)]
    floor = best(lambda: sorted(tuples))
    shelf = [steep(number) for number in range(JARS)]
    reminders = due(shelf, TIMES, BERLIN, NOW)
    for name, task in (
        ("due", lambda: due(shelf, TIMES, BERLIN, NOW)),
        ("group", lambda: group(reminders, TIMES.group_minutes)),
        ("next_wake", lambda: next_wake(shelf, TIMES, BERLIN, NOW)),
    ):
        taken = best(task)
        sys.stdout.write(
            f"{name:10} {taken / floor:6.1f} × sorting {JARS:,} tuples ({taken * 1000:.1f} ms)\n"
        )


def best(task) -> float:
    """Return the seconds of the fastest of seven runs."""
    return min(repeat(task, number=1, repeat=7))


def steep(number: int) -> Steep:
    """Return a jar of a fortnight, charged on one of the last twenty days."""
    charged_on = date(2026, 11, 25) - timedelta(days=number % 20)
    stirred = frozenset(charged_on + timedelta(days=day) for day in range(1, number % 20))
    return Steep(
        number,
        f"ROSE-{number:05}",
        "Rose petals",
        charged_on,
        charged_on + timedelta(days=14),
        1 + number % 3,
        stirred,
    )


if __name__ == "__main__":
    main()
