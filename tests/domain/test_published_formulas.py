"""Published formulas, rebuilt by our planner; each failure tells source and how it was obtained."""

from __future__ import annotations

from statistics import mean

import pytest

from steepboard.domain import alcohol
from steepboard.domain.liquor import Pour, Solid, liquor, true_from_apparent
from steepboard.domain.planning import Material, Terms, plan_from
from tests.domain.comparisons import Comparison, all_comparisons
from tests.domain.formulas import DAMPENED, IN_PARTS, LEFT_OUT, MADE_UP, MISSES, TABLE, TOLD
from tests.domain.published import rows

FOUND = all_comparisons()
WASH = {row["id"]: row for row in rows("wash")}


@pytest.mark.parametrize(
    "found",
    [found for found in FOUND if found.row_id not in MISSES],
    ids=lambda found: f"{found.row_id}, {found.what}",
)
def test_our_planner_rebuilds_the_published_formula(found: Comparison) -> None:
    assert found.holds, str(found)


@pytest.mark.parametrize("row_id", MISSES)
def test_a_formula_that_ours_misses_is_missed_by_little(row_id: str) -> None:
    # Should it be met one day, its line in MISSES is to go.
    (found,) = (found for found in FOUND if found.row_id == row_id)
    assert not found.holds, str(found)
    assert abs(found.difference) < 0.06, str(found)


def test_every_published_row_is_checked_or_left_out_for_a_reason() -> None:
    checked = {found.row_id.split()[0] for found in FOUND}
    assert checked >= {"STD12", "STD13", "STD14", *MADE_UP, *DAMPENED, *IN_PARTS}
    assert checked | LEFT_OUT.keys() == {i for i in TABLE if not i.startswith("BAR")}  # house rule
    assert not checked & LEFT_OUT.keys()
    assert len(LEFT_OUT) == 30
    assert len(MISSES) == 1


def test_at_least_a_dozen_volumes_and_end_strengths_are_compared() -> None:
    assert len([f for f in FOUND if f.what in ("product, mL", "end, % vol", "drug, g")]) >= 12
    assert len(TOLD) == 4


def test_what_drains_is_the_worked_example() -> None:
    # X01: 100 g in 500 mL hold 1.8 mL/g; a volume balance that leaves out what dissolves.
    terms = Terms(0.6, (Material(0.0, 0.0, held_ml_per_g=1.8),), kept_ml=0.0, ratio=5.0)
    plan = plan_from(terms, botanical_g=100)
    assert plan.expected_ml == pytest.approx(float(WASH["X01"]["value"])), WASH["X01"]["source"]


def test_fresh_peel_waters_the_spirit_down_as_the_volume_balance_says() -> None:
    # D02: 65.3 % by volumes that add; mixtures shrink, so the true strength is up to 3 % higher.
    row = WASH["D02"]
    made = liquor([Solid(500, 0.816, 0.0, fresh=True)], [Pour(900, 0.949)])
    told = f"{row['source']}, {row['obtained']}"
    assert float(row["low"]) <= made.true_strength * 100 <= float(row["high"]), told
    assert float(row["value"]) <= made.true_strength * 100 <= float(row["value"]) * 1.03, told


@pytest.mark.parametrize("residue_g_per_l", [8.0, 12.0])
def test_a_tincture_of_known_residue_has_the_published_specific_gravity(
    residue_g_per_l: float,
) -> None:
    # F14, USP 29, read in source: 200 g of dried root in 7 parts of alcohol and 3 of water; residue
    # 80 to 120 mg in 10 mL, specific gravity 0.90 to 0.95 (two decimals) at 25 °C, as is usual in
    # the USP. Root with a tenth of water: the class's figure.
    strength = alcohol.blend([(700, 0.949), (300, 0.0)]).strength
    made = liquor([Solid(200, 0.1, residue_g_per_l / 180)], [Pour(1000, strength)])
    swells = alcohol.volume_at_20_ml(1.0, made.solids_free_strength, 25.0)
    gravity = made.density_g_ml * swells / (alcohol.density_kg_m3(0.0, 25.0) / 1e3)
    assert 0.895 <= gravity < 0.955, TABLE["F14"]["note"]


@pytest.mark.parametrize("read", [0.40, 0.45, 0.50])
def test_solids_hide_what_the_gauging_rule_says_give_or_take_its_one_slope(read: float) -> None:
    # 27 CFR 30.32(b), read in source, for 80 to 100 proof: 0.5 g left of 100 mL is added to the
    # hydrometer's reading as 2 degrees of proof.
    assert _hidden_proof(read) == pytest.approx(2.0, abs=0.3)


def test_over_its_range_the_gauging_rule_is_met_within_its_rounding() -> None:
    # Its slope is told to one decimal, 0.4 proof for 0.1 g. Ours falls and crosses it: by OIML R 22
    # 1 kg/m³ is worth 0.62 % vol at 40 % and 0.45 at 60 %.
    hidden = [_hidden_proof(read) for read in (0.40, 0.45, 0.50)]
    assert round(mean(hidden) / 5, 1) == 0.4
    assert hidden[0] > 2.0 > hidden[2]


def _hidden_proof(read: float) -> float:
    """Return what 0.5 g of solids in 100 mL hide from a hydrometer that reads so, in US proof."""
    return 200 * (true_from_apparent(read, 20.0, 0.005) - read)
