"""One jar and one straining that several tests balance."""

from __future__ import annotations

from steepboard.domain.balance import Balance, Measured, Readings, strain_balance
from steepboard.domain.liquor import Pour, Solid
from steepboard.domain.planning import Held

# The design's worked jar with a ± on everything; every reading here is invented for the tests.
SOLID = Solid(58.07, 0.11, 0.18, moisture_u=0.02, soluble_u=0.04, mass_u_g=0.03)
POUR = Pour(326.66, 0.45, volume_u_ml=1.5, strength_u=0.0015)
FULL = Readings(
    recovered_ml=Measured(258, 2),
    marc_g=Measured(113.6, 0.1),
    filter_before_g=Measured(2.1, 0.1),
    filter_after_g=Measured(6.3, 0.1),
)
HELD, KEPT = (1.6, 0.3), (6.0, 2.0)


def balance(
    readings: Readings,
    solids: tuple[Solid, ...] = (SOLID,),
    pours: tuple[Pour, ...] = (POUR,),
    v_u: float = 0.03,
) -> Balance:
    return strain_balance(
        solids,
        pours,
        readings,
        held_prior=[Held(*HELD) for _ in solids],
        kept_prior=KEPT,
        solids_ml_per_g_u=v_u,
    )
