from __future__ import annotations

import pytest

from steepboard.domain.findings import Finding
from steepboard.domain.liquor import Pour, Solid, liquor
from steepboard.domain.plan_findings import jar_findings, yield_findings


def found(solid: Solid, strength: float, **keeps: float) -> dict[str, Finding]:
    """Return what 300 mL of one spirit on one botanical gives to think about, by code."""
    made = liquor([solid], [Pour(300, strength)])
    return {f.code: f for f in jar_findings([solid], made, 300, strength, **keeps)}


DRY = Solid(30, 0.0, 0.0)  # gives neither water nor solids, so the liquor stays as poured


def test_the_end_is_the_true_strength_with_all_that_dissolved() -> None:
    # 63 mL of ethanol in 300 mL of 21 %; 30 g dissolved take 18.6 mL: 63 / 318.6 = 19.8 %.
    syrup = found(Solid(30, 0.0, 1.0), 0.21)
    assert "19.8 %" in syrup["ends_weak"].text
    assert "ends_weak" not in found(DRY, 0.21)


@pytest.mark.parametrize(
    # Published: a wine bacterium bore 20 % vol (Gini and Vaughn 1962); the house may ask for more.
    ("strength", "keeps", "weak"),
    [(0.199, {}, True), (0.201, {}, False), (0.24, {"keeps": 0.25}, True)],
)
def test_a_liquor_is_weak_under_what_keeps(
    strength: float, keeps: dict[str, float], weak: bool
) -> None:
    assert ("ends_weak" in found(DRY, strength, **keeps)) == weak


@pytest.mark.parametrize("fresh", [True, False])
def test_less_fresh_plant_is_advised_only_where_there_is_some(fresh: bool) -> None:
    text = found(Solid(60, 0.1, 0.2, fresh=fresh), 0.15)["ends_weak"].text
    assert ("fresh plant" in text) == fresh


@pytest.mark.parametrize(
    # Assumed: under six tenths of what was poured a plan wastes spirit.
    ("expected_ml", "code"),
    [(61, None), (59, "low_yield"), (0, "nothing_to_pour")],
)
def test_a_yield_is_low_under_six_tenths(expected_ml: float, code: str | None) -> None:
    assert [f.code for f in yield_findings(expected_ml, 100)] == ([code] if code else [])
