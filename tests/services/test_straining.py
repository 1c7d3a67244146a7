"""What a straining is expected to give, what is doubted, and what is kept when one leaves."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from steepboard.domain.records import Instrument, Measure, Separation
from steepboard.errors import BadAmount, OutOfRange
from steepboard.services import acts, material, straining, views
from steepboard.services.typed_readings import read_typed
from tests.shelves import MORNING, desk_at, order, spirit

# The design's worked jar, 3.4: 58.07 g at 11 % water and 18 % soluble in 326.66 mL of 45 %, holding
# 1.6 mL per dry gram with 6 mL kept, makes 338.70 mL of liquor at 0.95249 g/mL and bottles 250 mL.
LIQUOR_ML, DENSITY, DRY_G, STAYS_G = 338.70, 0.95249, 58.07 * 0.89, 58.07 * 0.89 * 0.82


def worked(desk):
    line = material.weighed("caraway", 58.07, "58.07 g", moisture=0.11, soluble=0.18)
    pour = spirit(326.66, 0.45)
    asked = order(botanicals=(line,), spirits=(pour,), held_ml_per_g=1.6, kept_ml=6.0)
    return acts.charge(desk, asked, MORNING)


def read(desk, measure, value):
    return straining.reading(desk, measure, value, f"{value:g}", 0.1, MORNING)


def test_the_worked_jar_is_expected_to_give_what_the_design_says(tmp_path):
    desk = desk_at(tmp_path)
    jar = worked(desk)
    low, high = straining.expect(desk, jar, Measure.RECOVERED)
    assert (low + high) / 2 == pytest.approx(250.0, abs=0.05)
    low, high = straining.expect(desk, jar, Measure.DRAINED)
    assert (low + high) / 2 == pytest.approx(256.0, abs=0.05)
    low, high = straining.expect(desk, jar, Measure.MARC)
    assert (low + high) / 2 == pytest.approx(STAYS_G + 1.6 * DRY_G * DENSITY, abs=0.05)


def test_readings_that_follow_the_worked_jar_close_its_balance(tmp_path):
    desk = desk_at(tmp_path)
    jar = worked(desk)
    marc = STAYS_G + 1.6 * DRY_G * DENSITY
    readings = (
        read(desk, Measure.RECOVERED, 250.0),
        read(desk, Measure.MARC, marc),
        read(desk, Measure.FILTER_BEFORE, 2.0),
        read(desk, Measure.FILTER_AFTER, 2.0 + 6.0 * DENSITY),
    )
    found = straining.balance(desk, jar, readings)
    assert found.held_per_dry_g_ml == pytest.approx(1.6, abs=0.001)
    assert found.held_in_marc.ml == pytest.approx(1.6 * DRY_G, abs=0.05)
    assert found.held_in_filter.ml == pytest.approx(6.0, abs=0.01)
    assert found.unaccounted.ml == pytest.approx(0.0, abs=0.05)
    assert found.yield_fraction == pytest.approx(250 / 326.66, abs=1e-4)
    assert found.strength == pytest.approx(0.4340, abs=5e-5)
    assert found.findings[0].code == "closes"


def test_what_only_dripped_is_all_that_came_out_of_the_solids(tmp_path):
    # Of the 290 mL that dripped 282 were bottled: so 165 and 282 stand in each other's place.
    desk = desk_at(tmp_path)
    dripped = order("bitter orange peel", 50.0, separation=Separation.DRIP)
    jar = acts.charge(desk, replace(dripped, spirits=(spirit(400.0, 0.6),)), MORNING)
    values = {Measure.DRAINED: 290, Measure.RECOVERED: 165, Measure.MARC: 282}
    found = straining.balance(desk, jar, tuple(read(desk, m, v) for m, v in values.items()))
    assert "stand in each other's place" in found.findings[0].text


def test_nothing_recovered_is_no_balance_yet(tmp_path):
    desk = desk_at(tmp_path)
    jar = worked(desk)
    assert straining.balance(desk, jar, (read(desk, Measure.MARC, 110),)) is None


def test_a_reading_counts_no_finer_than_the_instrument_of_the_house(tmp_path):
    desk = desk_at(tmp_path)
    tools = desk.settings.instruments
    fine = straining.reading(desk, Measure.RECOVERED, 250.05, "250.05 ml", 0.01, MORNING)
    coarse = straining.reading(desk, Measure.RECOVERED, 236.6, "1 cup", 236.6, MORNING)
    weighed = straining.reading(desk, Measure.MARC, 85.0, "85 g", 1.0, MORNING)
    assert (fine.resolution, coarse.resolution) == (tools.volume_step_ml, 236.6)
    assert weighed.resolution == 1.0


@pytest.mark.parametrize(
    ("measure", "value", "asked"),
    [
        (Measure.RECOVERED, 250, False),
        (Measure.RECOVERED, 25, True),
        (Measure.MARC, 118, False),
        (Measure.MARC, 1180, True),
        (Measure.SAMPLED, 5, False),
        (Measure.HYDROMETER, 0.37, False),
        (Measure.HYDROMETER, 0.62, True),
    ],
)
def test_a_reading_far_outside_is_asked_about_and_an_honest_one_is_not(
    tmp_path, measure, value, asked
):
    desk = desk_at(tmp_path)
    question = straining.doubt(desk, worked(desk), read(desk, measure, value))
    assert question.endswith("Is it read right?") if asked else question == ""


def test_the_question_comes_at_the_ends_of_the_99_percent_interval(tmp_path):
    # Of the worked jar's marc only what is held is in doubt: 20 % of 1.6 mL in each of 51.68 g
    # (`GIVEN_U`), so 16.54 mL or 15.75 g; scale and pour add less than 1 %. 2.576 × that is 40.6 g.
    desk = desk_at(tmp_path)
    jar, marc = worked(desk), STAYS_G + 1.6 * DRY_G * DENSITY
    for off, asked in ((40.0, False), (41.6, True), (-40.0, False), (-41.6, True)):
        assert bool(straining.doubt(desk, jar, read(desk, Measure.MARC, marc + off))) is asked


def test_what_was_read_before_narrows_what_is_expected_next(tmp_path):
    # 260 mL bottled, 10 more than expected; ± 3 mL kept, 2 % of 338.70 mL lost, 4 mL of mud and
    # 1.5 mL in vessels: hypot(3, 6.77, 4, 1.5) = 8.55 mL, against ± 16.54 mL held (20 % of 82.7).
    # So 16.54² / (16.54² + 8.55²) = 0.789 of the 10 mL were not held, and ± 16.54 √0.211 = 7.6 mL.
    desk = desk_at(tmp_path)
    jar = worked(desk)
    wide = straining.likely(desk, jar)[Measure.MARC]
    known = (read(desk, Measure.RECOVERED, 260.0),)
    narrow = straining.likely(desk, jar, known)[Measure.MARC]
    assert narrow.value == pytest.approx(STAYS_G + (82.69 - 7.89) * DENSITY, abs=0.1)
    assert narrow.u == pytest.approx(7.6 * DENSITY, rel=0.02)
    assert wide.u == pytest.approx(16.54 * DENSITY, rel=0.02)


def test_a_reading_that_cannot_be_teaches_nothing_of_the_next(tmp_path):
    desk = desk_at(tmp_path)
    jar = worked(desk)
    wrong = (read(desk, Measure.MARC, 1211.0),)
    assert straining.expect(desk, jar, Measure.RECOVERED, wrong) == pytest.approx(
        straining.expect(desk, jar, Measure.RECOVERED)
    )


def test_nothing_is_expected_of_pressing_where_a_jar_only_drips(tmp_path):
    """Where something pressed was read all the same, it is judged as ever."""
    desk = desk_at(tmp_path)
    pressed = {Measure.PRESSED, Measure.PRESSED_MASS}
    jar = worked(desk)
    assert pressed <= set(straining.likely(desk, jar))
    dripping = replace(jar, charge=replace(jar.charge, separation=Separation.DRIP))
    assert not pressed & set(straining.likely(desk, dripping))
    assert Measure.DRAINED in straining.likely(desk, dripping)
    some = (read(desk, Measure.PRESSED, 20.0),)
    assert Measure.PRESSED in straining.likely(desk, dripping, some)


def test_further_readings_are_expected_once_what_they_hang_on_is_read(tmp_path):
    desk = desk_at(tmp_path)
    jar = worked(desk)
    alone = straining.likely(desk, jar)
    assert not {Measure.GROSS_BEFORE, Measure.RESIDUE, Measure.WASHED_OUT} & set(alone)
    found = straining.likely(
        desk,
        jar,
        (
            read(desk, Measure.GROSS_CHARGED, 812.0),
            read(desk, Measure.RESIDUE_VOLUME, 10.0),
            read(desk, Measure.WASH, 80.0),
        ),
    )
    assert found[Measure.GROSS_BEFORE].value == pytest.approx(812.0)
    # 58.07 × 0.89 × 0.18 = 9.303 g in 338.70 mL: 0.275 g in 10 mL.
    assert found[Measure.RESIDUE].value == pytest.approx(0.2747, abs=0.0005)
    assert found[Measure.WASHED_OUT].value == pytest.approx(80.0)


def test_a_reading_is_kept_with_the_instrument_it_was_taken_on(tmp_path):
    desk = desk_at(tmp_path)

    def kept(text, measure, otherwise=None):
        typed = read_typed(text, measure, otherwise)
        return straining.understood(desk, typed, MORNING)

    light, heavy = kept("121.13 g", Measure.MARC), kept("812.4 g", Measure.GROSS_CHARGED)
    assert (light.instrument, light.resolution) == (Instrument.FINE_SCALE, 0.1)
    assert (heavy.instrument, heavy.resolution) == (Instrument.KITCHEN_SCALE, 1.0)
    named = kept("121.1 g on the kitchen scale", Measure.MARC)
    assert (named.instrument, named.resolution) == (Instrument.KITCHEN_SCALE, 1.0)
    assert named.typed == "121.1 g on the kitchen scale"
    either = kept("219 g", Measure.DRAINED, Measure.DRAINED_MASS)
    assert (either.measure, either.value) == (Measure.DRAINED_MASS, 219.0)
    shown = kept("37 % at 18 °C", Measure.HYDROMETER)
    assert (shown.value, shown.temperature_c, shown.resolution) == (0.37, 18.0, 0.01)


@pytest.mark.parametrize(
    ("text", "measure", "said"),
    [
        ("121 g on the cylinder", Measure.MARC, "kitchen scale or jeweller's scale is"),
        ("240 mL on the abacus", Measure.DRAINED, "cylinder is"),
        ("240 mL at 30 °C", Measure.DRAINED, "Only a hydrometer"),
        ("37 % at 88 °C", Measure.HYDROMETER, "40 °C"),
        ("0 mL", Measure.RECOVERED, "more than 0"),
    ],
)
def test_a_reading_that_makes_no_sense_is_refused_with_an_example(text, measure, said):
    with pytest.raises((BadAmount, OutOfRange), match=said):
        read_typed(text, measure)


def test_where_one_left_is_kept_until_the_jar_is_bottled(tmp_path):
    desk = desk_at(tmp_path)
    jar = worked(desk)
    assert straining.draft(desk, jar) is None
    straining.leave(desk, jar, "marc", {"marc": "11x g"})
    straining.leave(desk, jar, "filter", {"filter before": "2.1 g"})
    assert straining.draft(desk_at(tmp_path), jar) == ("filter", {"filter before": "2.1 g"})
    done = (read(desk, Measure.RECOVERED, 250.0),)
    acts.strain(desk, jar.code, done, MORNING + timedelta(days=14), bottled=True)
    assert straining.draft(desk, views.jar(desk, jar.code)) is None


def test_an_end_of_the_interval_never_looks_like_the_reading_outside_it():
    ends = (45.3, 134.8)
    assert straining.amount_between(Measure.PRESSED, ends) == "45 to 135 mL"
    assert straining.amount_between(Measure.PRESSED, ends, beside=45.0) == "45.3 to 134.8 mL"
