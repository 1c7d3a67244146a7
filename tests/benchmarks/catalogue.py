"""The catalogue, read and checked, against reading the same bytes with csv.reader alone."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path
from time import perf_counter

from steepboard.catalogue.documents import folder

RUNS = 15
# Each run in a process of its own, as a command has it: nothing is read or remembered before.
LOAD = """
from steepboard.catalogue.library import SHIPPED
from time import perf_counter
before = perf_counter()
SHIPPED.check()
print(perf_counter() - before)
"""


def main() -> None:
    """Print the best of several loads, its ratio, and what a search costs."""
    floor = min(read_plainly() for _ in range(RUNS))
    taken = min(load() for _ in range(RUNS))
    sys.stdout.write(
        f"load and check  {1e3 * taken:5.1f} ms, {taken / floor:4.1f} × csv.reader on the same "
        f"bytes ({1e3 * floor:.1f} ms); at most 15 ms\n"
    )
    sys.stdout.write(f"search          {1e3 * min(search() for _ in range(RUNS)):5.1f} ms\n")


def load() -> float:
    """Return the seconds of one load in a process of its own."""
    done = subprocess.run([sys.executable, "-c", LOAD], check=True, capture_output=True, text=True)
    return float(done.stdout)


def read_plainly() -> float:
    """Return the seconds that csv.reader takes for the bytes of all files of the catalogue."""
    before = perf_counter()
    for path in sorted(Path(folder()).iterdir()):
        with path.open(encoding="utf-8", newline="") as file:
            list(csv.reader(file))
    return perf_counter() - before


def search() -> float:
    """Return the seconds of one search with a slip in it."""
    from steepboard.catalogue.library import SHIPPED

    before = perf_counter()
    SHIPPED.search("jiniper")
    return perf_counter() - before


if __name__ == "__main__":
    main()
