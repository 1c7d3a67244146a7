"""Botanicals and spirits that a shelf adds to what the program knows, or knows better."""

from __future__ import annotations

from dataclasses import dataclass


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


@dataclass(frozen=True, slots=True)
class OwnSpirit:
    """A spirit that a person keeps; `strength` is a fraction by volume at 20 °C."""

    id: str
    name: str
    strength: float
    note: str = ""
