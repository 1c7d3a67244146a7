"""What an open balance points at: one planted mistake each, on the design's worked jar."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from steepboard.domain.balance import Measured, Readings
from tests.domain.worked_jar import POUR, SOLID, balance
from tests.tables.mistakes import shares, tally

# The worked jar strained by the stages: 338.70 mL of liquor at 0.95249 g/mL; 42.4 g stay solid and
# hold 1.6 × 51.68 = 82.7 mL, so the marc weighs 121.1 g and 256 mL come out; the filter takes 6.
STAGES = Readings(
    drained_ml=Measured(240, 2),
    pressed_ml=Measured(16, 2),
    marc_g=Measured(121.1, 0.1),
    filter_before_g=Measured(2.1, 0.1),
    filter_after_g=Measured(7.8, 0.1),
    recovered_ml=Measured(250, 2),
    recovered_g=Measured(238.1, 0.1),
)
BARE = replace(STAGES, drained_ml=None, pressed_ml=None, recovered_g=None)


def verdict(readings: Readings) -> str:
    return balance(readings).findings[0].text


def test_without_a_mistake_it_closes_and_accuses_nothing() -> None:
    assert [finding.code for finding in balance(STAGES).findings] == ["closes"]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        (
            {"marc_g": Measured(250, 0.1), "recovered_ml": Measured(121.1, 2)},
            "the wet marc and the recovered volume stand in each other's place",
        ),
        ({"marc_g": Measured(1211, 0.1)}, "121.1 g, not 1211 g"),
        ({"marc_g": Measured(211.1, 0.1)}, "two digits were turned round: 121.1 g, not 211.1 g"),
        ({"recovered_ml": Measured(25, 2)}, "its point had slipped: 250.0 mL, not 25 mL"),
    ],
)
def test_a_mistake_is_named_with_what_would_close_the_balance(
    changes: dict[str, Measured], said: str
) -> None:
    assert said in verdict(replace(BARE, **changes))


# Three times the worked jar: 1016.1 mL of liquor at 0.95249 g/mL. 127.1 g stay solid and hold
# 1.25 × 155.0 = 193.8 mL (184.6 g), so the marc weighs 311.7 g and 822.3 mL come out; the filter
# takes 6 mL (5.7 g), and 816.3 mL or 777.5 g are filtered.
LARGE = {
    "drained_ml": Measured(660, 2),
    "pressed_ml": Measured(162, 2),
    "filtered_ml": Measured(816, 2),
    "marc_g": Measured(311.7, 0.1),
    "filter_before_g": Measured(2.1, 0.1),
    "filter_after_g": Measured(7.8, 0.1),
}


@pytest.mark.parametrize(
    "others",
    [
        ("marc_g",),
        ("marc_g", "filter_before_g", "filter_after_g"),
        ("drained_ml", "pressed_ml", "marc_g", "filter_before_g", "filter_after_g"),
        ("filtered_ml", "marc_g"),
        tuple(LARGE),
    ],
)
def test_a_number_far_too_small_is_named_and_not_what_is_sane(others: tuple[str, ...]) -> None:
    # 8 typed for 777.5 g: a slipped point would make 80 g of it, and no other reading is so far off
    read = Readings(filtered_g=Measured(8, 0.1), **{name: LARGE[name] for name in others})
    solid, pour = replace(SOLID, mass_g=174.21), replace(POUR, volume_ml=979.98)
    said = balance(read, (solid,), (pour,)).findings[0].text
    told = re.search(r"wrong: the filtered mass: ([\d.]+) g would close it, not 8 g\.$", said)
    assert told, said
    assert float(told[1]) == pytest.approx(777.5, abs=5)  # the ± of the balance is 2.5 g


def test_two_readings_that_are_both_far_off_are_not_laid_on_a_third() -> None:
    # No single slip makes 8 g of 777.5 and 31 g of 311.7 at once.
    read = Readings(filtered_g=Measured(8, 0.1), marc_g=Measured(31, 0.1))
    read = replace(read, drained_ml=LARGE["drained_ml"], pressed_ml=LARGE["pressed_ml"])
    solid, pour = replace(SOLID, mass_g=174.21), replace(POUR, volume_ml=979.98)
    said = balance(read, (solid,), (pour,)).findings[0].text
    assert said.endswith("The readings do not tell which of these."), said


def test_a_dry_filter_is_not_said_to_have_weighed_nothing() -> None:
    # 6.5 g for 2.1 g, and 243 of 250 mL: the filter would have to be lighter than nothing.
    read = replace(BARE, filter_before_g=Measured(6.5, 0.1), recovered_ml=Measured(243, 2))
    assert "the dry filter, as if it was weighed wet; or else" in verdict(read)


def test_a_forgotten_bowl_is_weighed_from_what_is_too_much() -> None:
    # The marc of 121.1 g in a bowl of 299.2 g; the rest of the jar is sure to about 2 g.
    said = verdict(replace(BARE, marc_g=Measured(420.3, 0.1)))
    bowl = re.search(r"the wet marc, as if ([\d.]+) g of a bowl, jar or cloth", said)
    assert bowl
    assert float(bowl[1]) == pytest.approx(299.2, abs=4)


def test_what_scale_and_stages_agree_on_is_not_accused() -> None:
    # 238 typed for 250 mL: the stages make 250, the scale too.
    found = balance(replace(STAGES, recovered_g=None, recovered_ml=Measured(238, 2)))
    assert "the recovered volume, which looks like grams: 238 g are 249.9 mL" in (
        found.findings[0].text
    )


def test_what_may_as_well_be_spilt_is_not_called_a_mistake() -> None:
    text = verdict(replace(BARE, recovered_ml=Measured(231, 2)))
    assert "is missing" in text
    assert "ost likely wrong" not in text


def test_more_out_than_in_that_nothing_explains_says_that_it_cannot_tell() -> None:
    # 40 mL too much in two weights, none of which is far from usual.
    read = replace(BARE, marc_g=Measured(141.1, 0.1), recovered_ml=Measured(262, 2))
    text = verdict(read)
    assert "cannot tell" in text or "or else" in text
    assert "the wet marc" in text
    assert "the recovered volume" in text


def test_in_simulation_the_culprit_is_named_and_the_sound_are_left_alone() -> None:
    right, accused = shares(tally(100, seed=11))
    assert right >= 0.90
    assert accused <= 0.05
