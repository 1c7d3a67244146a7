"""What an open balance points at: one planted mistake each, on the design's worked jar."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from steepboard.domain.balance import Measured, Readings
from tests.domain.worked_jar import balance
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
