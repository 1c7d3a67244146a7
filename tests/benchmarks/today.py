"""`steepboard today` on a long shelf, against a bare Python with click and sqlite3."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from time import perf_counter

from tests.benchmarks.long_shelf import ACTIVE, PAST, fill

RUNS = 25


def main() -> None:
    """Print the ratio of the medians of runs that took turns."""
    with tempfile.TemporaryDirectory() as folder:
        fill(Path(folder), datetime.now(UTC))
        floor = [sys.executable, "-c", "import click, sqlite3"]
        today = [sys.executable, "-m", "steepboard", "--home", folder, "today"]
        taken: dict[str, list[float]] = {"floor": [], "today": []}
        for _ in range(RUNS):
            taken["floor"].append(seconds(floor))
            taken["today"].append(seconds(today))
    at_floor, at_today = median(taken["floor"]), median(taken["today"])
    sys.stdout.write(
        f"today on {ACTIVE} active and {PAST:,} past jars: {at_today / at_floor:.2f} × "
        f"click and sqlite3 ({1000 * at_today:.0f} ms against {1000 * at_floor:.0f} ms)\n"
    )


def seconds(command: list[str]) -> float:
    """Return how long a command takes; it must succeed."""
    start = perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return perf_counter() - start


if __name__ == "__main__":
    main()
