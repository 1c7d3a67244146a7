"""`steepboard today` on a long shelf, against a bare Python with click and sqlite3."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from time import perf_counter

from tests.benchmarks.compiled import environment
from tests.benchmarks.long_shelf import ACTIVE, PAST, fill

RUNS = 25


def main() -> None:
    """Print the ratio of the medians of runs that took turns."""
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as compiled:
        fill(Path(folder), datetime.now(UTC))
        floor = [sys.executable, "-c", "import click, sqlite3"]
        today = [sys.executable, "-m", "steepboard", "--home", folder, "today"]
        taken: dict[str, list[float]] = {"floor": [], "today": []}
        for _ in range(RUNS + 1):  # the first of each only compiles
            taken["floor"].append(seconds(floor, compiled))
            taken["today"].append(seconds(today, compiled))
    at_floor, at_today = median(taken["floor"][1:]), median(taken["today"][1:])
    sys.stdout.write(
        f"today on {ACTIVE} active and {PAST:,} past jars: {at_today / at_floor:.2f} × "
        f"click and sqlite3 ({1000 * at_today:.0f} ms against {1000 * at_floor:.0f} ms); "
        "at most 3\n"
    )


def seconds(command: list[str], compiled: str) -> float:
    """Return how long a command takes, its bytecode kept in a folder; it must succeed."""
    start, kept = perf_counter(), environment(compiled)
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=kept)
    return perf_counter() - start


if __name__ == "__main__":
    main()
