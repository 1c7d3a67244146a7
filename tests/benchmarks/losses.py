"""Where 2,000 strainings lost liquid, each against what was then known; at most 3 ms a jar."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import process_time

from steepboard.domain.alcohol import mass_fraction_at_density
from steepboard.services import losses
from tests.benchmarks.long_shelf import PAST, fill
from tests.shelves import MORNING, desk_at

RUNS = 5
MOST_MS = 3.0


def main() -> None:
    """Print the CPU time of a jar in the best run, over that of a density inversion."""
    floor = min(seconds(_invert) for _ in range(RUNS)) / PAST
    with tempfile.TemporaryDirectory() as folder:
        fill(Path(folder), MORNING)
        taken = min(seconds(lambda: _review(Path(folder))) for _ in range(RUNS)) / PAST
    sys.stdout.write(
        f"losses, each of {PAST:,} jars: {taken / floor:.0f} × one density inversion "
        f"({1e3 * taken:.2f} ms; at most {MOST_MS:g} ms)\n"
    )


def seconds(task: Callable[[], None]) -> float:
    """Return the CPU time of a task."""
    before = process_time()
    task()
    return process_time() - before


def _invert() -> None:
    for number in range(PAST):
        mass_fraction_at_density(935.2 + number * 1e-3)


def _review(folder: Path) -> None:
    """Work it out of the record, with nothing remembered."""
    desk = desk_at(folder)
    losses.grouped(losses.strained(desk), losses.By.BOTANICAL, desk)
    desk.store.close()


if __name__ == "__main__":
    main()
