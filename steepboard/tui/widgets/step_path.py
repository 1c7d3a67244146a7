"""The steps of a walk in one line: which are done, which one is here, which are ahead."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from textual.content import Content
from textual.widgets import Static


class Standing(StrEnum):
    """How far a step is; the value is its sign."""

    READ = "●"
    PASSED = "○"
    HERE = "◆"
    AHEAD = "·"


_STYLES = {
    Standing.READ: "$success",
    Standing.PASSED: "$faint",
    Standing.HERE: "$primary b",
    Standing.AHEAD: "$faint",
}


class StepPath(Static):
    """The names of the steps, each with its sign."""

    def show(self, steps: Sequence[tuple[str, Standing]]) -> None:
        """Show where each step stands."""
        self.update(
            Content(" ").join(
                [
                    Content.styled(f"{standing.value}{name}", _STYLES[standing])
                    for name, standing in steps
                ]
            )
        )
