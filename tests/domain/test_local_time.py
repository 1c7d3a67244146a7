from __future__ import annotations

from datetime import date, time
from zoneinfo import ZoneInfo

import pytest

from steepboard.domain.local_time import LocalClock, local_day, local_instant
from tests.fakes import BERLIN, utc


@pytest.mark.parametrize(
    ("day", "wall", "instant"),
    [
        # Directive 2000/84/EC: summer time from the last Sunday of March to that of October,
        # 01:00 UTC; Berlin is one hour ahead in winter and two in summer.
        (date(2026, 3, 28), time(2, 30), "2026-03-28T01:30"),
        (date(2026, 3, 29), time(1, 59), "2026-03-29T00:59"),
        (date(2026, 3, 29), time(2, 30), "2026-03-29T01:30"),  # skipped: 03:30 on the clock
        (date(2026, 3, 29), time(3, 30), "2026-03-29T01:30"),
        (date(2026, 3, 29), time(9), "2026-03-29T07:00"),
        (date(2026, 10, 25), time(2, 30), "2026-10-25T00:30"),  # repeated: the first time
        (date(2026, 10, 25), time(2, 30, fold=1), "2026-10-25T00:30"),
        (date(2026, 10, 25), time(3), "2026-10-25T02:00"),
        (date(2026, 10, 25), time(9), "2026-10-25T08:00"),
        (date(2028, 2, 29), time(9), "2028-02-29T08:00"),
    ],
)
def test_a_wall_time_is_the_instant_that_clocks_in_berlin_show(day, wall, instant):
    assert local_instant(day, wall, BERLIN) == utc(instant)


@pytest.mark.parametrize(
    ("now", "day"),
    [
        # Newfoundland, UTC-02:30 in summer and UTC-03:30 in winter, went back at one minute past
        # midnight of 29 October 2006 (IANA time zone database).
        ("2006-10-29T02:29", date(2006, 10, 28)),
        ("2006-10-29T02:30", date(2006, 10, 29)),  # midnight
        ("2006-10-29T02:31", date(2006, 10, 29)),  # 23:01 on the 28th once more
        ("2006-10-29T03:29", date(2006, 10, 29)),
        ("2006-10-30T03:29", date(2006, 10, 29)),
        ("2006-10-30T03:30", date(2006, 10, 30)),
    ],
)
def test_a_day_that_began_goes_on_though_clocks_go_back_over_its_midnight(now, day):
    assert local_day(utc(now), ZoneInfo("America/St_Johns")) == day


@pytest.mark.parametrize(
    ("now", "wall", "day"),
    [
        ("2026-11-25T07:59", time(9), date(2026, 11, 24)),
        ("2026-11-25T08:00", time(9), date(2026, 11, 25)),
        ("2026-11-25T22:59", time(23, 59), date(2026, 11, 25)),
        ("2026-11-25T23:00", time(0), date(2026, 11, 26)),
    ],
)
def test_a_clock_knows_the_last_day_whose_time_has_come(now, wall, day):
    assert LocalClock(utc(now), BERLIN).latest(wall) == day


def test_a_clock_looks_two_days_back_where_a_zone_skipped_one():
    # 08:00 on 31 December 2011 in Samoa, whose day before was the 29th
    clock = LocalClock(utc("2011-12-30T18:00"), ZoneInfo("Pacific/Apia"))
    assert (clock.today, clock.latest(time(9))) == (date(2011, 12, 31), date(2011, 12, 29))
