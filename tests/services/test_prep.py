"""The prep sheet: what to do in order, in amounts that scale and cylinder show."""

from __future__ import annotations

from dataclasses import replace

import pytest

from steepboard.services import plans, prep
from steepboard.services.plans import Further, Wish
from tests.shelves import MORNING, desk_at

WORKED = Wish(
    0.45, "caraway", want_ml=250, moisture=0.11, soluble=0.18, held_ml_per_g=1.6, kept_ml=6
)


def made(folder, wish, scale_step_g=0.1, volume_step_ml=2.0):
    desk = desk_at(folder)
    tools = replace(
        desk.settings.instruments, scale_step_g=scale_step_g, volume_step_ml=volume_step_ml
    )
    return plans.make(replace(desk.settings, instruments=tools), wish, desk.library)


def steps(planned):
    return prep.sheet(planned, MORNING.date()).steps


def position(found, words):
    return next(i for i, step in enumerate(found) if words in step)


def test_the_steps_come_in_the_order_of_the_work(tmp_path):
    found = steps(made(tmp_path, WORKED))
    order = [
        "empty jar",
        "Grind it",
        "weigh 58.1 g",
        "Pour 326 mL of 45 %",
        "under the liquid",
        "Weigh the closed jar",
        "Write the code",
        "Taste from Tuesday 3 March",
        "Strain on",
    ]
    places = [position(found, words) for words in order]
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("name", "typed", "told"),
    [
        ("neutral spirit", "45 %", "neutral spirit of 45 %"),
        ("Vodka, 45 %", "45 %", "Vodka, 45 %"),
        ("cellar rum 45 %", "5 %", "cellar rum 45 % of 5 %"),
        ("thin wash 2.5 %", "5 %", "thin wash 2.5 % of 5 %"),
        ("Rye, 100 Proof", "100 proof", "Rye, 100 Proof"),
    ],
)
def test_a_strength_is_said_once_where_the_name_has_it_and_else_after_it(
    tmp_path, name, typed, told
):
    planned = made(tmp_path, WORKED)
    (line,) = planned.order.spirits
    order = replace(planned.order, spirits=(replace(line, name=name, typed_strength=typed),))
    fetch = prep.sheet(replace(planned, order=order), MORNING.date()).fetch
    assert f"; {told}, 326 mL;" in fetch


def test_rounding_to_whole_grams_says_what_it_does(tmp_path):
    # 58.07 g and 326.66 mL, rounded to 58 g and 327 mL: 327/58 = 1:5.638. Each gram gives
    # 250 + 6 mL over 58.07 g in all, and a mL of spirit a mL: of 0.07 g 0.07 × (256/58.07 − 5.625)
    # = −0.09 mL are spared, and 0.34 mL more are poured: 0.43 mL.
    planned = made(tmp_path, WORKED, scale_step_g=1.0, volume_step_ml=1.0)
    assert planned.order.botanicals[0].typed == "58 g"
    assert planned.rounded.ratio == pytest.approx(327 / 58, abs=1e-6)
    assert planned.rounded.changes_ml == pytest.approx(0.43, abs=0.02)
    told = prep.rounding(planned)
    assert told == (
        "Rounding to 1 g and 1 mL changes the bottled volume by +0.4 mL, the ratio to 1:5.64."
    )


def test_spirit_and_water_are_measured_apart_and_told_by_mass_too(tmp_path):
    # The worked solvent of test_solvent.py: 500 mL of 55 % at 20 °C are 286.4 mL of 96 % (231.3 g)
    # and 229.1 mL of water (228.6 g); here in steps of 0.1 mL.
    wish = Wish(0.55, "caraway", have_g=100, ratio=5, made_from=0.96)
    planned = made(tmp_path, wish, volume_step_ml=0.1)
    spirit, water = planned.order.spirits
    assert (spirit.volume_ml, water.volume_ml) == pytest.approx((286.4, 229.1), abs=0.2)
    assert (spirit.strength, water.strength, water.name) == (0.96, 0.0, "water")
    found = steps(planned)
    grams = [float(part.split(" g")[0]) for part in prep.poured(planned.order).split("(")[1:]]
    assert grams == pytest.approx([231.3, 228.6], abs=0.2)
    assert "make 500 mL of 55.0 %" in found[position(found, "Mix the two")]


def test_the_room_s_temperature_stands_beside_what_is_measured_at_it(tmp_path):
    wish = Wish(0.55, "caraway", have_g=100, ratio=5, made_from=0.96, room_c=26.0)
    planned = made(tmp_path, wish)
    assert "both at 26 °C" in prep.poured(planned.order)
    assert {line.temperature_c for line in planned.order.spirits} == {26.0}


def test_each_botanical_of_a_compound_is_prepared_and_weighed(tmp_path):
    wish = Wish(0.55, "caraway", want_ml=250, parts=2, further=(Further("bitter orange peel", 1),))
    planned = made(tmp_path, wish)
    found = steps(planned)
    assert position(found, "of Caraway seed") < position(found, "of Bitter orange peel")
    heavy, light = (line.mass_g for line in planned.order.botanicals)
    assert heavy == pytest.approx(2 * light, abs=0.11)  # each to a tenth of a gram
    assert "Bitter orange peel, " in prep.sheet(planned, MORNING.date()).fetch
