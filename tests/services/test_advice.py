"""What to change: one or two plain sentences."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from steepboard.services.advice import what_to_change
from steepboard.services.losses import Group

# Invented: five strainings of 300 mL each that close and fell where they were expected.
QUIET = Group("Caraway seed", 5, 1500.0, 1250.0, 0.83, 0.14, 0.02, 0.01, 1.3, 1240.0, 4)


def test_without_strainings_nothing_is_said():
    assert what_to_change(()) == ()


def test_the_marc_that_holds_most_in_all_is_named():
    small = replace(QUIET, name="Lavender", poured_ml=150.0, marc_share=0.30)
    (said,) = what_to_change((small, QUIET))
    assert "marc (Caraway seed, 14 %" in said
    assert "press it harder" in said


def test_a_marc_never_weighed_is_to_be_weighed_first():
    (said,) = what_to_change((replace(QUIET, held_per_dry_g_ml=None),))
    assert "weigh it once" in said


def test_a_filter_that_takes_more_than_the_marc_is_named():
    (said,) = what_to_change((replace(QUIET, filter_share=0.2),))
    assert said.startswith("Most is lost in the filter (Caraway seed, 20 %")


@pytest.mark.parametrize(
    ("share", "count", "words"),
    [
        (0.06, 5, "Much goes nobody knows where (Caraway seed, 6 %)"),
        (-0.06, 5, "More came out than went in (Caraway seed, 6 %)"),
        (0.06, 4, None),
        (0.03, 5, None),
    ],
)
def test_what_does_not_close_is_told_once_it_is_a_habit(share, count, words):
    said = what_to_change((replace(QUIET, unaccounted_share=share, count=count),))
    assert (len(said) == 2 and said[1].startswith(words)) if words else len(said) == 1


@pytest.mark.parametrize(("bottled_ml", "side"), [(1100.0, "less"), (1400.0, "more")])
def test_expectations_that_rarely_hold_are_told_with_their_side(bottled_ml, side):
    said = what_to_change((replace(QUIET, recovered_ml=bottled_ml, as_expected=2),))
    assert said[1].startswith(f"Only 2 of 5 bottled as expected, mostly {side}")


def test_marc_that_was_rinsed_already_is_not_to_be_rinsed_for_the_first_time():
    """Where each jar of a group was rinsed, the advice is to press, not to rinse."""
    rinsed = SimpleNamespace(rinse_ml=60.0)
    (said,) = what_to_change((replace(QUIET, members=(rinsed, rinsed)),))
    assert "it was rinsed already, so press it harder" in said
    (said,) = what_to_change((replace(QUIET, members=(rinsed, SimpleNamespace(rinse_ml=0.0))),))
    assert "or rinse it" in said
