"""A solvent made on the spot from a stronger spirit and water. Volumes do not add, masses do."""

from __future__ import annotations

from dataclasses import dataclass

from steepboard.domain import alcohol, guards

_A_LITRE = 1000.0  # mL; any volume would do, for all of a mixture scales


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


def made_from(spirit: float, strength: float, volume_ml: float, room_c: float = 20.0) -> Made:
    """Return what makes `volume_ml` (at 20 °C) of `strength` from a spirit and water.

    Strengths are by volume at 20 °C. By the rule of `alcohol.dilute`; raises as that does.
    """
    guards.positive("volume", volume_ml)
    guards.temperature(room_c)
    litre = alcohol.dilute(_A_LITRE, spirit, strength, room_c)
    total_ml = alcohol.volume_ml(alcohol.mass_g(volume_ml, strength), strength, room_c)
    share = total_ml / litre.total_ml
    spirit_ml = share * _A_LITRE
    return Made(
        spirit_ml=spirit_ml,
        spirit_g=alcohol.mass_g(spirit_ml, spirit, room_c),
        water_ml=share * litre.water_ml,
        water_g=share * litre.water_g,
        total_ml=total_ml,
        contraction_ml=share * litre.contraction_ml,
    )
