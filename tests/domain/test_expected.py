"""What each ± of material and tools brings to the interval, worked by hand.

All together are drawn in `test_plan_doubt`.
"""

from __future__ import annotations

import pytest

from steepboard.domain.liquor import Pour, liquor
from steepboard.domain.planning import Material, Terms, Tools, plan_from


@pytest.mark.parametrize(
    ("changes", "u_ml"),
    # Each alone, worked by hand from 100 g with 10 % water and a fifth of the 90 dry grams soluble,
    # k = 1 mL/g: moisture ±0.02 is 2 g of water for 2 dry grams, of which 0.4 g dissolve at
    # 0.62 mL/g: 2 − 0.248 + 2 = 3.75 mL (water in spirit shrinks by less than 0.2 mL);
    # soluble ±0.1 is 9 g at 0.62 mL/g = 5.58 mL; k ±0.3 is 27 mL.
    [
        ({"moisture_u": 0.02}, pytest.approx(3.75, abs=0.2)),
        ({"soluble_u": 0.1}, pytest.approx(5.58)),
        ({"held_u": 0.3}, pytest.approx(27.0)),
    ],
    ids=["moisture", "soluble part", "k"],
)  # fmt: skip
def test_each_doubt_of_the_material_counts(changes: dict[str, float], u_ml: object) -> None:
    material = Material(0.1, 0.2, held_ml_per_g=1.0, **changes)
    plan = plan_from(Terms(0.45, (material,), 0.0, ratio=5), botanical_g=100)
    bare = 18 * 0.03  # what 18 g of dissolved solids at ±0.03 mL/g bring to every plan
    half = (plan.high_ml - plan.low_ml) / 2 / 1.2816  # any normal table
    assert (half**2 - bare**2) ** 0.5 == u_ml


def test_each_doubt_of_the_tools_counts() -> None:
    # Nothing soluble, nothing held: a mL of cylinder is a mL, a gram of a dry solid is none, and a
    # per cent more ethanol at the same volume is none either (to a hundredth of a mL).
    dry = Material(0.0, 0.0, held_ml_per_g=0.0)
    plain = Terms(0.45, (dry,), 0.0, ratio=5)
    for tools, u_ml in ((Tools(volume_u_ml=0.6), 0.6), (Tools(mass_u_g=0.6), 0.0)):
        asked = Terms(0.45, (dry,), 0.0, ratio=5, tools=tools)
        plan = plan_from(asked, botanical_g=100)
        assert (plan.high_ml - plan.low_ml) / 2 == pytest.approx(1.2816 * u_ml)
    assert plan_from(plain, botanical_g=100).low_ml == pytest.approx(500)


def test_a_labels_doubt_counts_where_water_meets_the_spirit() -> None:
    # 100 g of water in 100 mL of spirit: how much the two shrink hangs on the strength.
    wet = Material(1.0, 0.0, held_ml_per_g=0.0)
    asked = Terms(0.9, (wet,), 0.0, ratio=1, tools=Tools(strength_u=0.003))
    plan = plan_from(asked, botanical_g=100)
    by_hand = [
        liquor([wet.solid(100)], [Pour(100, strength)]).volume_ml for strength in (0.903, 0.897)
    ]
    assert plan.high_ml - plan.expected_ml == pytest.approx(
        1.2816 * abs(by_hand[0] - by_hand[1]) / 2, rel=1e-3
    )
    assert plan.high_ml > plan.expected_ml
