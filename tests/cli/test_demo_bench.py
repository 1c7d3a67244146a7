"""Doses, droppers, trials and the formula of the demo shelf."""

from __future__ import annotations

import pytest

from steepboard.cli.demo import build
from steepboard.domain.dosing import Tool
from steepboard.paths import Home
from steepboard.services import bench, doses, droppers, formulas
from tests.cli.running import done
from tests.cli.test_demo import BANNED
from tests.shelves import MORNING, VIENNA, desk_at


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    made = Home(tmp_path_factory.mktemp("demo"))
    build(made, MORNING, VIENNA)
    return made


@pytest.fixture
def desk(home):
    return desk_at(home.root)


def test_a_trial_is_open_and_two_are_ended(desk):
    (open_one,) = bench.views(desk, MORNING)
    assert open_one.next_step.startswith("Add a little more")
    ended = [one for one in bench.views(desk, MORNING, ended=True) if one.trial.ended]
    assert len(ended) == 2
    assert all(one.bracket.mark_ml_l and one.trial.steps[-2].remark for one in ended)
    assert all(one.findings == () for one in ended)


def test_its_formula_can_be_made_from_what_stands(desk):
    (one,) = formulas.formulas(desk)
    blend = formulas.from_formula(desk, one.name, 4500.0)
    assert len(blend.bottles) == 2
    assert blend.findings == ()


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
