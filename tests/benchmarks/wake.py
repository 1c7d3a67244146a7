"""The next wake, read from the record, over active jars and over history."""

from __future__ import annotations

import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from time import perf_counter

from steepboard.services.reminders import RecordReminders
from tests.benchmarks.big_record import fill
from tests.shelves import desk_at

RUNS = 15
JARS = 10_000


def main() -> None:
    """Print both curves: the fastest of several runs, each with nothing remembered."""
    shelves = [(active, JARS - active) for active in (10, 40, 100, 400)]
    shelves += [(40, past) for past in (1, 1_000, 5_000, 20_000)]
    for active, past in shelves:
        with tempfile.TemporaryDirectory() as folder:
            now = datetime.now(UTC)
            fill(Path(folder), now, active=active, past=past)
            desk = desk_at(Path(folder))
            taken = min(seconds(desk, now) for _ in range(RUNS))
            remembered = RecordReminders(desk)
            remembered.next_wake(now)
            start = perf_counter()
            remembered.next_wake(now)
            again = perf_counter() - start
            desk.store.close()
        sys.stdout.write(
            f"{active:5} active and {past:6,} past jars: {1000 * taken:6.1f} ms from the record, "
            f"{1000 * again:.2f} ms when nothing was written since\n"
        )


def seconds(desk, now: datetime) -> float:
    """Return how long a service that knows nothing yet takes."""
    start = perf_counter()
    assert RecordReminders(desk).next_wake(now)
    return perf_counter() - start


if __name__ == "__main__":
    main()
