"""What dried samples say of water and soluble part: jars made by hand give back what went in."""

from __future__ import annotations

import pytest

from steepboard.domain.drying import dryness
from steepboard.domain.liquor import Pour, Solid, liquor
from steepboard.domain.readings import Measured, Readings

# Invented: 50 g that truly hold 5 g of water and 9 g that dissolve, so 36 g that do not, in 300 mL
# of 45 %, of which the marc holds a fifth; believed are 12 % of water and 15 % soluble.
TRUE = Solid(50.0, 0.10, 0.20)
BELIEVED = Solid(50.0, 0.12, 0.15, moisture_u=0.012)
POURS = [Pour(300.0, 0.45)]
MADE = liquor([TRUE], POURS)
GUESS = liquor([BELIEVED], POURS)
DENSE = 9.0 / MADE.volume_ml  # g of solids in each mL
RESIDUE = {"residue_ml": Measured(10.0, 0.1), "residue_g": Measured(10.0 * DENSE, 0.001)}
DRIED = {
    "marc_g": Measured(36.0 + MADE.mass_g / 5, 0.1),
    "dry_marc_g": Measured(36.0 + 9.0 / 5, 0.1),
}


def test_a_dried_sample_of_the_liquid_tells_the_soluble_part():
    found = dryness(BELIEVED, GUESS, Readings(**RESIDUE))
    assert found.moisture is None
    # 9 g of what is believed to be 44 g of dry mass.
    assert found.soluble.value == pytest.approx(9.0 / 44.0, rel=0.005)
    # A milligram over the root of 12 in 0.27 g, a tenth of a mL over it in 10 mL, and in squares.
    shares = (0.001 / 12**0.5 / (10 * DENSE)) ** 2 + (0.1 / 12**0.5 / 10.0) ** 2
    assert found.soluble.u / found.soluble.value == pytest.approx(shares**0.5, rel=0.03)


def test_dried_marc_tells_it_by_what_is_missing_with_the_doubt_of_the_water():
    """The 37.8 g lack 6.2 g of 44 g, which four fifths of the liquor took with them: 7.75 g."""
    found = dryness(BELIEVED, GUESS, Readings(**DRIED))
    assert found.moisture is None
    assert found.soluble.value == pytest.approx(7.75 / 44.0, abs=0.001)
    assert found.soluble.u == pytest.approx(37.8 / 44.0 * 0.012 / 0.88 / 0.8, rel=0.05)


@pytest.mark.parametrize("believed", [0.05, 0.20, 0.60])
def test_dried_marc_tells_it_alike_whatever_was_believed_of_it(believed):
    """Where the water is known, all 9 g of 45 g are found: what dried in the marc is no less."""
    guess = Solid(50.0, 0.10, believed)
    found = dryness(guess, liquor([guess], POURS), Readings(**DRIED))
    assert found.soluble.value == pytest.approx(9.0 / 45.0, abs=1e-9)


def test_both_together_tell_the_water_as_well():
    found = dryness(BELIEVED, GUESS, Readings(**RESIDUE, **DRIED))
    assert found.moisture.value == pytest.approx(0.10, abs=0.01)
    assert found.soluble.value == pytest.approx(0.20, abs=0.005)
    assert found.soluble.u < 0.004


@pytest.mark.parametrize(
    "read",
    [
        {},
        {"residue_g": RESIDUE["residue_g"]},
        {"dry_marc_g": DRIED["dry_marc_g"]},
        {**RESIDUE, "wash_ml": Measured(50.0, 1.0)},
        {"residue_ml": Measured(10.0, 0.1), "residue_g": Measured(17.0, 0.1)},
        {"marc_g": Measured(30.0, 0.1), "dry_marc_g": Measured(40.0, 0.1)},
        {"marc_g": Measured(600.0, 0.1), "dry_marc_g": Measured(37.0, 0.1)},
    ],
)
def test_what_cannot_tell_or_cannot_be_teaches_nothing(read):
    found = dryness(BELIEVED, GUESS, Readings(**read))
    assert (found.moisture, found.soluble) == (None, None)
