"""What a reading should be once others are known, against what chance itself says."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from random import Random
from statistics import fmean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain.balance import Measured, Readings
from steepboard.domain.expecting import Z_80, Z_99, Charged, expectations, is_far
from steepboard.domain.liquor import Pour, Solid
from steepboard.domain.planning import Held

# 400 mL of water on 50 g that dissolve nothing: all densities are water's (0.9982012, OIML R 22).
PLAIN = Charged(
    (Solid(50, 0.0, 0.0),),
    (Pour(400, 0.0),),
    (Held(1.4, 0.3),),
    (Held(2.0, 0.4),),
    kept_ml=5.0,
    kept_u_ml=2.0,
    solids_ml_per_g=0.62,
)


def test_before_anything_is_read_it_is_what_is_usual() -> None:
    found = expectations(PLAIN, Readings())
    # By hand: 400 − 50 × 2.0 drain, ± 50 × 0.4 and 2 % of 400 mL lost: hypot(20, 8) = 21.54.
    assert found["drained_ml"].value == pytest.approx(300)
    assert found["drained_ml"].u == pytest.approx(21.54, abs=0.01)
    # Pressing brings 50 × (2.0 − 1.4), ± hypot(50 × 0.4, 50 × 0.3) = 25.
    assert found["pressed_ml"].value == pytest.approx(30)
    assert found["pressed_ml"].u == pytest.approx(25, abs=0.01)
    # 50 g and 70 mL in the marc.
    assert found["marc_g"].value == pytest.approx(50 + 70 * 0.9982012)


def test_what_drained_tells_what_pressing_brings_as_chance_itself_says() -> None:
    # 280 mL drained. Of jars drawn at random, those that drained so gave this much when pressed.
    random, pressed = Random(8), []
    while len(pressed) < 4000:
        dripping, held, lost = random.gauss(100, 20), random.gauss(70, 15), random.gauss(0, 8)
        if abs(400 - dripping - lost - 280) < 1.0:
            pressed.append(dripping - held)
    found = expectations(PLAIN, Readings(drained_ml=Measured(280, 2)))["pressed_ml"]
    assert found.value == pytest.approx(fmean(pressed), abs=1.0)
    assert found.u == pytest.approx(stdev(pressed), rel=0.05)


def test_a_reading_far_from_those_before_it_does_not_make_its_neighbours_far() -> None:
    # Where 340 mL drained, pressing brings −4 ± 17: 85 mL is far, though not from what is usual.
    read = Readings(drained_ml=Measured(340, 2), pressed_ml=Measured(85, 2))
    found = expectations(PLAIN, read)
    assert is_far(found["pressed_ml"], Measured(85, 2))
    # By hand: 400 − 70 − 5 = 325, and of 40 mL more than usual 64 / 464 were not lost.
    assert found["recovered_ml"].value == pytest.approx(325 + 40 * 64 / 464, abs=0.2)


def test_the_ends_are_those_of_a_normal_table() -> None:
    one = expectations(PLAIN, Readings())["pressed_ml"]
    assert one.between(Z_80)[0] == 0.0  # 30 − 1.28 × 25 is below nothing
    assert one.between(Z_99)[1] == pytest.approx(30 + 2.576 * 25, abs=0.1)
    assert not is_far(one, Measured(94, 2))
    assert is_far(one, Measured(96, 2))


def test_a_hydrometer_is_expected_to_show_what_it_does_at_its_temperature() -> None:
    # Published (temperature_checks.csv): what shows 50 % at 10 °C has 53.7 % vol.
    spirit = replace(PLAIN, solids=(), held=(), held_dripping=(), pours=(Pour(400, 0.537),))
    cold = expectations(spirit, Readings(hydrometer=Measured(0.50, 0.005, 10.0)))["hydrometer"]
    assert cold.value == pytest.approx(0.500, abs=0.001)
    assert expectations(spirit, Readings())["hydrometer"].value == pytest.approx(0.537, abs=1e-6)


numbers = st.none() | st.builds(Measured, st.floats(0.0, 600.0), st.floats(0.0, 5.0))
shares = st.none() | st.builds(Measured, st.floats(0.0, 1.0), st.floats(0.0, 0.02))
NAMES = [name for name in Readings.__dataclass_fields__ if not name.endswith("strength")]


@given(st.fixed_dictionaries(dict.fromkeys(NAMES, numbers) | {"hydrometer": shares}))
def test_whatever_was_read_something_is_expected(read: dict[str, Measured | None]) -> None:
    charged = replace(PLAIN, solids=(Solid(50, 0.1, 0.2, 0.02, 0.04, 0.03),))
    for one in expectations(charged, Readings(**read)).values():
        low, high = one.between(Z_99)
        assert 0.0 <= low <= high < inf
        assert one.u >= 0.0
