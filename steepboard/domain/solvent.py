"""A solvent made on the spot from a stronger spirit and water. Volumes do not add, masses do."""

from __future__ import annotations

from dataclasses import dataclass

from steepboard.domain import alcohol, guards


@dataclass(frozen=True, slots=True)
class Made:
    """What to take together; volumes in mL at the room's temperature, masses in g."""

    spirit_ml: float
    spirit_g: float
    water_ml: float
    water_g: float
    total_ml: float
    """What they fill once mixed and back at the room's temperature: less than their sum."""
    contraction_ml: float


def let_down(spirit: float, strength: float, spirit_ml: float, room_c: float = 20.0) -> Made:
    """Return what water makes of `spirit_ml` (in the room) of a spirit at `strength`.

    Strengths are by volume at 20 °C. By `alcohol.dilute`; raises as that does.
    """
    found = alcohol.dilute(spirit_ml, spirit, strength, guards.temperature(room_c))
    return Made(
        spirit_ml=spirit_ml,
        spirit_g=alcohol.mass_g(spirit_ml, spirit, room_c),
        water_ml=found.water_ml,
        water_g=found.water_g,
        total_ml=found.total_ml,
        contraction_ml=found.contraction_ml,
    )


def made_from(spirit: float, strength: float, volume_ml: float, room_c: float = 20.0) -> Made:
    """Return what makes `volume_ml` (at 20 °C) of `strength` from a spirit and water.

    Strengths are by volume at 20 °C. All of a mixture scales; raises as `let_down` does.
    """
    guards.positive("volume", volume_ml)
    total_ml = alcohol.volume_ml(alcohol.mass_g(volume_ml, strength), strength, room_c)
    spirit_ml = total_ml / let_down(spirit, strength, 1.0, room_c).total_ml
    return let_down(spirit, strength, spirit_ml, room_c)
