"""Days as people type them."""

from __future__ import annotations

from datetime import date

import pytest

from steepboard.errors import BadAmount
from steepboard.tui.widgets.day_reader import day_reader

TODAY = date(2026, 12, 30)  # a Wednesday


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("31", date(2026, 12, 31)),
        ("30", TODAY),
        ("4", date(2027, 1, 4)),
        ("4.", date(2027, 1, 4)),
        ("29", date(2027, 1, 29)),
        ("18 Mar", date(2027, 3, 18)),
        ("18. march", date(2027, 3, 18)),
        ("30 dec", TODAY),
        ("fri", date(2027, 1, 1)),
        ("Wednesday", date(2027, 1, 6)),
        ("+3", date(2027, 1, 2)),
        ("+ 10", date(2027, 1, 9)),
        ("today", TODAY),
        ("tomorrow", date(2026, 12, 31)),
        ("2027-02-28", date(2027, 2, 28)),
    ],
)
def test_a_day_is_the_next_one_of_that_name(typed, day):
    assert day_reader(TODAY)(typed) == day


@pytest.mark.parametrize(
    "typed", ["", "soon", "0", "32", "31 feb", "2027-02-30", "-3", "+9999", "29 feb", "monkey"]
)
def test_what_is_no_day_is_refused_with_an_example(typed):
    with pytest.raises(BadAmount, match="Write it like 18, 18 Mar"):
        day_reader(TODAY)(typed)


def test_the_last_day_of_a_short_month_is_passed_over():
    assert day_reader(date(2027, 2, 1))("30") == date(2027, 3, 30)
