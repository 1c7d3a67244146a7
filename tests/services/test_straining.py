"""What a straining is expected to give, what is doubted, and what is kept when one leaves."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.records import Measure
from steepboard.services import acts, material, straining, views
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
    ],
)
def test_a_reading_far_outside_is_asked_about_and_an_honest_one_is_not(
    tmp_path, measure, value, asked
):
    desk = desk_at(tmp_path)
    question = straining.doubt(desk, worked(desk), measure, value)
    assert question.endswith("Is it read right?") if asked else question == ""


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
