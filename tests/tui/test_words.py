"""Figures, days and states in words."""

from __future__ import annotations

from datetime import date

import pytest

from steepboard.services import acts
from steepboard.tui import words
from tests.shelves import MORNING, VIENNA, desk_at, order
from tests.tui.shelf_data import DAY

TODAY = date(2026, 3, 2)


@pytest.mark.parametrize(("fraction", "text"), [(0.45, "45 %"), (0.4415, "44.1 %"), (1.0, "100 %")])
def test_strengths_stand_in_per_cent(fraction, text):
    assert words.percent(fraction) == text


@pytest.mark.parametrize(
    ("ahead", "text"),
    [(0, "today"), (1, "tomorrow"), (9, "in 9 days"), (-1, "1 day late"), (-3, "3 days late")],
)
def test_how_far_off_a_day_is(ahead, text):
    assert words.until(TODAY + ahead * DAY, TODAY) == text


def test_where_a_jar_stands_in_each_state(tmp_path):
    desk = desk_at(tmp_path)

    def standing(jar, days=0):
        return words.standing(jar, TODAY + days * DAY, VIENNA)

    planned = acts.plan(desk, order(), MORNING)
    assert standing(planned) == "planned, 14 days once charged"
    jar = acts.charge_planned(desk, planned.code, MORNING)
    assert standing(jar, 3) == "steeping, day 3 of 14 · strain Mon 16 Mar, in 11 days"
    assert standing(jar, 15) == "steeping, day 15 · strain Mon 16 Mar, 1 day late"
    jar = acts.strain(desk, jar.code, (), MORNING + 14 * DAY)
    assert standing(jar) == "strained, settling since Mon 16 Mar"
    jar = acts.strain(desk, jar.code, (), MORNING + 16 * DAY, bottled=True)
    assert standing(jar) == "bottled since Wed 18 Mar"
    gone = acts.discard(desk, acts.charge(desk, order(), MORNING).code, "spilt", MORNING)
    assert standing(gone) == "discarded"
