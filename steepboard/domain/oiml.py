"""Density of ethanol-water mixtures: the general formula of OIML R 22 with all 54 coefficients.

Published: OIML International Recommendation R 22, "International Alcoholometric Tables" (1975),
page 13; the same figures stand in the annex of Directive 76/766/EEC.
"""

from __future__ import annotations

from functools import lru_cache

from steepboard.domain import guards

# A_1 … A_12, kg/m³: powers 0 … 11 of the mass fraction, at 20 °C.
_A = (
    9.982012300e2,
    -1.929769495e2,
    3.891238958e2,
    -1.668103923e3,
    1.352215441e4,
    -8.829278388e4,
    3.062874042e5,
    -6.138381234e5,
    7.470172998e5,
    -5.478461354e5,
    2.234460334e5,
    -3.903285426e4,
)
# B_1 … B_6, kg/(m³·K^k): powers 1 … 6 of the distance from 20 °C, for water.
_B = (
    -2.0618513e-1,
    -5.2682542e-3,
    3.6130013e-5,
    -3.8957702e-7,
    7.1693540e-9,
    -9.9739231e-11,
)
# C_i,k, kg/(m³·K^i): row i is the power of the distance from 20 °C, k that of the mass fraction.
_C = (
    (
        1.693443461530087e-01,
        -1.046914743455169e01,
        7.196353469546523e01,
        -7.047478054272792e02,
        3.924090430035045e03,
        -1.210164659068747e04,
        2.248646550400788e04,
        -2.605562982188164e04,
        1.852373922069467e04,
        -7.420201433430137e03,
        1.285617841998974e03,
    ),
    (
        -1.193013005057010e-02,
        2.517399633803461e-01,
        -2.170575700536993e00,
        1.353034988843029e01,
        -5.029988758547014e01,
        1.096355666577570e02,
        -1.422753946421155e02,
        1.080435942856230e02,
        -4.414153236817392e01,
        7.442971530188783e00,
    ),
    (
        -6.802995733503803e-04,
        1.876837790289664e-02,
        -2.002561813734156e-01,
        1.022992966719220e00,
        -2.895696483903638e00,
        4.810060584300675e00,
        -4.672147440794683e00,
        2.458043105903461e00,
        -5.411227621436812e-01,
    ),
    (
        4.075376675622027e-06,
        -8.763058573471110e-06,
        6.515031360099368e-06,
        -1.515784836987210e-06,
    ),
    (
        -2.788074354782409e-08,
        1.345612883493354e-08,
    ),
)


@lru_cache(maxsize=64)
def falling_powers(temperature_c: float) -> tuple[float, ...]:
    """Return the polynomial in the mass fraction at one temperature, highest power first."""
    guards.temperature(temperature_c)
    away = temperature_c - 20.0
    powers = list(_A)
    powers[0] += sum(b * away**k for k, b in enumerate(_B, start=1))
    for i, row in enumerate(_C, start=1):
        for k, c in enumerate(row, start=1):
            powers[k] += c * away**i
    return tuple(reversed(powers))


def density_kg_m3(mass_fraction: float, temperature_c: float = 20.0) -> float:
    """Return the density in kg/m³ at `temperature_c`, −20 … 40 °C, of an ethanol-water mixture.

    `mass_fraction` is the ethanol's share of the mass, 0 … 1. Below its freezing point a mixture
    has no such density and the formula's number means nothing. Raises `OutOfRange`.
    """
    guards.fraction("mass fraction", mass_fraction)
    return value_at(mass_fraction, falling_powers(temperature_c))


def value_at(point: float, powers: tuple[float, ...]) -> float:
    """Return the value at `point` of a polynomial given highest power first (Horner's scheme)."""
    value = 0.0
    for power in powers:
        value = value * point + power
    return value
