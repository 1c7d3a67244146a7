"""What past strainings kept back, put together in several ways."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.records import Measure, Separation
from steepboard.services import acts, losses, straining
from steepboard.services.losses import By
from tests.shelves import MORNING, desk_at, order, spirit

DAY = timedelta(days=1)


def strain(desk, name, mass_g, bottled_ml, marc_g=None, separation=None, after=14):
    jar = acts.charge(desk, order(name, mass_g), MORNING)
    at = MORNING + after * DAY
    readings = [straining.reading(desk, Measure.RECOVERED, bottled_ml, f"{bottled_ml} ml", 1, at)]
    if marc_g:
        readings.append(straining.reading(desk, Measure.MARC, marc_g, f"{marc_g} g", 1, at))
    acts.strain(desk, jar.code, tuple(readings), at, separation=separation, bottled=True)
    return jar


def rinsed(desk):
    """Strain a jar of 300 mL whose marc is rinsed with 80 mL, which bring 78."""
    jar = acts.charge(desk, order("caraway", 40), MORNING)
    values = {Measure.RECOVERED: 330, Measure.MARC: 86, Measure.WASH: 80, Measure.WASHED_OUT: 78}
    read = (straining.reading(desk, m, v, f"{v}", 1, MORNING) for m, v in values.items())
    acts.strain(desk, jar.code, tuple(read), MORNING + 14 * DAY, bottled=True)


def test_an_empty_shelf_has_nothing_to_review(tmp_path):
    desk = desk_at(tmp_path)
    acts.charge(desk, order(), MORNING)
    assert losses.grouped(losses.strained(desk), By.BOTANICAL, desk) == ()


def test_strainings_are_put_together_by_botanical_with_the_largest_loss_first(tmp_path):
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 250, 86)
    strain(desk, "caraway", 40, 240)
    strain(desk, "chamomile", 40, 160, 150)
    chamomile, caraway = losses.grouped(losses.strained(desk), By.BOTANICAL, desk)
    assert (chamomile.name, caraway.name) == ("Chamomile", "Caraway seed")
    assert (caraway.count, caraway.poured_ml, caraway.recovered_ml) == (2, 600, 490)
    assert caraway.yield_fraction == pytest.approx((250 / 300 + 240 / 300) / 2)
    assert chamomile.marc_share > caraway.marc_share


def test_what_a_rinse_brought_is_poured_and_expected_as_well_as_bottled(tmp_path):
    """The sums add up: nothing is bottled that was not poured, nor compared with what was not."""
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 250, 86)
    (plain,) = losses.grouped(losses.strained(desk), By.BOTANICAL, desk)
    rinsed(desk)
    (both,) = losses.grouped(losses.strained(desk), By.BOTANICAL, desk)
    assert (both.poured_ml, both.recovered_ml) == (300 + 300 + 80, 250 + 330)
    assert both.yield_fraction == pytest.approx((250 / 300 + 330 / 380) / 2)
    assert both.expected_ml == pytest.approx(2 * plain.expected_ml + 78)


def test_what_solids_hold_is_averaged_only_over_marcs_that_were_weighed(tmp_path):
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 250)
    (unweighed,) = losses.grouped(losses.strained(desk), By.BOTANICAL, desk)
    assert unweighed.held_per_dry_g_ml is None
    strain(desk, "caraway", 40, 250, 86)
    (group,) = losses.grouped(losses.strained(desk), By.BOTANICAL, desk)
    # 86 g wet less the 32.0 g that stay solid of 40 g leaves 54 g in 36 dry grams: about 1.6 mL/g.
    assert group.held_per_dry_g_ml == pytest.approx(1.58, abs=0.05)


@pytest.mark.parametrize(
    ("by", "names"),
    [
        (By.SPIRIT, {"neutral spirit 45 %"}),
        (By.STRAINING, {"drip", "pressed hard"}),
        (By.MONTH, {"2026-03", "2026-04"}),
    ],
)
def test_other_ways_to_put_them_together(tmp_path, by, names):
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 230, separation=Separation.DRIP)
    strain(desk, "chamomile", 30, 230, separation=Separation.PRESS, after=40)
    assert {group.name for group in losses.grouped(losses.strained(desk), by, desk)} == names


def test_discarded_jars_and_undone_strainings_do_not_count(tmp_path):
    desk = desk_at(tmp_path)
    kept = strain(desk, "caraway", 40, 250)
    gone = acts.charge(desk, order(spirits=(spirit(200),)), MORNING)
    acts.discard(desk, gone.code, "dropped", MORNING)
    assert [one.jar.code for one in losses.strained(desk)] == [kept.code]
    acts.undo(desk, kept.code, MORNING + 15 * DAY)
    assert list(losses.strained(desk)) == []
