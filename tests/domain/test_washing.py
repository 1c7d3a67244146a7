from __future__ import annotations

from collections.abc import Callable
from math import exp, inf, log, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain import alcohol
from steepboard.domain.liquor import Liquor, Pour, Solid, liquor
from steepboard.domain.washing import left_in_marc, rinse
from steepboard.errors import OutOfRange
from tests.domain.published import rows

TABLE = {row["id"]: row for row in rows("wash")}

# The worked examples: 100 g in 500 mL, of which 1.8 mL/g are held after draining, 0.8 pressed.
POURED_ML, DRAINED_HELD_ML, PRESSED_HELD_ML = 500.0, 180.0, 80.0


def share(held_ml: float, wash_ml: float, times: int) -> float:
    """Return the share of all flavour that stays: what is held, and of that what rinses leave."""
    return held_ml / POURED_ML * left_in_marc(held_ml, wash_ml, times)


WORKED: dict[str, Callable[[], float]] = {
    "X02": lambda: share(DRAINED_HELD_ML, 180, 0),
    "X03": lambda: share(DRAINED_HELD_ML, 180, 1),
    "X04": lambda: share(DRAINED_HELD_ML, 90, 2),
    "X05": lambda: share(DRAINED_HELD_ML, 60, 3),
    "X06": lambda: share(DRAINED_HELD_ML, 45, 4),
    "X07": lambda: share(DRAINED_HELD_ML, 180 / 100_000, 100_000),
    "X08": lambda: share(PRESSED_HELD_ML, 80, 0),
    "X09": lambda: share(PRESSED_HELD_ML, 80, 1),
    "X12": lambda: rinse(DRAINED_HELD_ML, 0.6, 320, 180, 0.6).intensity,
}
ELSEWHERE = {
    "X01": "what drains is the planner's sum: test_published_formulas.py",
    "X10": "a number of rinses that is no whole one: below",
    "X11": "rinsing in counter-current, which nobody does by hand: not offered",
    "X13": "a rinse with water, whose row ignores contraction: below",
}


def told(row_id: str) -> str:
    row = TABLE[row_id]
    return f"{row_id}, {row['item']}: {row['source']}, {row['obtained']}"


@pytest.mark.parametrize("row_id", WORKED)
def test_a_worked_example_is_met_to_its_last_digit(row_id: str) -> None:
    assert WORKED[row_id]() == pytest.approx(float(TABLE[row_id]["value"]), abs=6e-5), told(row_id)


def test_no_worked_example_is_left_out_unsaid() -> None:
    assert {i for i in TABLE if i.startswith("X")} == WORKED.keys() | ELSEWHERE.keys()


def test_five_rinses_of_90_ml_reach_a_twentieth_and_four_do_not() -> None:
    # X10: 4.869 rinses, rounded up; W06 gives the number by logarithms.
    n = log(0.36 / 0.05) / log(1 + 90 / 180)
    assert n == pytest.approx(float(TABLE["X10"]["value"]), abs=6e-4), told("X10")
    assert share(DRAINED_HELD_ML, 90, 5) < 0.05 < share(DRAINED_HELD_ML, 90, 4), told("W06")


def test_a_rinse_with_water_costs_the_strength_of_the_worked_example() -> None:
    # X13: 49.2 % by volumes that add. They shrink, by up to 3.5 %, so the true strength is higher.
    strength = rinse(180, 0.60, 320, 180, 0.0).pooled_strength * 100
    tabled = float(TABLE["X13"]["value"])
    assert tabled <= strength <= tabled * 1.035, told("X13")


@given(st.floats(1, 500), st.floats(0.01, 5), st.integers(1, 6))
def test_however_finely_it_is_split_rinsing_leaves_more_than_the_limit(
    held_ml: float, per_held: float, times: int
) -> None:
    # W04: endless small rinses of W mL in all leave exp(−W/h); fewer and larger ones leave more.
    total_ml, endless = held_ml * per_held, exp(-per_held)
    assert left_in_marc(held_ml, total_ml / times, times) > endless
    assert left_in_marc(held_ml, total_ml / 1e6, 10**6) == pytest.approx(endless, rel=1e-4)


@given(
    st.floats(1, 500),
    st.floats(0, 1),
    st.floats(0, 1000),
    st.floats(1, 500),
    st.floats(0, 1),
    st.integers(0, 4),
)
def test_step_by_step_no_mass_is_lost(
    held_ml: float, strength: float, recovered_ml: float, wash_ml: float, of: float, times: int
) -> None:
    # Rinse by rinse: mix, and let w/(h + w) of all the mix's mass run into the pool.
    def masses(ml: float, by_volume: float) -> tuple[float, float]:
        whole_g = alcohol.mass_g(ml, by_volume)
        return whole_g, whole_g * alcohol.mass_fraction_of(by_volume)

    pool_g, marc_g = masses(recovered_ml, strength), masses(held_ml, strength)
    runs_off = wash_ml / (held_ml + wash_ml)
    for _ in range(times):
        mix_g = [a + b for a, b in zip(marc_g, masses(wash_ml, of), strict=True)]
        pool_g = tuple(p + m * runs_off for p, m in zip(pool_g, mix_g, strict=True))
        marc_g = tuple(m * (1 - runs_off) for m in mix_g)
    if pool_g[0] <= 0:
        return
    found = rinse(held_ml, strength, recovered_ml, wash_ml, of, times)
    assert masses(found.pooled_ml, found.pooled_strength) == pytest.approx(pool_g, rel=1e-6)


@pytest.mark.parametrize("soluble", [0.18, 0.40])
@pytest.mark.parametrize(("of", "times"), [(0.0, 1), (0.45, 1), (0.96, 3)])
def test_dissolved_solids_move_the_pool_by_less_than_a_thousandth(
    soluble: float, of: float, times: int
) -> None:
    # The design's worked jar, as it is and with solids of 69 g/L; 80 mL held.
    first = liquor([Solid(58.07, 0.11, soluble)], [Pour(326.66, 0.45)])
    found = rinse(80, first.true_strength, first.volume_ml - 80, 80, of, times)
    kept = (first.volume_ml - 80 * found.left) / first.volume_ml
    rinsed_g = alcohol.mass_g(80 * times - 80 * (1 - found.left), of)
    mass_fraction = alcohol.mass_fraction_of(of)
    pool = Liquor(
        first.ethanol_g * kept + rinsed_g * mass_fraction,
        first.water_g * kept + rinsed_g * (1 - mass_fraction),
        first.dissolved_g * kept,
    )
    assert found.pooled_ml == pytest.approx(pool.volume_ml, rel=1e-3)
    assert found.pooled_strength == pytest.approx(pool.true_strength, abs=5e-4)


def test_a_seed_that_held_everything_gives_what_rinses_bring() -> None:
    found = rinse(100, 0.5, 0.0, 100, 0.5)
    assert (found.left, found.brought_ml, found.intensity) == (0.5, 50.0, pytest.approx(0.5))
    assert found.extra_ml == found.pooled_ml == pytest.approx(100)


@pytest.mark.parametrize("bad", [-1.0, nan, inf])
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("held liquid", lambda bad: left_in_marc(bad, 50, 1)),
        ("rinse", lambda bad: left_in_marc(50, bad, 1)),
        ("number of rinses", lambda bad: left_in_marc(50, 50, bad)),
        ("recovered volume", lambda bad: rinse(50, 0.5, bad, 50, 0.5)),
        ("strength", lambda bad: rinse(50, bad, 100, 50, 0.5)),
        ("strength", lambda bad: rinse(50, 0.5, 100, 50, bad)),
    ],
)
def test_a_rinse_that_nobody_can_make_is_refused_by_name(quantity: str, call, bad: float) -> None:
    with pytest.raises(OutOfRange) as caught:
        call(bad)
    assert caught.value.quantity == quantity
