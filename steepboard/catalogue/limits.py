"""What is allowed of limited substances in drinks, and the most that plants hold of them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from steepboard.catalogue.documents import rows
from steepboard.domain.limits import Limit, Share

if TYPE_CHECKING:
    from collections.abc import Mapping

    from steepboard.catalogue.records import Botanical


def limits(substance: str, latins: Sequence[str]) -> tuple[Limit, ...]:
    """Return the limits of a substance that hold for a jar with plants of these Latin names."""
    genera = {name.split()[0] for latin in latins for name in _names(latin)}
    return tuple(
        Limit(
            substance,
            row["place"],
            row["drink"],
            float(row["limit"]) if row["limit"] else None,
            row["unit"],
            label=row["rule"] == "label",
            source=row["source"],
            obtained=row["obtained"],
        )
        for row in rows("limits")
        if row["substance"] == substance and _holds(row, genera)
    )


def share(substance: str, plant: Botanical, name: str, mass_g: float) -> Share:
    """Return the most that so much of a plant, by the `name` people know, may hold."""
    fitting = [
        row
        for row in rows("contents")
        if row["substance"] == substance
        and any(latin.startswith(row["latin"]) for latin in _names(plant.latin))
    ]
    if not fitting:
        return Share(name, mass_g, None, "not known here")
    row = max(fitting, key=lambda row: len(row["latin"]))
    source = f"{row['source']}; {row['obtained']}"
    return Share(name, mass_g, float(row["mg_per_g"]), source)


def _names(latin: str) -> list[str]:
    """Return the Latin names of what goes by one trade name."""
    return [name.strip() for name in re.split(r"[,/]", latin) if name.strip()]


def _holds(row: Mapping[str, str], genera: set[str]) -> bool:
    if row["only_with"] and row["only_with"] not in genera:
        return False
    return row["not_with"] not in genera
