"""Plans of several botanicals, of solvents made on the spot, and with too little in hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from steepboard.domain.findings import Severity
from steepboard.domain.planning import Material, Terms, Tools, plan_for_yield, plan_from
from steepboard.errors import NoAnswer, OutOfRange, TooStrong

WORKED = Material(moisture=0.11, soluble=0.18, held_ml_per_g=1.6)  # the design's worked figures
SEED = Material(0.0, 0.0, held_ml_per_g=1.0, parts=2)  # simple figures, assumed for these tests
FLOWER = Material(0.0, 0.0, held_ml_per_g=2.0, parts=1)

materials = st.builds(
    Material,
    moisture=st.floats(0.0, 0.9),
    soluble=st.floats(0.0, 0.6),
    held_ml_per_g=st.floats(0.0, 2.0),
    held_u=st.floats(0.0, 0.5),
    fresh=st.booleans(),
    parts=st.floats(0.1, 10.0),
)
jars = st.lists(materials, min_size=1, max_size=4).map(tuple)


def test_two_botanicals_are_weighed_by_their_parts() -> None:
    # Each 3 g, 2 of seed and 1 of flower, hold 2 + 2 = 4 mL of the 15 poured at 1:5. 220 mL are
    # left of 20 such threes: 40 g of seed, 20 g of flower, 300 mL of spirit.
    plan = plan_for_yield(220, Terms(0.45, (SEED, FLOWER), 0.0, ratio=5))
    assert plan.masses_g == pytest.approx((40, 20))
    assert plan.botanical_g == pytest.approx(60)
    assert plan.solvent_ml == pytest.approx(300)


def test_doubts_of_what_botanicals_hold_err_together() -> None:
    # 40 g at ±0.3 and 20 g at ±0.6 mL/g: 12 + 12 mL, not the root of their squares.
    both = (replace(SEED, held_u=0.3), replace(FLOWER, held_u=0.6))
    plan = plan_for_yield(220, Terms(0.45, both, 0.0, ratio=5))
    assert plan.high_ml - plan.expected_ml == pytest.approx(1.2816 * 24)  # any normal table


@given(jars, st.floats(10, 2000), st.floats(0.2, 0.96), st.floats(3, 15), st.floats(0.5, 20))
def test_without_filter_and_tools_all_of_a_jar_scales_with_what_is_wanted(
    botanicals: tuple[Material, ...], want_ml: float, strength: float, ratio: float, times: float
) -> None:
    terms = Terms(strength, botanicals, 0.0, ratio=ratio)
    try:
        one, more = plan_for_yield(want_ml, terms), plan_for_yield(times * want_ml, terms)
    except NoAnswer:
        assume(False)
    for name in ("botanical_g", "solvent_ml", "liquor_ml", "expected_ml", "fill_ml", "high_ml"):
        assert getattr(more, name) == pytest.approx(times * getattr(one, name), rel=1e-6)
    assert more.true_strength == pytest.approx(one.true_strength)


@given(jars, st.floats(10, 2000), st.floats(0.0, 30), st.floats(0.01, 1.0), st.floats(3, 15))
def test_the_more_is_kept_or_held_the_more_must_be_weighed(
    botanicals: tuple[Material, ...], want_ml: float, kept_ml: float, more: float, ratio: float
) -> None:
    terms = Terms(0.45, botanicals, kept_ml, ratio=ratio)
    thirstier = tuple(replace(m, held_ml_per_g=m.held_ml_per_g + more) for m in botanicals)
    try:
        base = plan_for_yield(want_ml, terms)
        held = plan_for_yield(want_ml, replace(terms, materials=thirstier))
    except NoAnswer:
        assume(False)
    kept = plan_for_yield(want_ml, replace(terms, kept_ml=kept_ml + more))
    assert held.botanical_g > base.botanical_g
    assert kept.botanical_g > base.botanical_g


@given(st.floats(0.56, 0.97), st.floats(0.2, 0.55), st.floats(5, 35))
def test_a_solvent_made_on_the_spot_steeps_as_one_poured_ready(
    spirit: float, strength: float, room_c: float
) -> None:
    ready = Terms(strength, (WORKED,), 6.0)
    made = replace(ready, made_from=spirit, room_c=room_c)
    one, other = plan_for_yield(250, ready), plan_for_yield(250, made)
    assert other.botanical_g == pytest.approx(one.botanical_g)
    assert other.true_strength == pytest.approx(one.true_strength)
    assert other.solvent_ml == pytest.approx(one.solvent_ml)
    assert [pour.temperature_c for pour in other.pours] == [room_c, room_c]
    assert sum(pour.volume_ml for pour in made.pours(other.botanical_g)) != one.solvent_ml


def test_two_pours_bring_the_doubt_of_two_cylinders() -> None:
    # No water in the plant and nothing held: of two pours with ±0.6 mL each, √2 × 0.6 mL is left,
    # but that spirit and water fill 3 % less together than apart.
    dry = Material(0.0, 0.0, held_ml_per_g=0.0)
    tools = Tools(volume_u_ml=0.6)
    made = Terms(0.55, (dry,), 0.0, ratio=5, made_from=0.96, tools=tools)
    plan = plan_from(made, botanical_g=100)
    assert (plan.high_ml - plan.expected_ml) / 1.2816 == pytest.approx(0.6 * 2**0.5, rel=0.05)


def test_the_strong_spirit_in_hand_limits_what_can_be_made_of_it() -> None:
    # 96 % to 55 %: 286.4 mL of spirit make 500 mL (worked in test_solvent.py), at 1:5 for 100 g.
    made = Terms(0.55, (WORKED,), 6.0, ratio=5, made_from=0.96)
    plan = plan_from(made, spirit_ml=286.4)
    assert plan.binding == "spirit"
    assert plan.botanical_g == pytest.approx(100, abs=0.1)


@pytest.mark.parametrize(
    ("in_hand", "binding", "bottles"),
    # The design: 44.44 g at 45 % bottle 189.9 mL. 250 mL of spirit are those 44.44 g again.
    [
        ({"botanical_g": 44.44}, "botanical", "190 mL"),
        ({"spirit_ml": 250.0}, "spirit", "190 mL"),
        ({"botanical_g": 44.44, "spirit_ml": 100.0}, "spirit", "72 mL"),
        ({"botanical_g": 60, "spirit_ml": 350}, None, None),
    ],
)
def test_what_is_too_little_for_the_wanted_volume_is_named(
    in_hand: dict[str, float], binding: str | None, bottles: str | None
) -> None:
    plan = plan_for_yield(250, Terms(0.45, (WORKED,), 6.0), **in_hand)
    assert plan.botanical_g == pytest.approx(58.07, abs=0.006)
    assert plan.binding == binding
    short = [f for f in plan.findings if f.code.startswith("short_")]
    assert all(f.severity is Severity.STOP for f in short)
    if bottles:
        told = next(f.text for f in short if f.code == f"short_{binding}")
        assert f"about {bottles}" in told
    else:
        assert not short


def test_a_jar_too_small_for_the_wanted_volume_is_what_binds() -> None:
    plan = plan_for_yield(250, Terms(0.45, (WORKED,), 6.0, vessel_ml=350))
    assert plan.binding == "vessel"
    assert "vessel_small" in [f.code for f in plan.findings]


@pytest.mark.parametrize(
    ("terms", "fault"),
    [
        (lambda: Terms(0.55, (WORKED,), 6.0, made_from=0.40), TooStrong),
        (lambda: Terms(0.55, (WORKED,), 6.0, made_from=0.96, room_c=80), OutOfRange),
        (lambda: Terms(0.55, (), 6.0), OutOfRange),
        (lambda: Terms(0.55, (replace(WORKED, parts=0),), 6.0), OutOfRange),
    ],
    ids=["too weak a spirit", "too hot a room", "nothing to steep", "no parts"],
)
def test_what_no_jar_can_be_planned_with_is_refused(terms, fault: type[Exception]) -> None:
    with pytest.raises(fault):
        terms()
