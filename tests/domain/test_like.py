"""Plans that match the intensity of a past jar."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from steepboard.domain.planning import Material, Terms, plan_for_intensity, plan_from_intensity
from steepboard.domain.ratio import intensity
from steepboard.errors import NoAnswer, OutOfRange

WORKED = Material(moisture=0.11, soluble=0.18, held_ml_per_g=1.6)  # the design's worked figures
# The design's worked jar: 58.07 g to 250 mL at 45 %, where the house rule says 5.625.
THEN = 58.07 / 250 * 5.625 / 5


def test_the_same_wish_gives_the_worked_jar_again() -> None:
    plan = plan_for_intensity(250, THEN, Terms(0.45, (WORKED,), 6.0))
    assert plan.botanical_g == pytest.approx(58.07)
    assert plan.ratio == pytest.approx(5.625, abs=0.001)
    assert plan.solvent_ml == pytest.approx(326.66, abs=0.05)


def test_stronger_spirit_takes_less_as_worked_by_hand() -> None:
    # 55 %: the rule says 6.875, so 58.07 × 5.625/6.875 = 47.51 g.
    plan = plan_for_intensity(250, THEN, Terms(0.55, (WORKED,), 6.0))
    assert plan.botanical_g == pytest.approx(47.51, abs=0.01)
    assert plan.expected_ml == pytest.approx(250)


def test_twice_as_much_is_twice_the_grams_but_one_filter() -> None:
    once = plan_for_intensity(250, THEN, Terms(0.45, (WORKED,), 6.0))
    twice = plan_for_intensity(500, THEN, Terms(0.45, (WORKED,), 6.0))
    assert twice.botanical_g == pytest.approx(2 * once.botanical_g)
    # One filter keeps 6 mL of both: what is poured is 6 mL short of twice as much, give or take
    # what spirit and the plant's water shrink.
    assert 2 * once.solvent_ml - twice.solvent_ml == pytest.approx(6, abs=0.1)


@given(
    st.floats(50, 2000),
    st.floats(0.02, 1.0),
    st.floats(0.2, 0.96),
    st.builds(
        Material,
        moisture=st.floats(0, 0.85),
        soluble=st.floats(0, 0.5),
        held_ml_per_g=st.floats(0, 3),
        fresh=st.booleans(),
    ),
)
def test_the_index_of_the_plan_is_the_one_to_match(
    want_ml: float, index: float, strength: float, material: Material
) -> None:
    try:
        plan = plan_for_intensity(want_ml, index, Terms(strength, (material,), 6.0))
    except NoAnswer:
        assume(False)
    assert plan.expected_ml == pytest.approx(want_ml, rel=1e-6)
    assert intensity(plan.botanical_g, plan.expected_ml, strength) == pytest.approx(index)


def test_juicy_plants_that_bring_more_than_is_wanted_have_no_ratio() -> None:
    # 1000 g with 800 g of water, of which 100 mL stay behind, bring 700 mL; 500 were wanted.
    juicy = Material(0.8, 0.0, held_ml_per_g=0.1, fresh=True)
    with pytest.raises(NoAnswer):
        plan_for_intensity(500, 2.0, Terms(0.40, (juicy,), 0.0))


@pytest.mark.parametrize(
    ("in_hand", "vessel_ml", "binding"),
    # The worked jar, from any one of its amounts: 58.07 g, 326.66 mL, or what its 367 mL of liquid
    # and solids fill to nine tenths, 407.8 mL.
    [
        ({"botanical_g": 58.07}, None, "botanical"),
        ({"spirit_ml": 326.66}, None, "spirit"),
        ({"botanical_g": 100, "spirit_ml": 326.66}, 2000, "spirit"),
        ({}, 407.75, "vessel"),
    ],
)
def test_what_there_is_gives_the_worked_jar_again(
    in_hand: dict[str, float], vessel_ml: float | None, binding: str
) -> None:
    plan = plan_from_intensity(THEN, Terms(0.45, (WORKED,), 6.0, vessel_ml=vessel_ml), **in_hand)
    assert plan.binding == binding
    assert plan.expected_ml == pytest.approx(250, abs=0.1)
    assert plan.botanical_g == pytest.approx(58.07, abs=0.03)
    assert intensity(plan.botanical_g, plan.expected_ml, 0.45) == pytest.approx(THEN)


def test_too_little_for_filter_and_vessel_has_no_plan() -> None:
    with pytest.raises(NoAnswer):
        plan_from_intensity(THEN, Terms(0.45, (WORKED,), 6.0), spirit_ml=5.0)


def test_an_index_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="intensity"):
        plan_for_intensity(500, 0.0, Terms(0.40, (WORKED,), 0.0))
