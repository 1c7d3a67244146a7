"""Plans for named botanicals: what the house knows fills in what was not said."""

from __future__ import annotations

from dataclasses import replace

import pytest

from steepboard.domain.records import Separation, State
from steepboard.errors import NoAnswer
from steepboard.services import acts, plans
from steepboard.services.plans import Further, Wish
from tests.shelves import MORNING, desk_at


def test_the_worked_plan_of_the_design_comes_out_of_what_a_person_types(tmp_path):
    wish = Wish(
        0.45, want_ml=250, moisture=0.11, soluble=0.18, held_ml_per_g=1.6, kept_ml=6, ratio=None
    )
    plan = plans.make(desk_at(tmp_path).settings, wish).plan
    assert plan.botanical_g == pytest.approx(58.07, abs=0.005)
    assert plan.solvent_ml == pytest.approx(326.66, abs=0.005)
    assert plan.ratio == pytest.approx(5.625)
    assert plan.liquor_ml == pytest.approx(338.70, abs=0.005)
    assert plan.true_strength == pytest.approx(0.4340, abs=5e-5)
    assert plan.solids_free_strength == pytest.approx(0.4415, abs=5e-5)
    assert plan.apparent_strength == pytest.approx(0.3713, abs=5e-5)
    assert plan.low_ml < 250 < plan.high_ml


def test_a_named_botanical_brings_its_figures_with_their_sources(tmp_path):
    made = plans.make(desk_at(tmp_path).settings, Wish(0.45, "caraway", have_g=40))
    assert made.known["moisture"].source.startswith("published: USDA")
    assert made.known["moisture"].value == pytest.approx(0.0987, abs=0.005)  # USDA NDB 02005
    assert made.known["kept"].source == "house setting"
    assert made.plan.binding == "botanical"
    assert "NONPOT" in {caution.code for caution in made.cautions}
    assert made.preparation


def test_an_unknown_botanical_goes_by_its_class(tmp_path):
    desk = desk_at(tmp_path)
    root = plans.make(desk.settings, Wish(0.45, "station weed", have_g=40, material_class="root"))
    flower = plans.make(
        desk.settings, Wish(0.45, "station weed", have_g=40, material_class="flower")
    )
    # The priors of absorption.csv, pressed by hand: dried root cut 1.4, dried flower 3.0 mL/g.
    assert root.known["held"].value == pytest.approx(1.4)
    assert flower.known["held"].value == pytest.approx(3.0)
    assert flower.plan.expected_ml < root.plan.expected_ml


def test_pressing_harder_bottles_more(tmp_path):
    desk = desk_at(tmp_path)
    bottled = [
        plans.make(desk.settings, Wish(0.45, "caraway", have_g=40, separation=way)).plan.expected_ml
        for way in (Separation.DRIP, Separation.HAND, Separation.PRESS)
    ]
    assert bottled == sorted(bottled)
    assert len(set(bottled)) == 3


def test_a_plan_can_be_put_on_the_shelf_in_amounts_one_can_weigh(tmp_path):
    desk = desk_at(tmp_path)
    wish = Wish(0.45, want_ml=250, moisture=0.11, soluble=0.18, held_ml_per_g=1.6, kept_ml=6)
    jar = acts.plan(desk, plans.make(desk.settings, wish).order, MORNING)
    assert jar.state is State.PLANNED
    assert [line.mass_g for line in jar.charge.botanicals] == [58.1]
    assert [line.volume_ml for line in jar.charge.spirits] == [326.0]


def test_a_ratio_at_which_nothing_could_be_poured_has_no_plan(tmp_path):
    with pytest.raises(NoAnswer, match="hold"):
        plans.make(desk_at(tmp_path).settings, Wish(0.45, "chamomile", want_ml=250, ratio=1.0))


def test_a_plant_used_fresh_that_is_known_dried_goes_by_its_class_but_keeps_its_cautions(tmp_path):
    desk = desk_at(tmp_path)
    dried = plans.make(desk.settings, Wish(0.45, "liquorice", have_g=40))
    fresh = plans.make(desk.settings, Wish(0.45, "liquorice", have_g=40, fresh=True))
    assert fresh.known["moisture"].value > 0.5 > dried.known["moisture"].value
    assert (bool(dried.preparation), bool(fresh.preparation)) == (True, False)
    assert fresh.known["days"].source == "house setting"
    assert "GLYCYRR" in {caution.code for caution in fresh.cautions}
    codes = [caution.code for caution in fresh.cautions]
    assert len(codes) == len(set(codes))


def test_of_several_botanicals_each_preparation_says_whose_it_is(tmp_path):
    further = (Further("fennel", 1.0), Further("station weed", 1.0))
    made = plans.make(
        desk_at(tmp_path).settings, Wish(0.55, "caraway", want_ml=300, further=further)
    )
    caraway, fennel, weed = made.preparations
    assert made.preparation == f"Caraway seed: {caraway} Fennel seed: {fennel}"
    assert not weed


def test_the_strong_spirit_is_what_burns_however_far_it_is_let_down(tmp_path):
    desk = desk_at(tmp_path)
    made = plans.make(desk.settings, Wish(0.40, "caraway", have_g=40, made_from=0.96))
    (fire,) = (caution.title for caution in made.cautions if caution.code == "FLAM")
    assert "96 %" in fire
    assert not [f.text for f in made.plan.findings if "°C" in f.text]


def test_what_the_fine_scale_does_not_bear_is_planned_with_the_doubt_of_the_kitchen_scale(tmp_path):
    settings = desk_at(tmp_path).settings
    coarse = replace(settings.instruments, kitchen_scale_step_g=100.0)
    known = {"moisture": 0.11, "soluble": 0.18, "held_ml_per_g": 1.6, "kept_ml": 6.0}

    def width(mass_g, instruments):
        wish = Wish(0.45, have_g=mass_g, ratio=5.0, **known)
        plan = plans.make(replace(settings, instruments=instruments), wish).plan
        return plan.high_ml - plan.low_ml

    light_g, heavy_g = 0.5 * coarse.scale_most_g, 2.0 * coarse.scale_most_g
    assert width(light_g, coarse) == pytest.approx(width(light_g, settings.instruments))
    assert width(heavy_g, coarse) > 1.002 * width(heavy_g, settings.instruments)
