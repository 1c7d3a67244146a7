"""What one straining says of the liquid that its solids held."""

from __future__ import annotations

from dataclasses import replace

import pytest

from steepboard.domain.holding import held_batches
from steepboard.domain.liquor import Pour, Solid, liquor
from steepboard.domain.planning import Held
from steepboard.domain.readings import Measured, Readings

# The worked jar of the design: 58.07 g at 11 % water and 18 % soluble, 326.66 mL of 45 %, so
# 338.70 mL of liquor at 0.95249 g/mL and 51.68 dry grams, which hold 1.6 mL each; 6 mL are kept.
SOLID = Solid(58.07, 0.11, 0.18)
POURS = [Pour(326.66, 0.45)]
MADE = liquor([SOLID], POURS)
USUAL = [Held(1.7, 0.35, per_dry=True)]
KEPT = (6.0, 3.0)
# 51.6823 dry grams, of which 82 % stay, and 82.69 mL at 0.95249.
MARC_G = 51.6823 * 0.82 + 82.6917 * 0.95249
MARC, BOTTLED = Measured(MARC_G, 1.0), Measured(250.0, 2.0)


def held(**read):
    return held_batches([SOLID], MADE, Readings(**read), USUAL, KEPT)


def test_the_weighed_marc_gives_what_the_worked_jar_holds():
    (batch,) = held(marc_g=MARC, recovered_ml=BOTTLED)
    assert batch.value == pytest.approx(1.6, abs=0.002)
    # Half a gram over the root of 3, in mL, over the dry grams.
    assert batch.u == pytest.approx(0.5 / 3**0.5 / 0.95249 / 51.6823, rel=1e-3)


def test_without_marc_what_did_not_come_out_teaches_with_a_wider_plus_minus():
    (batch,) = held(recovered_ml=BOTTLED)
    assert batch.value == pytest.approx((338.70 - 250.0 - 6.0) / 51.6823, abs=0.002)
    # 3 mL of the filter, 1 % of the liquor, and 1 mL over the root of 3.
    assert batch.u == pytest.approx((9.0 + 3.387**2 + 1 / 3) ** 0.5 / 51.6823, rel=1e-3)


def test_the_scale_the_filter_and_all_that_went_elsewhere_count():
    (batch,) = held(
        recovered_g=Measured(240.0 * 0.95249, 1.0),
        filter_before_g=Measured(2.0, 0.1),
        filter_after_g=Measured(2.0 + 4.0 * 0.95249, 0.1),
        sampled_ml=Measured(3.0, 1.0),
        sediment_ml=Measured(5.0, 1.0),
        gross_charged_g=Measured(900.0, 1.0),
        gross_before_g=Measured(900.0 - 7.0 * 0.95249, 1.0),
    )
    # 338.70 less 240, 4 in the filter, 5 of mud, and 7 lighter, 3 of them for tasting.
    assert batch.value == pytest.approx((338.70 - 240 - 4 - 5 - 7) / 51.6823, abs=0.002)


def test_what_drained_and_was_pressed_stands_in_until_something_is_bottled():
    (batch,) = held(drained_ml=Measured(200.0, 2.0), pressed_ml=Measured(56.0, 2.0))
    assert batch.value == pytest.approx((338.70 - 256.0) / 51.6823, abs=0.002)


def test_a_rinse_is_not_taken_for_what_was_in_the_jar():
    (batch,) = held(recovered_ml=Measured(330.0, 2.0), wash_ml=Measured(80.0, 2.0))
    assert batch.value == pytest.approx((338.70 + 80 - 330.0 - 6.0) / 51.6823, abs=0.002)


def test_what_came_back_of_a_rinse_counts_as_long_as_nothing_was_filtered():
    (batch,) = held(
        drained_ml=Measured(200.0, 2.0),
        pressed_ml=Measured(56.0, 2.0),
        wash_ml=Measured(80.0, 2.0),
        washed_out_ml=Measured(78.0, 2.0),
    )
    assert batch.value == pytest.approx((338.70 - 256.0 + 80.0 - 78.0) / 51.6823, abs=0.002)


def test_dried_marc_takes_the_place_of_the_guess_at_what_dissolved():
    # 42.38 g never dissolved; the held 82.69 mL leave their part of the dissolved solids behind.
    share = MADE.dissolved_g / MADE.mass_g
    dry_g = 51.6823 * 0.82 + share * 82.6917 * 0.95249
    guessed = replace(SOLID, soluble=0.30)
    read = Readings(marc_g=MARC, dry_marc_g=Measured(dry_g, 0.1))
    (batch,) = held_batches([SOLID], MADE, read, USUAL, KEPT)
    (other,) = held_batches([guessed], MADE, read, USUAL, KEPT)
    assert batch.value == pytest.approx(1.6, abs=0.002)
    assert other.value == pytest.approx(batch.value)


def test_what_does_not_add_up_teaches_little():
    sound = held(marc_g=MARC, recovered_ml=BOTTLED)[0]
    spilt = held(marc_g=MARC, recovered_ml=Measured(200.0, 2.0))[0]
    # 50 mL are missing, 2 % of 338.70 mL are allowed; the rest may be the marc's fault.
    assert spilt.u == pytest.approx((50.0 - 6.774) / 51.6823, rel=0.01)
    assert spilt.value == sound.value


def test_nothing_read_teaches_nothing():
    assert held() == ()


def test_fresh_material_counts_by_the_gram_as_charged():
    fresh = Solid(120.0, 0.85, 0.25, fresh=True)
    made = liquor([fresh], [Pour(600.0, 0.5)])
    (batch,) = held_batches(
        [fresh], made, Readings(marc_g=Measured(13.5 + 60 * made.density_g_ml, 1.0)),
        [Held(0.5, 0.18)], KEPT,
    )  # fmt: skip
    assert batch.value == pytest.approx(0.5)


def test_several_botanicals_share_what_is_unusual_as_unsure_as_they_are():
    # Two of 40 dry grams each, one twice as unsure: four fifths of the extra is its.
    two = [Solid(50.0, 0.2, 0.0), Solid(50.0, 0.2, 0.0)]
    usual = [Held(1.5, 0.2, per_dry=True), Held(2.0, 0.4, per_dry=True)]
    made = liquor(two, [Pour(800.0, 0.45)])
    marc = Measured(80.0 + (1.5 * 40 + 2.0 * 40 + 20.0) * made.density_g_ml, 0.1)
    first, second = held_batches(two, made, Readings(marc_g=marc), usual, KEPT)
    assert (first.value, second.value) == pytest.approx((1.5 + 4.0 / 40, 2.0 + 16.0 / 40))
    assert first.u == pytest.approx(0.4, rel=0.01)
    assert second.u == pytest.approx(0.2, rel=0.01)
