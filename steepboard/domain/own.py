"""Botanicals and spirits that a shelf adds to what the program knows, or knows better."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

Span: TypeAlias = tuple[float, float]
"""The least and the most; both are the same where only one was said."""


@dataclass(frozen=True, slots=True)
class OwnBotanical:
    """What a person says of a botanical; what is None or empty is left as it was known."""

    id: str
    """That of the botanical it changes, or one of its own."""
    name: str
    material_class: str | None = None
    latin: str = ""
    fresh: bool | None = None
    moisture: float | None = None
    """Water as a fraction of the mass."""
    soluble: float | None = None
    """Soluble fraction of the dry mass."""
    ratio_min: float | None = None
    """mL of solvent for each gram."""
    ratio_max: float | None = None
    days_min: float | None = None
    days_typical: float | None = None
    days_max: float | None = None
    taste_from_day: float | None = None
    cautions: tuple[str, ...] = ()
    """Codes of the catalogue."""
    preparation: str = ""
    aliases: tuple[str, ...] = ()
    """What else it is called."""
    part: str = ""
    """Of the plant."""
    form: str = ""
    """As it is bought or made ready."""
    strength_min: float | None = None
    """Of the solvent, as a fraction by volume."""
    strength_max: float | None = None
    moisture_low: float | None = None
    """Between this and the next the water is known to lie."""
    moisture_high: float | None = None
    soluble_low: float | None = None
    soluble_high: float | None = None
    pungency: int | None = None
    """0 none, 1 slight, 2 clear, 3 strong; like `bitterness`."""
    bitterness: int | None = None
    allergens: tuple[str, ...] = ()
    """Names of the catalogue's list."""
    use: str | None = None
    """`usual`, `with care`, `poor choice` or `never`."""
    fresh_soft: bool | None = None
    """Whether the fresh material is soft and does not keep."""
    fresh_note: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class OwnSpirit:
    """A spirit that a person keeps; `strength` is a fraction by volume at 20 °C."""

    id: str
    name: str
    strength: float
    note: str = ""


def said(
    *,
    ratio: Span | None = None,
    strength: Span | None = None,
    days: Span | None = None,
    moisture: Span | None = None,
    soluble: Span | None = None,
    **told: Any,
) -> OwnBotanical:
    """Return what was said of a botanical, without id and name; None is what was not said.

    Of water and soluble part the middle of a span is taken, and the span as what it may be.
    """
    ends = {"ratio": ratio, "strength": strength, "days": days}
    values: dict[str, Any] = {
        f"{name}_{end}": value
        for name, span in ends.items()
        if span
        for end, value in zip(("min", "max"), span, strict=True)
    }
    for name, span in (("moisture", moisture), ("soluble", soluble)):
        if span:
            low, high = span
            values[name] = (low + high) / 2
            if low != high:
                values |= {f"{name}_low": low, f"{name}_high": high}
    given = {name: value for name, value in told.items() if value is not None}
    return OwnBotanical("", "", **given, **values)
