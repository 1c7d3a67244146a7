"""Pouring liquids together, against balances worked by hand from published densities."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain.mixing import Liquid, content, density, mixed
from steepboard.domain.readings import Measured
from steepboard.errors import NothingWeighed, OutOfRange

# Worked by hand. Densities at 20 °C by mass percent, published: US Bureau of Standards, 45 %
# 0.92472, 50 % 0.91384, 54 % 0.90485 g/mL; ethanol 0.78924 (OIML R 22). A gram dissolved takes up
# 0.62 mL. Amounts invented.
#   A: 50 g of 54 % and 3 g dissolved: 50/0.90485 + 3 * 0.62 = 57.1178 mL; 27 g of ethanol are
#      34.2101 mL, strength 0.59894; 3/57.1178 = 0.052523 g/mL.
#   B: 40 g of 45 % and 1 g dissolved: 40/0.92472 + 0.62 = 43.8763 mL; 18 g of ethanol are
#      22.8068 mL, strength 0.51980; 1/43.8763 = 0.022791 g/mL.
#   Together 27 + 18 = 45 g of ethanol in 90 g, that is 50 %: 90/0.91384 + 4 * 0.62 = 100.9655 mL;
#      45 g are 57.0169 mL, strength 0.56472; 4/100.9655 = 0.039617 g/mL.
#   Intensity: (0.30 * 57.1178 + 0.20 * 43.8763) / 100.9655 = 0.25663.
A = Liquid(0.59894, 0.052523, 0.30, 0.002, 0.003, ((1, 1.0),))
B = Liquid(0.51980, 0.022791, 0.20, 0.004, 0.001, ((2, 1.0),))
A_ML, B_ML = 57.1178, 43.8763

liquids = st.builds(
    Liquid,
    st.floats(0.0, 0.9),
    st.floats(0.0, 0.1),
    st.floats(0.0, 3.0),
    shares=st.just(((1, 1.0),)),
)
volumes = st.floats(0.5, 1000.0)


def exactly(volume_ml):
    return Measured(volume_ml, 0.0)


def test_two_batches_make_what_their_grams_make():
    made, volume_ml = mixed([(A, exactly(A_ML)), (B, exactly(B_ML))])
    assert volume_ml == pytest.approx(100.9655, abs=0.01)  # the table's last digit, and OIML's
    assert made.strength == pytest.approx(0.56472, abs=5e-5)
    assert made.dissolved_g_ml == pytest.approx(0.039617, abs=5e-6)
    assert made.intensity == pytest.approx(0.25663, abs=5e-5)
    assert made.shares == (
        (1, pytest.approx(57.1178 / 100.9941)),
        (2, pytest.approx(43.8763 / 100.9941)),
    )


def test_the_doubts_of_two_batches_are_apart():
    made, _ = mixed([(A, exactly(A_ML)), (B, exactly(B_ML))])
    # by hand: 0.5656 * 0.002 = 0.001131 and 0.4344 * 0.004 = 0.001738, root sum 0.002073
    assert made.strength_u == pytest.approx(0.002073, abs=1e-6)
    # 0.5656 * 0.003 = 0.001697 and 0.4344 * 0.001 = 0.000434, root sum 0.001751
    assert made.dissolved_u_g_ml == pytest.approx(0.001751, abs=1e-6)


def test_the_doubt_of_one_batch_stays_when_its_bottles_are_poured_together():
    half = exactly(50)
    both, _ = mixed([(A, half), (A, half)])
    assert both.strength_u == pytest.approx(0.002)
    thinned, _ = mixed([(A, half), (Liquid(0.0), half)])
    again, _ = mixed([(thinned, half), (A, half)])
    assert again.strength_u == pytest.approx(0.75 * 0.002, rel=1e-6)


def test_an_unsure_volume_makes_the_strength_unsure():
    # 50 mL of A to ± 5 and 50 mL of water exactly: the strength is 0.299 and moves by
    # (0.599 - 0.299) * 5/100 = 0.015; A's own doubt brings 0.001.
    made, _ = mixed([(replace(A, dissolved_g_ml=0.0), Measured(50, 5 * 2 * 3**0.5)),
                     (Liquid(0.0), exactly(50))])  # fmt: skip
    assert made.strength_u == pytest.approx(hypot(0.0150, 0.001), abs=5e-4)


def test_density_is_that_of_what_is_in_it():
    # By hand: 41 g in 43.8763 mL are 0.93445 g/mL. That table and OIML R 22 differ by 0.00007.
    assert density(B)[0] == pytest.approx(0.93445, abs=7e-5)
    # From 45 to 50 % by mass the table falls by 0.01088 while the strength rises by
    # 0.50/0.78924*0.91384 - 0.45/0.78924*0.92472 = 0.05170: 0.2104 for each unit of it. Here it is
    # less than 0.4 % of strength, thus about 0.00084 g/mL, with 0.001 g/mL of solids displacing
    # 0.62 mL of 0.92472: 0.00043 more.
    plain = Liquid(0.5500, strength_u=0.004)
    assert density(plain)[1] == pytest.approx(0.00084, abs=5e-5)
    solids = Liquid(0.5500, dissolved_u_g_ml=0.001)
    assert density(solids)[1] == pytest.approx(0.00043, rel=0.25)


@given(st.lists(st.tuples(liquids, volumes), min_size=1, max_size=4))
def test_grams_neither_come_nor_go(parts):
    made, volume_ml = mixed([(liquid, exactly(ml)) for liquid, ml in parts])
    whole, each = content(made, volume_ml), [content(liquid, ml) for liquid, ml in parts]
    assert whole.ethanol_g == pytest.approx(sum(one.ethanol_g for one in each), rel=1e-7, abs=1e-7)
    assert whole.water_g == pytest.approx(sum(one.water_g for one in each), rel=1e-7, abs=1e-7)
    assert whole.dissolved_g == pytest.approx(sum(one.dissolved_g for one in each), abs=1e-7)
    assert made.intensity * volume_ml == pytest.approx(
        sum(liquid.intensity * ml for liquid, ml in parts), abs=1e-7
    )
    assert sum(share for _, share in made.shares) == pytest.approx(1.0)


@given(liquids, volumes)
def test_one_liquid_alone_stays_as_it_is(liquid, volume_ml):
    assert mixed([(liquid, exactly(volume_ml))]) == (liquid, volume_ml)


def test_what_is_no_liquid_is_refused():
    for strength, dissolved in ((1.1, 0.0), (-0.1, 0.0), (nan, 0.0), (0.4, -1.0), (0.4, nan)):
        with pytest.raises(OutOfRange):
            Liquid(strength, dissolved)
    with pytest.raises(NothingWeighed):
        mixed([(A, exactly(0))])
    with pytest.raises(OutOfRange):
        content(Liquid(0.4, 5.0), 10)
