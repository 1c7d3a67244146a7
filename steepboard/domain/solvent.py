"""A solvent made on the spot from a stronger spirit and water. Volumes do not add, masses do."""

from __future__ import annotations

from steepboard.domain import alcohol, guards
from steepboard.domain.alcohol import Dilution


def made_from(spirit: float, strength: float, volume_ml: float, room_c: float = 20.0) -> Dilution:
    """Return what makes `volume_ml` (at 20 °C) of `strength` from a spirit and water.

    Strengths are by volume at 20 °C, the volumes returned in the room. All of a mixture scales;
    raises as `alcohol.dilute` does.
    """
    guards.positive("volume", volume_ml)
    total_ml = alcohol.volume_ml(alcohol.mass_g(volume_ml, strength), strength, room_c)
    spirit_ml = total_ml / alcohol.dilute(1.0, spirit, strength, room_c).total_ml
    return alcohol.dilute(spirit_ml, spirit, strength, room_c)
