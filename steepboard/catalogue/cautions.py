"""What to mind with a botanical or in a situation."""

from __future__ import annotations

from steepboard.catalogue.documents import document
from steepboard.catalogue.records import Caution
from steepboard.domain.alcohol import FLAMMABLE_C, flash_point_c
from steepboard.domain.plan_findings import KEEPS

_WEIGHT = {"stop": 0, "limit": 1, "warn": 2, "note": 3}


def caution(code: str) -> Caution:
    """Return the caution of that code; raises KeyError for a code that is not in the catalogue."""
    entry = document("cautions")[code]
    binding = entry["severity"] in ("limit", "stop") and not entry.get("general", False)
    return Caution(
        code,
        title=entry["title"],
        severity=entry["severity"],
        text=entry["text"],
        figures=entry["figures"],
        authority=entry["authority"],
        needs_acknowledging=binding,
    )


def situation_cautions(
    strength: float, fresh: bool, end_strength: float | None = None, keeps: float = KEEPS
) -> tuple[Caution, ...]:
    """Return what to mind whatever the botanical is, the gravest first.

    `strength` is that of the strongest spirit, `end_strength` that of the liquor, where known, and
    `keeps` the one under which the house counts a steep as perishable.
    """
    codes = ["NONPOT", "GRADE", "CHILD", "PREG", "VESSEL", "SERVE", "LICENCE"]
    flash_c = flash_point_c(strength)
    if flash_c is not None and flash_c <= FLAMMABLE_C:
        codes += ["FLAM", "HEAT"]
    if fresh:
        codes.append("LOWABV")
    if end_strength is not None and end_strength < keeps:
        codes += ["WEAK", "PRESSURE"]
    return tuple(sorted(map(caution, codes), key=lambda found: _WEIGHT[found.severity]))
