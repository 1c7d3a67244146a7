"""What drops and dashes hold until the house has calibrated its own."""

from __future__ import annotations

import functools

from steepboard.catalogue.documents import rows
from steepboard.domain.dosing import Tool, Usual


@functools.cache
def usual_drops(tool: Tool) -> tuple[Usual, ...]:
    """Return the published or usual figures of a tool, by rising strength."""
    return tuple(
        Usual(
            float(row["strength"]),
            float(row["least_per_ml"]),
            float(row["most_per_ml"]),
            f"{row['obtained']}: {row['source']}",
        )
        for row in rows("droppers")
        if row["tool"] == tool.value
    )
