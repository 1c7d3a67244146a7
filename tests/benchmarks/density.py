"""A density turned into a mass fraction, against one CoolProp call on ethanol and water."""

from __future__ import annotations

import sys
from timeit import repeat

from CoolProp.CoolProp import PropsSI

from steepboard.domain.alcohol import mass_fraction_at_density, mass_fraction_of

CALLS = 500
ETHANOL_WATER = "INCOMP::MEA-40%"
KELVIN = 293.15


def main() -> None:
    """Print each ratio: the best of several runs over the best of the floor's."""
    floor = best(lambda: PropsSI("D", "T", KELVIN, "P", 101325, ETHANOL_WATER))
    for name, task in (
        ("density to mass fraction", lambda: mass_fraction_at_density(935.2)),
        ("strength to mass fraction", lambda: mass_fraction_of(0.45)),
    ):
        taken = best(task)
        sys.stdout.write(
            f"{name:25} {taken / floor:5.2f} × one CoolProp call "
            f"({1e6 * taken:.0f} µs against {1e6 * floor:.0f} µs)\n"
        )


def best(task) -> float:
    """Return the seconds of one call in the fastest of seven runs."""
    return min(repeat(task, number=CALLS, repeat=7)) / CALLS


if __name__ == "__main__":
    main()
