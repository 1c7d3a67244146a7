from __future__ import annotations

from math import sqrt
from random import Random
from statistics import stdev

import pytest

from steepboard.domain.alcohol import ETHANOL_DENSITY_KG_M3, density_kg_m3, mass_fraction_of
from steepboard.domain.balance import Measured, Readings, strain_balance
from steepboard.domain.liquor import Pour, Solid
from steepboard.domain.planning import Held
from tests.domain.worked_jar import FULL, balance


def test_a_reading_is_as_sure_as_the_gum_says_of_its_step() -> None:
    # Published: GUM (JCGM 100:2008) F.2.2.1, a digital step δx has u = 0.29 δx.
    assert Measured(110, 1.0).u == pytest.approx(0.29, abs=0.002)
    assert Measured(110, 1.0).u == pytest.approx(0.5 / sqrt(3))


def _by_hand(v: dict[str, float]) -> tuple[float, ...]:
    """Work the same jar from the equations alone, with no propagation."""
    p = mass_fraction_of(v["strength"])
    ethanol = v["volume"] * v["strength"] * ETHANOL_DENSITY_KG_M3 / 1000
    water = ethanol * (1 - p) / p + v["mass"] * v["moisture"]
    dry = v["mass"] * (1 - v["moisture"])
    dissolved = dry * v["soluble"]
    total = ethanol + water + dissolved
    mix = ethanol / (ethanol + water)
    volume = (ethanol + water) / density_kg_m3(mix) * 1000 + dissolved * v["v"]
    density = total / volume
    marc = v["marc"] - (dry - dissolved)
    filtered = v["after"] - v["before"]
    lost = total - v["recovered"] * density - marc - filtered
    strength = ethanol / ETHANOL_DENSITY_KG_M3 * 1000 / volume
    return total, marc, lost, marc / density / dry, v["recovered"] / v["volume"], strength


def test_every_plus_minus_agrees_with_a_monte_carlo() -> None:
    # Inputs drawn apart, figures worked by hand from each draw: shared inputs stay shared.
    spread = {
        "mass": (58.07, 0.03),
        "moisture": (0.11, 0.02),
        "soluble": (0.18, 0.04),
        "volume": (326.66, 1.5),
        "strength": (0.45, 0.0015),
        "v": (0.62, 0.03),
    }
    steps = {"recovered": (258, 2), "marc": (113.6, 0.1), "before": (2.1, 0.1), "after": (6.3, 0.1)}
    random = Random(20)
    draws = []
    for _ in range(100_000):
        drawn = {name: random.gauss(*spec) for name, spec in spread.items()}
        for name, (value, step) in steps.items():
            drawn[name] = random.uniform(value - step / 2, value + step / 2)
        draws.append(_by_hand(drawn))
    total, marc, lost, held, part, strength = (stdev(column) for column in zip(*draws, strict=True))
    found = balance(FULL)
    # 100,000 draws know a standard deviation to 0.22 %; the rest is what first order leaves out.
    assert found.liquor.g_u == pytest.approx(total, rel=0.012)
    assert found.held_in_marc.g_u == pytest.approx(marc, rel=0.012)
    assert found.unaccounted.g_u == pytest.approx(lost, rel=0.012)
    assert found.held_per_dry_g_ml_u == pytest.approx(held, rel=0.012)
    assert found.yield_u == pytest.approx(part, rel=0.012)
    assert found.strength_u == pytest.approx(strength, rel=0.012)


def test_every_further_plus_minus_agrees_with_a_monte_carlo() -> None:
    """The parts that a straining may be read of besides, worked by hand from each draw."""
    spread = {
        "mass": (58.07, 0.03),
        "moisture": (0.11, 0.02),
        "soluble": (0.18, 0.04),
        "volume": (326.66, 1.5),
        "strength": (0.45, 0.0015),
        "v": (0.62, 0.03),
    }
    steps = {
        "recovered": (250.0, 2.0),
        "marc": (113.6, 0.1),
        "dry_marc": (44.0, 0.1),
        "before": (2.1, 0.1),
        "after": (6.3, 0.1),
        "sediment": (4.0, 0.5),
        "sampled": (3.0, 0.5),
        "gross_charged": (812.0, 1.0),
        "gross_before": (808.0, 1.0),
        "residue_ml": (10.0, 0.2),
        "residue_g": (0.28, 0.01),
    }
    random = Random(21)
    draws = []
    for _ in range(100_000):
        drawn = {name: random.gauss(*spec) for name, spec in spread.items()}
        for name, (value, step) in steps.items():
            drawn[name] = random.uniform(value - step / 2, value + step / 2)
        draws.append(_further_by_hand(drawn))
    read = {name: Measured(value, step) for name, (value, step) in steps.items()}
    found = balance(
        Readings(
            recovered_ml=read["recovered"],
            marc_g=read["marc"],
            dry_marc_g=read["dry_marc"],
            filter_before_g=read["before"],
            filter_after_g=read["after"],
            sediment_ml=read["sediment"],
            sampled_ml=read["sampled"],
            gross_charged_g=read["gross_charged"],
            gross_before_g=read["gross_before"],
            residue_ml=read["residue_ml"],
            residue_g=read["residue_g"],
        )
    )
    assert found.sediment
    assert found.sampled
    assert found.evaporated
    assert found.residue_g_ml
    assert found.undissolved_g
    told = (
        found.recovered.g_u, found.held_in_filter.ml_u, found.sediment.g_u, found.sampled.g_u,
        found.evaporated.g_u, found.held_in_marc.g_u, found.undissolved_g.u, found.residue_g_ml.u,
        found.unaccounted.g_u,
    )  # fmt: skip
    # As above: 0.22 % of the draws, and what first order leaves out.
    assert told == pytest.approx([stdev(one) for one in zip(*draws, strict=True)], rel=0.012)


def _further_by_hand(v: dict[str, float]) -> tuple[float, ...]:
    """Work the further parts from the equations alone, in the order in which they are told."""
    p = mass_fraction_of(v["strength"])
    ethanol = v["volume"] * v["strength"] * ETHANOL_DENSITY_KG_M3 / 1000
    dry = v["mass"] * (1 - v["moisture"])
    mixed = ethanol / p + v["mass"] * v["moisture"]
    dissolved = dry * v["soluble"]
    total = mixed + dissolved
    density = total / (mixed / density_kg_m3(ethanol / mixed) * 1000 + dissolved * v["v"])
    recovered, sampled = v["recovered"] * density, v["sampled"] * density
    sediment, kept = v["sediment"] * density, v["after"] - v["before"]
    gone = v["gross_charged"] - v["gross_before"] - sampled
    held = (v["marc"] - v["dry_marc"]) / (1 - dissolved / total)  # all that dried away of it
    solid = v["dry_marc"] - held * dissolved / total
    lost = total - recovered - held - kept - sediment - sampled - gone
    residue = v["residue_g"] / v["residue_ml"]
    return recovered, kept / density, sediment, sampled, gone, held, solid, residue, lost


def test_shared_doubt_partly_cancels() -> None:
    # What moisture adds to the liquor it takes from the dry marc: were they apart, u would be more.
    found = balance(FULL)
    apart = sqrt(
        found.liquor.g_u**2
        + found.recovered.g_u**2
        + found.held_in_marc.g_u**2
        + found.held_in_filter.g_u**2
    )
    assert found.unaccounted.g_u < 0.7 * apart


def test_without_doubt_in_there_is_none_out() -> None:
    sure = Readings(recovered_ml=Measured(258, 0), marc_g=Measured(113.6, 0))
    solids, pours = (Solid(58.07, 0.11, 0.18),), (Pour(326.66, 0.45),)
    found = strain_balance(
        solids, pours, sure, held_prior=[Held(1.6)], kept_prior=(6, 0), solids_ml_per_g_u=0
    )
    assert found.unaccounted.g_u == 0.0
    assert found.strength_u == 0.0


def test_a_spirit_of_full_strength_keeps_its_doubt() -> None:
    found = balance(FULL, pours=(Pour(300, 1.0, strength_u=0.01),))
    assert found.strength_u > 0.001


def test_an_estimate_and_a_cold_pour_carry_their_doubt_too() -> None:
    """One jar by hand: 300 mL of 50 % read at 10 °C on 40 g, nothing but the bottled volume read.

    Volume change 10 to 20 °C of 50 %: +0.78 % (NOTES of the reference between 40 and 60 %: 0.68 and
    0.86); so 302.3 mL at 20 °C.
    """
    solid, pour = Solid(40, 0.1, 0.2), Pour(300, 0.5, temperature_c=10.0)
    found = strain_balance(
        [solid],
        [pour],
        Readings(recovered_ml=Measured(240, 0)),
        held_prior=[Held(1.5, 0.3)],
        kept_prior=(6.0, 2.0),
        solids_ml_per_g_u=0.0,
    )
    assert found.yield_fraction == pytest.approx(240 / 302.3, abs=0.0015)
    # 36 dry grams at ±0.3 mL/g are ±10.8 mL, the filter ±2 mL; apart from each other: 10.98 mL.
    assert found.held_in_marc.ml_u == pytest.approx(10.8, rel=0.001)
    assert found.held_in_filter.ml_u == pytest.approx(2.0, rel=0.001)
    assert found.unaccounted.ml_u == pytest.approx(10.98, abs=0.01)


def _short_by(gap_in_u: float) -> str:
    """Return the verdict on a jar in which only the marc's weight is in doubt, by 1 g in all."""
    solid, pour = Solid(40, 0.0, 0.0), Pour(300, 0.0)
    water_g, marc_g = 299.4604, 40.0 + 60.0  # 300 mL of water at 0.9982012 g/mL; OIML R 22
    recovered_g = water_g - 60.0 - 4.0 - gap_in_u  # u of a 3.4641 g step is 1 g
    return (
        strain_balance(
            [solid],
            [pour],
            Readings(
                recovered_g=Measured(recovered_g, 0),
                marc_g=Measured(marc_g, 2 * sqrt(3)),
                filter_before_g=Measured(2, 0),
                filter_after_g=Measured(6, 0),
            ),
            held_prior=[Held(1.5, 0.3)],
            kept_prior=(6.0, 2.0),
            solids_ml_per_g_u=0.0,
        )
        .findings[0]
        .code
    )


@pytest.mark.parametrize(
    ("gap_in_u", "verdict"),
    [
        (1.9, "closes"),
        (2.1, "missing"),
        (-1.9, "closes"),
        (-2.1, "more_out_than_in"),
    ],
)
def test_two_standard_uncertainties_part_a_closed_balance_from_an_open_one(
    gap_in_u: float, verdict: str
) -> None:
    assert _short_by(gap_in_u) == verdict


@pytest.mark.parametrize(
    "solid",
    [Solid(0.02, 0.1, 0.2, mass_u_g=0.03), Solid(50, 0.97, 0.2, moisture_u=0.05)],
    ids=["lighter than the scale's step", "perhaps all water"],
)
def test_a_solid_that_may_have_no_dry_mass_still_balances(solid: Solid) -> None:
    found = balance(Readings(recovered_ml=Measured(300, 2)), (solid,))
    assert found.recovered.ml == pytest.approx(300)
    assert found.findings


def test_what_dissolved_solids_fill_is_in_doubt_too() -> None:
    # 150 mL of ethanol in V = 300 + 100 × 0.62 = 362 mL, whose ± is 100 g × 0.03 mL/g = 3 mL:
    # the strength's is 150 / 362² × 3 = 0.343 % vol, to first order.
    found = balance(
        Readings(recovered_ml=Measured(300, 0)), (Solid(100, 0.0, 1.0),), (Pour(300, 0.5),)
    )
    assert found.strength_u == pytest.approx(0.00343, rel=0.01)
