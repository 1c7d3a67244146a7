"""What pressing and rinsing would bring, worked by hand."""

from __future__ import annotations

import pytest

from steepboard.domain.offers import press_offers, rinse_offers
from steepboard.domain.planning import Held, Material, Terms, plan_from
from tests.domain.published import rows

GROUND_SEED = Material(0.0, 0.0, held_ml_per_g=1.7)  # mL/g left to drip: absorption.csv's prior
WASH = {row["id"]: row for row in rows("wash")}


def test_pressing_a_hard_seed_at_1_to_2_brings_what_it_no_longer_holds() -> None:
    # 100 g in 200 mL hold 170 and leave 30; wrung to 1.3 mL/g 70, pressed to 0.8 mL/g 120.
    terms = Terms(0.55, (GROUND_SEED,), 0.0, ratio=2)
    plan = plan_from(terms, botanical_g=100)
    assert plan.expected_ml == pytest.approx(30)
    offers = press_offers(plan, terms, {"by hand": [Held(1.3)], "hard": [Held(0.8)]})
    assert [offer.way for offer in offers] == ["by hand", "hard"]
    assert [offer.brings_ml for offer in offers] == pytest.approx([40, 90])
    assert all(offer.strength == pytest.approx(0.55) for offer in offers)


def test_pressing_is_not_offered_where_it_brings_nothing() -> None:
    terms = Terms(0.55, (GROUND_SEED,), 0.0, ratio=2)
    assert not press_offers(plan_from(terms, botanical_g=100), terms, {"harder": [Held(1.7)]})


def test_a_rinse_costs_what_the_washing_examples_say() -> None:
    # wash.csv: 100 g, 500 mL of 60 %, 1.8 mL/g. X12: rinsed with as much spirit as is held, the
    # pool is the start volume with 0.82 of the strength in flavour; X13: with water, 49.2 % of
    # alcohol where contraction is ignored, which is worth up to 1 %.
    terms = Terms(0.60, (Material(0.0, 0.0, held_ml_per_g=1.8),), 0.0, ratio=5)
    spirit, water = rinse_offers(plan_from(terms, botanical_g=100), terms)
    assert spirit.brings_ml == pytest.approx(180)
    assert spirit.strength == pytest.approx(0.60)
    assert spirit.intensity == pytest.approx(float(WASH["X12"]["value"]), abs=0.001)
    assert water.strength * 100 == pytest.approx(float(WASH["X13"]["value"]), abs=1.0)
    assert 165 < water.brings_ml < 180  # spirit and water fill less together than apart
    assert "180 mL of water" in water.text
    assert "instead of 60.0 %" in water.text


def test_solids_that_hold_everything_are_rinsed_with_all_the_liquid_there_is() -> None:
    thirsty = Terms(0.50, (Material(0.0, 0.0, held_ml_per_g=3.0),), 0.0, ratio=2)
    spirit, _ = rinse_offers(plan_from(thirsty, botanical_g=100), thirsty)
    assert "200 mL of the same spirit" in spirit.text
    assert spirit.brings_ml == pytest.approx(200)
    assert spirit.intensity == pytest.approx(0.5)


def test_nothing_held_is_nothing_to_rinse() -> None:
    terms = Terms(0.50, (Material(0.0, 0.0, held_ml_per_g=0.0),), 0.0, ratio=2)
    assert rinse_offers(plan_from(terms, botanical_g=100), terms) == ()
