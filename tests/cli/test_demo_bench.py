"""Doses, droppers, trials and the formula of the demo shelf."""

from __future__ import annotations

import pytest

from steepboard.domain.dosing import Tool
from steepboard.services import bench, bottle_shelf, doses, droppers, formulas
from tests.cli.running import done
from tests.cli.test_demo import BANNED
from tests.shelves import MORNING, desk_at

pytestmark = pytest.mark.xdist_group("demo")


@pytest.fixture
def home(demo):
    return demo


@pytest.fixture
def desk(home):
    return desk_at(home.root)


def bottle_code(desk, stem):
    return next(one.code for one in bottle_shelf.bottles(desk) if one.code.startswith(f"{stem}-"))


def test_a_trial_is_open_and_three_are_ended_one_of_a_thinned_tincture(desk):
    (open_one,) = bench.views(desk, MORNING)
    assert open_one.next_step.startswith("Add a little more")
    ended = [one for one in bench.views(desk, MORNING, ended=True) if one.trial.ended]
    assert sorted(one.trial.thinned for one in ended) == [1.0, 1.0, 4.0]
    assert all(one.bracket.mark_ml_l and one.trial.steps[-2].remark for one in ended)
    assert all(one.findings == () for one in ended)


def test_its_formula_can_be_made_from_what_stands(desk):
    (one,) = formulas.formulas(desk)
    blend = formulas.from_formula(desk, one.name, 4500.0)
    assert len(blend.bottles) == 2
    assert blend.findings == ()


def test_eight_tenths_of_a_blend_are_drawn_and_the_rest_is_to_come(desk):
    blend = formulas.from_formula(desk, "Last train bitters", 1500.0)
    assert blend.scaled.reached == pytest.approx(0.8)
    assert blend.scaled.more(0.2) == pytest.approx(1.0)


def test_a_dose_brings_a_limited_substance_that_is_summed_for_the_drink(desk):
    (one,) = doses.for_bottle(desk, bottle_code(desk, "WAIT"))
    assert "quassin" in [limit.substance for limit in one.limits]


def test_its_doses_are_of_what_stands_and_its_droppers_are_calibrated(desk):
    assert {one.tool for one in droppers.droppers(desk)} == set(Tool)
    for one in doses.doses(desk):
        assert one.gives
        assert one.drink
    assert doses.for_bottle(desk, "JUNI-08-A")[0].drops.portion.name == "blue bulb"


def test_no_banned_plant_and_no_banned_amount_is_told(home):
    for words in (("dose",), ("dropper",), ("bench",), ("formula",), ("bench", "show", "BENCH-01"),
                  ("formula", "make", "last train bitters", "4.5L")):  # fmt: skip
        assert not BANNED.search(done(home.root, *words)), words
