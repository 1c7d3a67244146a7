"""Teaching again from 2,000 strainings, against passing over 2,000 tuples; at most 100 ms.

In CPU time, so that a busy machine tells nearly the same.
"""

from __future__ import annotations

import random
import sys
import tempfile
from pathlib import Path
from time import process_time
from timeit import repeat

from steepboard.services.history import History
from steepboard.services.learning import TaughtLibrary
from steepboard.store.strains import strains
from tests.benchmarks.long_shelf import PAST, fill
from tests.shelves import MORNING, desk_at


def main() -> None:
    """Print each step: the best of several runs over the best of the floor's."""
    chance = random.Random(1)
    tuples = [(f"{number:05}", chance.random(), chance.random()) for number in range(PAST)]
    floor = best(lambda: sum(value / u**2 for _, value, u in tuples))
    with tempfile.TemporaryDirectory() as folder:
        fill(Path(folder), MORNING)
        desk = desk_at(Path(folder))
        taught = teach(desk)
        for name, task in (
            ("read", lambda: list(strains(desk.store))),
            ("read and teach", lambda: teach(desk)),
            ("ask again", lambda: [taught.lesson(group) for group in taught.groups()]),
        ):
            taken = best(task)
            sys.stdout.write(
                f"{name:15} {taken * 1000:7.2f} ms, {taken / floor:6.1f} × {PAST:,} tuples\n"
            )
        desk.store.close()


def teach(desk) -> TaughtLibrary:
    """Work out of the record what all jars taught."""
    library = TaughtLibrary(History(desk.store, desk.settings))
    for group in library.groups():
        library.lesson(group)
    return library


def best(task) -> float:
    """Return the seconds of the fastest of nine runs."""
    return min(repeat(task, timer=process_time, number=1, repeat=9))


if __name__ == "__main__":
    main()
