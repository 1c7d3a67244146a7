from __future__ import annotations

from dataclasses import fields, replace
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain.balance import Balance, Measured, Readings, strain_shares
from steepboard.domain.liquor import Pour, Solid, liquor
from steepboard.domain.planning import Held
from steepboard.errors import NothingWeighed, OutOfRange
from tests.domain.worked_jar import FULL, HELD, KEPT, POUR, SOLID, balance


def codes(found: Balance) -> list[str]:
    return [finding.code for finding in found.findings]


def test_the_worked_jar_balances_by_hand() -> None:
    # By hand: dry 51.6823 g, undissolved 42.3795 g; liquor 322.60 g at 0.95249 g/mL.
    found = balance(FULL)
    assert found.liquor.g == pytest.approx(322.60, abs=0.02)
    assert found.held_in_marc.g == pytest.approx(113.6 - 42.3795, abs=0.001)
    assert found.held_in_marc.ml == pytest.approx((113.6 - 42.3795) / 0.95249, abs=0.001)
    assert found.held_in_filter.g == pytest.approx(4.2)
    assert found.recovered.ml == pytest.approx(258)
    assert found.unaccounted.g == pytest.approx(322.60 - 71.2205 - 4.2 - 258 * 0.95249, abs=0.02)
    assert found.yield_fraction == pytest.approx(258 / 326.66)
    assert found.held_per_dry_g_ml == pytest.approx(74.773 / 51.6823, abs=0.0001)
    assert found.strength * 100 == pytest.approx(43.40, abs=0.006)


def test_the_shares_of_the_worked_jar_by_hand() -> None:
    found = strain_shares([SOLID], [POUR], FULL, held_prior=[Held(*HELD)], kept_ml=KEPT[0])
    assert found.recovered_ml == pytest.approx(258)
    assert found.yield_fraction == pytest.approx(258 / 326.66)
    assert found.marc == pytest.approx(71.2205 / 322.60, abs=1e-4)
    assert found.filter == pytest.approx(4.2 / 322.60, abs=1e-5)
    lost_g = 322.60 - 71.2205 - 4.2 - 258 * 0.95249
    assert found.unaccounted == pytest.approx(lost_g / 322.60, abs=1e-4)
    assert found.held_per_dry_g_ml == pytest.approx(74.773 / 51.6823, abs=0.0001)


optional = st.none() | st.builds(Measured, st.floats(0.0, 400.0), st.floats(0.0, 5.0))
strength = st.none() | st.builds(Measured, st.floats(0.0, 1.0), st.floats(0.0, 0.05))
MASSES_AND_VOLUMES = {f.name for f in fields(Readings)} - {"hydrometer", "wash_strength"}
readings = st.builds(
    Readings,
    **dict.fromkeys(MASSES_AND_VOLUMES, optional)
    | {"recovered_ml": st.builds(Measured, st.floats(0.0, 400.0), st.floats(0.0, 5.0))}
    | {"hydrometer": strength, "wash_strength": strength},
)
share = st.floats(0.0, 1.0)
jars = st.lists(st.builds(Solid, st.floats(0.1, 200), share, share), min_size=1, max_size=3)
poured = st.lists(st.builds(Pour, st.floats(1.0, 500.0), share), min_size=1, max_size=3)


@given(jars, poured, readings)
def test_mass_in_is_mass_out_plus_losses(
    solids: list[Solid], pours: list[Pour], read: Readings
) -> None:
    found = balance(read, tuple(solids), tuple(pours))
    parts = (
        found.recovered,
        found.held_in_marc,
        found.held_in_filter,
        found.sediment,
        found.sampled,
        found.evaporated,
        found.unaccounted,
    )
    made_g, rinse_g = liquor(solids, pours).mass_g, found.rinse.g if found.rinse else 0.0
    assert sum(p.g for p in parts if p) == pytest.approx(made_g + rinse_g, abs=1e-6)
    assert sum(p.share for p in parts if p) == pytest.approx(1.0, abs=1e-6)
    assert found.findings


def test_a_balance_within_two_u_closes() -> None:
    found = balance(FULL)
    assert abs(found.unaccounted.g) <= 2 * found.unaccounted.g_u
    assert codes(found) == ["closes"]


def test_what_is_lost_beyond_doubt_is_missing_and_counted() -> None:
    found = balance(replace(FULL, recovered_ml=Measured(228, 2)))
    assert codes(found) == ["missing"]
    assert f"{found.unaccounted.ml:.1f} mL" in found.findings[0].text
    assert found.unaccounted.ml == pytest.approx(balance(FULL).unaccounted.ml + 30)


def test_more_out_than_in_says_what_each_reading_would_have_to_be() -> None:
    found = balance(replace(FULL, recovered_ml=Measured(290, 2)))
    assert found.findings[0].code == "more_out_than_in"
    text = found.findings[0].text
    over_ml, over_g = -found.unaccounted.ml, -found.unaccounted.g
    assert f"{290 - over_ml:.1f} mL would close it, not 290 mL" in text
    assert f"{113.6 - over_g:.1f} g would close it, not 113.6 g" in text
    corrected = replace(FULL, recovered_ml=Measured(290 - over_ml, 2))
    assert balance(corrected).unaccounted.g == pytest.approx(0, abs=1e-9)


def test_one_reading_is_enough_and_the_rest_is_estimated() -> None:
    found = balance(Readings(recovered_ml=Measured(250, 2)))
    assert codes(found) == ["only_estimated"]
    assert found.held_in_marc.estimated
    assert found.held_in_marc.ml == pytest.approx(1.6 * 51.6823)
    assert found.held_in_filter.estimated
    assert found.held_in_filter.ml == pytest.approx(6)
    assert not found.recovered.estimated
    assert found.unaccounted.ml_u > 0.3 * 51.68  # the prior's own ± is in it


def test_an_estimate_far_off_is_said_before_it_is_excused() -> None:
    assert codes(balance(Readings(recovered_ml=Measured(150, 2)))) == ["missing", "only_estimated"]


def test_a_filter_that_was_not_weighed_is_estimated_alone() -> None:
    found = balance(replace(FULL, filter_before_g=None))
    assert "filter_estimated" in codes(found)
    assert found.held_in_filter.estimated
    assert not found.held_in_marc.estimated


def test_fresh_solids_are_estimated_by_the_gram_as_charged() -> None:
    found = balance(
        Readings(recovered_ml=Measured(250, 2)), solids=(Solid(100, 0.85, 0.2, fresh=True),)
    )
    assert found.held_in_marc.ml == pytest.approx(1.6 * 100)
    assert found.held_per_dry_g_ml == pytest.approx(1.6 * 100 / 15)


def test_a_mass_alone_becomes_a_volume_by_the_liquors_density() -> None:
    found = balance(Readings(recovered_g=Measured(238.12, 0.1)))
    assert found.recovered.ml == pytest.approx(238.12 / 0.95249, abs=0.01)


def test_a_scale_and_a_measure_that_disagree_are_named() -> None:
    same = Readings(recovered_ml=Measured(250, 2), recovered_g=Measured(238.1, 0.1))
    assert "readings_disagree" not in codes(balance(same))
    apart = Readings(recovered_ml=Measured(250, 2), recovered_g=Measured(225.0, 0.1))
    found = balance(apart)
    assert "readings_disagree" in codes(found)
    assert found.recovered.g == 225.0


def test_what_drained_counts_until_the_end_is_read() -> None:
    found = balance(Readings(drained_ml=Measured(200, 5), pressed_ml=Measured(50, 5)))
    assert found.recovered.ml == pytest.approx(250)
    assert found.held_in_filter.g == 0.0
    assert "not_filtered" in codes(found)


def test_samples_are_not_counted_as_evaporated() -> None:
    read = replace(
        FULL,
        sampled_ml=Measured(10, 1),
        gross_charged_g=Measured(800, 1),
        gross_before_g=Measured(788, 1),
    )
    found = balance(read)
    assert found.sampled is not None
    assert found.evaporated is not None
    assert found.sampled.ml == pytest.approx(10)
    assert found.evaporated.g == pytest.approx(12 - 10 * 0.95249, abs=0.001)


def test_sediment_is_liquor_left_behind() -> None:
    found = balance(replace(FULL, sediment_ml=Measured(8, 1)))
    assert found.sediment is not None
    assert found.sediment.ml == pytest.approx(8)
    assert found.unaccounted.ml == pytest.approx(balance(FULL).unaccounted.ml - 8)


def test_parts_that_were_not_read_are_none() -> None:
    found = balance(FULL)
    assert (found.sediment, found.sampled, found.evaporated) == (None, None, None)


def test_solids_without_dry_mass_hold_nothing_per_dry_gram() -> None:
    found = balance(FULL, solids=(Solid(50, 1.0, 0.0),))
    assert found.held_per_dry_g_ml is None
    assert found.held_per_dry_g_ml_u is None


@pytest.mark.parametrize("nothing", [Readings(), Readings(marc_g=Measured(110, 1))])
def test_without_anything_recovered_there_is_no_balance(nothing: Readings) -> None:
    with pytest.raises(NothingWeighed, match="recovered"):
        balance(nothing)


@pytest.mark.parametrize(("value", "step"), [(-1, 1), (nan, 1), (1, -1), (1, nan)])
def test_a_reading_no_instrument_shows_is_refused(value: float, step: float) -> None:
    with pytest.raises(OutOfRange):
        Measured(value, step)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"filter_before_g": Measured(6.4, 0.1)}, "filter_too_light"),
        ({"marc_g": Measured(30, 0.1)}, "marc_too_light"),
        ({"gross_charged_g": Measured(800, 1), "gross_before_g": Measured(805, 1)}, "jar_grew"),
    ],
)
def test_a_reading_that_cannot_be_is_named(changes: dict[str, Measured], code: str) -> None:
    # Of 58.07 g at 11 % water and 18 % soluble 42.4 g cannot dissolve, so no marc weighs 30 g.
    assert code in codes(balance(replace(FULL, **changes)))


def test_a_jar_that_lost_less_than_its_sample_doubts_the_sample_too() -> None:
    # 10 mL of liquor at 0.952 g/mL is 9.5 g, but the jar lost 2 g.
    weights = {"gross_charged_g": Measured(800, 0.1), "gross_before_g": Measured(798, 0.1)}
    found = balance(replace(FULL, sampled_ml=Measured(10, 1), **weights))
    said = next(f.text for f in found.findings if f.code == "jar_grew")
    assert "the sample must be wrong" in said


@pytest.mark.parametrize(
    "changes",
    [
        # Each is below what can be by less than its own doubt: two steps of the scale at most.
        {"filter_before_g": Measured(6.4, 0.5), "filter_after_g": Measured(6.3, 0.5)},
        {"gross_charged_g": Measured(800, 1), "gross_before_g": Measured(800.5, 1)},
        {
            "sampled_ml": Measured(10, 5),
            "gross_charged_g": Measured(800, 1),
            "gross_before_g": Measured(792, 1),
        },
    ],
    ids=["filter", "jar", "sample"],
)
def test_a_reading_within_its_doubt_is_not_called_impossible(changes: dict[str, Measured]) -> None:
    assert not {"filter_too_light", "jar_grew"} & set(codes(balance(replace(FULL, **changes))))


def test_a_reading_that_could_not_be_so_wrong_is_not_accused() -> None:
    # 60 mL too much came out, but the filter weighs 6.3 g in all: it cannot be 57 g out.
    found = balance(replace(FULL, recovered_ml=Measured(330, 2)))
    assert found.findings[0].code == "more_out_than_in"
    assert "filter" not in found.findings[0].text


def test_losses_planted_in_a_jar_of_water_come_back_as_planted() -> None:
    # By hand, in a jar where all densities are water's: 400 mL (399.28 g at 0.9982012 g/mL) on 50 g
    # that dissolve nothing; 70 g stay in the marc, 5 g in the filter, 10 mL is sampled, 20 g
    # evaporates and 9.982 g (10 mL) is spilt: 399.28 − 70 − 5 − 9.982 − 20 − 9.982 = 284.316 g.
    found = balance(
        Readings(
            recovered_g=Measured(284.316, 0.001),
            marc_g=Measured(120, 0.001),
            filter_before_g=Measured(2, 0.001),
            filter_after_g=Measured(7, 0.001),
            sampled_ml=Measured(10, 0.001),
            gross_charged_g=Measured(900, 0.001),
            gross_before_g=Measured(900 - 20 - 9.982, 0.001),
        ),
        (Solid(50, 0.0, 0.0),),
        (Pour(400, 0.0),),
    )
    assert found.held_in_marc.g == pytest.approx(70)
    assert found.held_in_filter.g == pytest.approx(5)
    assert found.sampled is not None
    assert found.sampled.g == pytest.approx(9.982, abs=0.001)
    assert found.evaporated is not None
    assert found.evaporated.g == pytest.approx(20, abs=0.001)
    assert found.unaccounted.ml == pytest.approx(10, abs=0.003)
    assert codes(found) == ["missing"]
    assert "spilt" in found.findings[0].text


def test_until_it_is_filtered_the_filter_is_not_said_to_be_usual() -> None:
    found = balance(Readings(drained_ml=Measured(220, 2), marc_g=Measured(113.6, 0.1)))
    assert not found.held_in_filter.estimated
    assert "not_filtered" in codes(found)
    assert "filter_estimated" not in codes(found)


@pytest.mark.parametrize(
    ("recovered_ml", "said"),
    [(258, "is unaccounted for"), (262, "more came out than went in")],
)
def test_a_closed_balance_says_its_gap_without_a_minus(recovered_ml: float, said: str) -> None:
    found = balance(replace(FULL, recovered_ml=Measured(recovered_ml, 2)))
    assert found.findings[0].code == "closes"
    assert said in found.findings[0].text
    assert "-" not in found.findings[0].text
