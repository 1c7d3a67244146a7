"""What stands against a file that is to be taken in, row by row."""

from __future__ import annotations

from steepboard.errors import BadRows

_MOST_TOLD = 1000  # faults that are told one by one; assumed, more than anyone mends by hand


class Faults:
    """Collects the faults of a file, so that all are told at once."""

    def __init__(self, name: str) -> None:
        self._name, self._count = name, 0
        self._told: list[tuple[int, str]] = []

    def add(self, line: int, reason: str) -> None:
        """Keep what is wrong with a line."""
        self._count += 1
        if len(self._told) < _MOST_TOLD:
            self._told.append((line, reason.removesuffix(".")))

    def end(self) -> None:
        """Raise `BadRows` where there is any."""
        if self._count:
            raise BadRows(self._name, tuple(self._told), self._count)
