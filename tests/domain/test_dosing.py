"""Drops, dashes and house doses, against published counts and figures worked by hand."""

from __future__ import annotations

import csv
from math import hypot, nan
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.catalogue.droppers import usual_drops
from steepboard.domain.base import Base
from steepboard.domain.dosing import (
    REPEAT,
    Dropper,
    HouseDose,
    Portion,
    Tool,
    added,
    converted_ml,
    counted,
    counted_out,
    dose_findings,
    portion_of,
    usual_portion,
    weighed_out,
)
from steepboard.domain.mixing import Liquid, density
from steepboard.domain.readings import Measured
from steepboard.errors import OutOfRange

TABLE = Path(__file__).parents[1] / "reference" / "drops.csv"
FLUIDRACHM_ML = 3.6966911953  # US, exact: 231 cubic inches / 1024
DROPS = usual_drops(Tool.DROP)


def published(liquid, unit="fluidrachm"):
    """Return the published drops of a liquid to the mL."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        (row,) = (row for row in rows if (row["liquid"], row["unit"]) == (liquid, unit))
    size = {"mL": 1.0, "fluidrachm": FLUIDRACHM_ML}[unit]
    return float(row["drops"]) / float(row["amount"]) / size


def test_drops_are_counted_to_a_mark():
    # 87 drops to 2.0 mL: 2/87 = 0.022989 mL. The scale is good to 0.05 / sqrt(3) = 0.0289 mL,
    # 1.443 %; the mark is passed within half a drop / sqrt(3) of 87, 0.332 %; together 1.481 %.
    each_ml, u = counted_out(87, Measured(2.0, 0.1))
    assert each_ml == pytest.approx(0.022989, abs=1e-6)
    assert u == pytest.approx(0.01481, abs=1e-5)


def test_drops_are_weighed_at_the_density_of_the_liquid():
    # 50 drops of 45 % by mass, 0.92472 g/mL (US Bureau of Standards), weigh 1.06 g: 1.14629 mL,
    # 0.022926 mL each. The scale shows 0.01 g: 0.00289 g of 1.06 g, 0.272 %.
    liquid = Liquid(0.45 * 0.92472 / 0.78924)
    each_ml, u = weighed_out(50, Measured(1.06, 0.01), *density(liquid))
    assert each_ml == pytest.approx(0.022926, rel=2e-4)
    assert u == pytest.approx(0.00272, abs=2e-5)


def test_the_drop_of_water_is_that_of_the_pharmacopoeia():
    usual = usual_portion(Tool.DROP, 0.0, DROPS)
    assert usual.per_ml == pytest.approx(published("water", "mL"), rel=0.02)
    # 50 drops weigh 2.25 to 2.75 g, water 0.99820 g/mL (OIML R 22): 22.2 and 18.1 to the mL
    for mass_g, per_ml in ((2.25, 22.2), (2.75, 18.15)):
        each_ml, _ = weighed_out(50, Measured(mass_g, 0.01), *density(Liquid(0.0)))
        assert 1 / each_ml == pytest.approx(per_ml, abs=0.05)
        assert DROPS[0].least_per_ml <= round(1 / each_ml, 1) <= DROPS[0].most_per_ml


@pytest.mark.parametrize(("liquid", "strength"), [("alcohol", 0.949), ("diluted alcohol", 0.489)])
def test_strong_spirit_falls_in_as_many_drops_as_was_published(liquid, strength):
    """By a dropper that gives twenty of water, as the pharmacopoeia's does."""
    as_many = published(liquid) / published("water") * 20
    usual = next(one for one in reversed(DROPS) if one.strength <= strength)
    assert usual.least_per_ml <= as_many <= usual.most_per_ml
    assert usual_portion(Tool.DROP, strength, DROPS).per_ml == pytest.approx(as_many, rel=0.15)


def test_the_published_count_of_a_tincture_lies_within_the_usual_doubt():
    """By hand: 128 and 60 drops make 42.7 to the mL by a dropper that gives twenty of water."""
    as_many = published("tincture of digitalis") / published("water") * 20
    assert as_many == pytest.approx(42.67, abs=0.01)
    usual = usual_portion(Tool.DROP, 0.489, DROPS)
    assert abs(as_many - usual.per_ml) < 2 * usual.u * usual.per_ml


def test_no_drop_is_surer_for_not_being_calibrated():
    """A dropper counted without any doubt, by the same liquid, still differs from use to use."""
    own = Dropper("glass", Tool.DROP, 0.02, 0.0, 0.45, "50 drops")
    assert usual_portion(Tool.DROP, 0.45, DROPS).u > portion_of(own, 0.45, DROPS).u


def test_a_dropper_calibrated_with_water_is_reckoned_to_spirit():
    own = Dropper("glass", Tool.DROP, 1 / published("water"), 0.01, 0.0, "60 drops")
    spirit = portion_of(own, 0.949, DROPS)
    told = published("alcohol")
    assert abs(spirit.per_ml - told) < 2 * spirit.u * told
    assert "reckoned to 95 %" in spirit.source
    water = portion_of(own, 0.08, DROPS)
    assert water.each_ml == own.each_ml
    assert water.u == pytest.approx(hypot(0.01, REPEAT))


def test_between_two_strengths_drops_go_by_a_straight_line():
    # half way from 0 to 45 %: (18.1 + 45)/2 = 31.55 and (22.2 + 60)/2 = 41.1, middle 36.325
    # half the width 4.775, over sqrt(3) 2.757, 7.59 %; with 8.66 % from use to use 11.51 %
    usual = usual_portion(Tool.DROP, 0.225, DROPS)
    assert usual.per_ml == pytest.approx(36.325)
    assert usual.u == pytest.approx(0.1151, abs=1e-4)
    assert usual_portion(Tool.DROP, 0.96, DROPS).per_ml == usual_portion(
        Tool.DROP, 0.5, DROPS
    ).per_ml  # fmt: skip


def test_a_dash_holds_half_a_millilitre_to_one():
    dash = usual_portion(Tool.DASH, 0.45, usual_drops(Tool.DASH))
    assert 0.5 < dash.each_ml < 1.0
    assert dash.source.startswith("common practice")


def test_every_usual_figure_has_its_source():
    for tool in Tool:
        for one in usual_drops(tool):
            assert one.source.startswith(("published", "common practice"))
            assert 0 < one.least_per_ml <= one.most_per_ml


def test_a_dose_is_converted_for_a_weaker_batch():
    # 2 mL at 0.30 do what 2 * 0.30 / 0.24 = 2.5 mL do at 0.24
    dose = HouseDose("caraway sour", "Caraway", "plain syrup and 2 mL", 2.0, 0.30)
    assert converted_ml(dose, 0.24) == pytest.approx(2.5)


@given(st.floats(0.1, 20), st.floats(0.01, 3), st.floats(0.01, 3))
def test_a_converted_dose_brings_as_much_as_before(volume_ml, then, now):
    dose = HouseDose("any", "any", "", volume_ml, then)
    assert converted_ml(dose, now) * now == pytest.approx(volume_ml * then)
    back = HouseDose("any", "any", "", converted_ml(dose, now), now)
    assert converted_ml(back, then) == pytest.approx(volume_ml)


def test_a_dose_in_whole_drops_says_how_far_off_it_is():
    drop = Portion("nib", Tool.DROP, 0.025, 0.09, "")
    # 0.11 mL are 4.4 drops: 4, a tenth less (9.1 %); 0.04 mL are 1.6: 2, a quarter more
    near, far = counted(0.11, drop), counted(0.04, drop)
    assert (near.whole, far.whole, counted(0.001, drop).whole) == (4, 2, 1)
    assert far.off == pytest.approx(0.25)
    assert dose_findings(near) == ()
    assert "25 % more" in dose_findings(far)[0].text


def test_what_a_dose_adds_is_a_balance_of_masses():
    # Densities at 20 °C: 10 % by mass 0.98187, 12.5 % 0.97842 (Perry), 60 % 0.89113 (US Bureau of
    # Standards); ethanol 0.78924 (OIML R 22). 95 g of 10 % are 96.754 mL of 12.4407 % vol; 5 g of
    # 60 % are 5.6109 mL of 67.746 % vol, with 3 g, 3.8011 mL, of ethanol. Together 12.5 g in 100 g:
    # 102.2056 mL of 12.5/0.78924/102.2056 = 15.4962 % vol. A litre of it has 54.90 mL.
    dose = Liquid(0.6 * 0.89113 / 0.78924)
    made = added(dose, 5.6109, Base("drink", 96.754, 0.124407))
    assert made.ethanol_g == pytest.approx(3.0, abs=0.002)
    assert made.ethanol_ml == pytest.approx(3.8011, abs=0.001)
    assert made.drink_ml == pytest.approx(102.2056, abs=0.02)
    assert made.strength_after == pytest.approx(0.154962, abs=5e-5)
    assert made.ml_per_l == pytest.approx(54.90, abs=0.02)


@pytest.mark.parametrize("wrong", [0, -1, 10_001])
def test_no_drops_are_no_calibration(wrong):
    with pytest.raises(OutOfRange):
        counted_out(wrong, Measured(1.0, 0.1))
    with pytest.raises(OutOfRange):
        weighed_out(wrong, Measured(1.0, 0.1), 0.9)


@pytest.mark.parametrize("wrong", [0.0, -1.0, nan, 1e12])
def test_what_is_no_dose_is_refused(wrong):
    with pytest.raises(OutOfRange):
        counted(wrong, Portion("nib", Tool.DROP, 0.025, 0.09, ""))
    with pytest.raises(OutOfRange):
        converted_ml(HouseDose("any", "any", "", 2.0, 0.3), wrong)
    with pytest.raises(OutOfRange):
        Base("drink", wrong)
    with pytest.raises(OutOfRange):
        Base("drink", 90.0, sugar_g_l=wrong or -1.0)
