"""Teaching again from 2,000 strainings, against passing over 2,000 tuples; at most 100 ms.

The same where the marc of each fourth jar was dried, and looking back from each jar then.
In CPU time, so that a busy machine tells nearly the same.
"""

from __future__ import annotations

import random
import sys
import tempfile
from pathlib import Path
from time import process_time
from timeit import repeat

from steepboard.domain.records import Measure
from steepboard.services import acts, straining
from steepboard.services.history import History
from steepboard.services.learning import TaughtLibrary
from steepboard.store.rows import instant
from steepboard.store.strains import strains
from tests.benchmarks.long_shelf import PAST, fill
from tests.shelves import MORNING, desk_at

DRIED = PAST // 4


def main() -> None:
    """Print each step: the best of several runs over the best of the floor's."""
    chance = random.Random(1)
    tuples = [(f"{number:05}", chance.random(), chance.random()) for number in range(PAST)]
    floor = best(lambda: sum(value / u**2 for _, value, u in tuples))

    def tell(name: str, taken: float) -> None:
        ratio = taken / floor
        sys.stdout.write(f"{name:27} {taken * 1000:8.2f} ms, {ratio:8.1f} × {PAST:,} tuples\n")

    with tempfile.TemporaryDirectory() as folder:
        fill(Path(folder), MORNING)
        desk = desk_at(Path(folder))
        taught = teach(desk)
        tell("read", best(lambda: list(strains(desk.store))))
        tell("read and teach", best(lambda: teach(desk)))
        tell("ask again", best(lambda: [taught.lesson(group) for group in taught.groups()]))
        dry(desk)
        tell(f"with {DRIED} dried", best(lambda: teach(desk)))
        tell("look back from each of them", best(lambda: look_back(desk), runs=1))
        desk.store.close()


def teach(desk) -> TaughtLibrary:
    """Work out of the record what all jars taught."""
    library = TaughtLibrary(History(desk.store, desk.settings))
    for group in library.groups():
        library.lesson(group)
    return library


def dry(desk) -> None:
    """Read what the marc of each fourth bottled jar weighed when dried; 30 g is invented."""
    for jar in list(strains(desk.store))[::4]:
        read = straining.reading(desk, Measure.DRY_MARC, 30, "30 g", 0.1, MORNING)
        acts.strain(desk, jar.code, (read,), MORNING)


def look_back(desk) -> None:
    """Work out for each bottled jar what was known when it was charged, the last one first."""
    library = TaughtLibrary(History(desk.store, desk.settings))
    for jar in reversed(list(strains(desk.store))):
        library.before(instant(jar.charged_at)).absorption(jar.botanicals[0], jar.separation)


def best(task, runs: int = 9) -> float:
    """Return the seconds of the fastest of several runs."""
    return min(repeat(task, timer=process_time, number=1, repeat=runs))


if __name__ == "__main__":
    main()
