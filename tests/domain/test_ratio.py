from __future__ import annotations

from math import inf, nan

import pytest

from steepboard.domain.findings import Finding
from steepboard.domain.ratio import convert_dose, house_ratio, intensity, ratio_findings
from steepboard.errors import OutOfRange
from tests.domain.published import rows

BAR_RULE = [r for r in rows("ratios") if r["kind"] == "bar rule of thumb"]
LINE = [r for r in BAR_RULE if r["abv_low_pct"] == r["abv_high_pct"]]
MADE_TO_VOLUME = [
    r for r in rows("ratios") if r["product_ml"] and r["ratio_basis"].startswith("product")
]


def codes(found: tuple[Finding, ...]) -> list[str]:
    return [finding.code for finding in found]


@pytest.mark.parametrize("row", LINE, ids=lambda row: row["id"])
def test_the_house_rule_is_the_straight_line_of_bar_practice(row: dict[str, str]) -> None:
    assert house_ratio(float(row["abv_low_pct"]) / 100) == pytest.approx(float(row["ratio_n_low"]))


@pytest.mark.parametrize(("strength", "n"), [(0.0, 5.0), (0.30, 5.0), (0.81, 10.0), (0.96, 10.0)])
def test_outside_its_range_the_rule_holds_its_end_value(strength: float, n: float) -> None:
    assert house_ratio(strength) == n
    assert "strength_outside_rule" in codes(ratio_findings(n, strength))


@pytest.mark.parametrize("strength", [0.40, 0.55, 0.80])
def test_the_rules_own_ratio_gives_no_warning(strength: float) -> None:
    assert codes(ratio_findings(house_ratio(strength), strength)) == ["pharmacopoeia"]


def test_a_ratio_off_the_rule_is_named_strong_or_weak() -> None:
    assert "ratio_strong" in codes(ratio_findings(3.0, 0.45))
    assert "ratio_weak" in codes(ratio_findings(9.0, 0.45))


SEED, BITTER_WOOD, FRESH_ZEST = (2.0, 5.0), (10.0, 20.0), (2.0, 5.0)
FRESH_FRUIT = (1.0, 2.0)
"""Usual ratios of botanicals.csv: B039 caraway, B003 quassia, B068 lemon zest; raspberry. Common
practice."""


@pytest.mark.parametrize(
    ("n", "strength", "usual", "found"),
    [
        (2.0, 0.45, SEED, []),
        (1.9, 0.45, SEED, ["ratio_strong"]),
        (5.6, 0.45, SEED, []),  # the house rule's own ratio is never out of the usual
        (7.5, 0.45, SEED, ["ratio_weak"]),
        (5.6, 0.45, BITTER_WOOD, ["ratio_strong"]),
        (10.0, 0.45, BITTER_WOOD, []),
        (20.0, 0.45, BITTER_WOOD, []),
        (21.0, 0.45, BITTER_WOOD, ["ratio_weak"]),
        (2.0, 0.80, FRESH_ZEST, []),
        (2.0, 0.50, FRESH_FRUIT, []),
        (6.25, 0.50, FRESH_FRUIT, ["ratio_weak"]),  # the house rule's; far from 1:1 to 1:2
    ],
)
def test_a_ratio_is_judged_by_what_is_usual_for_the_material(
    n: float, strength: float, usual: tuple[float, float], found: list[str]
) -> None:
    assert codes(ratio_findings(n, strength, usual)) == [*found, "pharmacopoeia"]


@pytest.mark.parametrize(
    # Published: Ph. Eur. Extracts (0765), tinctures 1:5 and 1:10, liquid extracts 1:1; and the
    # tinctures of the USP, 1:10 for potent and 1:5 for other drugs.
    ("n", "place"),
    [
        (0.5, "stronger than a liquid extract, 1:1"),
        (1.0, "as strong as a liquid extract, 1:1"),
        (2.0, "between a liquid extract, 1:1, and a tincture of 1:5"),
        (5.0, "as strong as a tincture of 1:5"),
        (7.5, "between the two usual tinctures, 1:5 and 1:10"),
        (10.0, "as strong as a tincture of 1:10"),
        (20.0, "weaker than a tincture of 1:10"),
    ],
)
def test_a_plan_is_placed_among_the_pharmacopoeias(n: float, place: str) -> None:
    standing = ratio_findings(n, 0.6)[-1]
    assert standing.code == "pharmacopoeia"
    assert standing.text.endswith(f"{place}.")


@pytest.mark.parametrize("row", MADE_TO_VOLUME, ids=lambda row: row["id"])
def test_at_40_percent_intensity_is_the_inverse_of_a_published_ratio(row: dict[str, str]) -> None:
    # Published formulas that are made up to a volume; the printed ratio has two decimals.
    index = intensity(float(row["drug_total_g"]), float(row["product_ml"]), 0.40)
    assert 1 / index == pytest.approx(float(row["ratio_n_low"]), abs=0.006)


def test_the_rule_makes_both_its_ends_equally_intense() -> None:
    assert intensity(100, 500, 0.40) == pytest.approx(intensity(50, 500, 0.80))


def test_a_stronger_batch_needs_a_smaller_dose() -> None:
    assert convert_dose(3.0, 0.20, 0.30) == pytest.approx(2.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, nan, inf])
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("ratio", lambda bad: ratio_findings(bad, 0.5)),
        ("mass", lambda bad: intensity(bad, 100, 0.5)),
        ("recovered volume", lambda bad: intensity(10, bad, 0.5)),
        ("dose", lambda bad: convert_dose(bad, 1, 1)),
        ("new intensity", lambda bad: convert_dose(1, 1, bad)),
    ],
)
def test_what_is_not_above_zero_is_refused_by_name(quantity: str, call, bad: float) -> None:
    with pytest.raises(OutOfRange) as caught:
        call(bad)
    assert caught.value.quantity == quantity
