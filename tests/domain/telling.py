"""What a service that wakes when it is told to would say."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, tzinfo

from steepboard.domain.quiet import Quiet
from steepboard.domain.schedule import Reminder, Series, Snoozes, due, next_wake


def told(
    series: Iterable[Series],
    quiet: Quiet,
    zone: tzinfo,
    start: datetime,
    end: datetime,
    snoozes: Snoozes | None = None,
) -> list[tuple[datetime, Reminder]]:
    """Return what is said at every wake from `start` to before `end`, each key but once."""
    said, all_told, now = set(), [], start
    while now is not None and now < end:
        for reminder in due(series, quiet, zone, now, snoozes):
            if reminder.key not in said:
                said.update((reminder.key, *reminder.folds))
                all_told.append((now, reminder))
        now = next_wake(series, quiet, zone, now, snoozes)
    return all_told
