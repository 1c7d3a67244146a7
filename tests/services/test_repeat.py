"""A past jar made again: what the plan matches, and what it says of the difference."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from steepboard.domain.records import Measure, Separation
from steepboard.services import acts, plans, repeat, straining
from tests.shelves import MORNING, desk_at, order, spirit
from tests.tui.flows import strained_jar, worked_jar


def again(desk, jar, **changes):
    """Return the past jar, the wish for it with changes, the plan, and what is said."""
    found = repeat.past(desk, jar)
    wish = replace(repeat.wish_like(found), **changes)
    made = plans.make(desk.settings, wish, desk.library)
    return made, " ".join(repeat.changes(found, wish, made))


def test_the_worked_jar_comes_out_again_and_is_said_to_be_the_same(tmp_path):
    # The design's jar: 58.07 g, 326.66 mL of 45 %, 250 mL expected of it.
    desk = desk_at(tmp_path)
    made, told = again(desk, worked_jar(desk))
    assert made.plan.botanical_g == pytest.approx(58.07, abs=0.01)
    assert made.plan.solvent_ml == pytest.approx(326.66, abs=0.2)
    assert "As much as CARA-01 was expected to bottle: 250 mL." in told
    assert "The ratio stays at 1:5.63." in told
    assert "Intensity 0.26, as before." in told  # 58.07/250 × 5.625/5
    assert "A rule of thumb" in told


def test_twice_as_much_in_stronger_spirit_takes_what_the_house_rule_says(tmp_path):
    # 55 %: 58.07 × 5.625/6.875 = 47.51 g for 250 mL, 95.0 g for 500 mL; a fifth less, 18 %.
    desk = desk_at(tmp_path)
    made, told = again(desk, worked_jar(desk), want_ml=500.0, strength=0.55)
    assert made.plan.botanical_g == pytest.approx(95.0, abs=0.1)
    assert "2 times CARA-01" in told
    assert "55.0 % instead of 45.0 %: by the house rule 18 % less botanical" in told
    assert "as before" in told


def test_what_was_bottled_counts_not_what_was_expected(tmp_path):
    # 40 g and 240 mL bottled at 45 %: intensity 40/240 × 5.625/5 = 0.1875; so 80 g for 480 mL.
    desk = desk_at(tmp_path)
    jar = strained_jar(desk, 3, recovered_ml=240.0)
    made, told = again(desk, jar, want_ml=480.0)
    assert made.plan.botanical_g == pytest.approx(80, abs=0.1)
    assert "2 times CARA-01, which bottled 240 mL: now 480 mL." in told
    assert "Intensity 0.19, as before." in told


def test_today_s_wetter_plant_and_another_press_are_said(tmp_path):
    desk = desk_at(tmp_path)
    jar = worked_jar(desk, held_ml_per_g=None)
    line = replace(jar.charge.botanicals[0], moisture=0.16)
    made, told = again(desk, jar, lines=(line,), separation=Separation.PRESS)
    assert "holds 16.0 % of water instead of 11.0 %" in told
    assert "Straining: pressed hard, where it was pressed by hand." in told
    assert "so that what is bottled tastes as strong as then" in told
    assert made.order.separation is Separation.PRESS


def test_a_ratio_of_one_s_own_is_kept_and_the_other_intensity_told(tmp_path):
    desk = desk_at(tmp_path)
    made, told = again(desk, worked_jar(desk), ratio=8.0)
    assert made.plan.ratio == 8.0
    assert "where CARA-01 has 0.26" in told
    assert "tastes as strong as then" not in told


def test_what_there_is_of_the_plant_sets_how_much_can_be_made_again(tmp_path):
    # 58.07 g bottle 250 mL, so 29.035 g of the same intensity 125 mL.
    desk = desk_at(tmp_path)
    made, _ = again(desk, worked_jar(desk), want_ml=None, have_g=29.035)
    assert made.plan.expected_ml == pytest.approx(125, abs=0.1)


def test_what_there_is_of_spirit_sets_how_much_can_be_made_again(tmp_path):
    # The worked jar took 326.66 mL to bottle 250 mL.
    desk = desk_at(tmp_path)
    made, told = again(desk, worked_jar(desk), want_ml=None, spirit_ml=326.66)
    assert made.plan.expected_ml == pytest.approx(250, abs=0.1)
    assert made.plan.binding == "spirit"
    assert "as before" in told


def test_spirit_and_water_are_poured_again_as_spirit_and_water(tmp_path):
    desk = desk_at(tmp_path)
    pours = (spirit(172, 0.96), spirit(138, 0.0, "water"))
    jar = acts.charge(desk, order(spirits=pours), MORNING - timedelta(days=9))
    made, told = again(desk, jar)
    assert [line.strength for line in made.order.spirits] == [0.96, 0.0]
    assert made.order.spirits[1].name == "water"
    assert "The ratio stays" in told


def test_each_botanical_of_a_compound_keeps_its_part(tmp_path):
    desk = desk_at(tmp_path)
    lines = (*order().botanicals, *order("fennel", 20.0).botanicals)
    jar = acts.charge(desk, order(botanicals=lines), MORNING - timedelta(days=9))
    made, _ = again(desk, jar, want_ml=700.0)
    assert made.plan.masses_g[0] == pytest.approx(2 * made.plan.masses_g[1])
    assert [line.name for line in made.order.botanicals] == [line.name for line in lines]


def test_what_was_bottled_by_mass_counts_as_read(tmp_path):
    # 250 mL of the design's liquor weigh 250 x 0.95249 = 238.1 g.
    desk = desk_at(tmp_path)
    jar, later = worked_jar(desk), MORNING + timedelta(days=14)
    read = (straining.reading(desk, Measure.RECOVERED_MASS, 238.1, "238.1 g", 0.1, later),)
    jar = acts.strain(desk, jar.code, read, later, bottled=True)
    assert "As much as CARA-01 bottled: 250 mL." in again(desk, jar)[1]
