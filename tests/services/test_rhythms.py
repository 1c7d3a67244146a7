"""A jar as the schedule sees it, in the zone where the shelf stands."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from steepboard.services import acts
from steepboard.services.rhythms import series_of, steep_of
from tests.shelves import MORNING, desk_at, order

LATE = datetime(2028, 2, 29, 22, 59, tzinfo=UTC)  # 23:59 in Vienna, in a leap year


def test_a_jar_charged_a_minute_before_midnight_belongs_to_the_day_that_ends(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(), LATE)
    assert steep_of(desk, jar).charged_on == date(2028, 2, 29)
    assert jar.strain_on == date(2028, 3, 14)
    later = acts.charge(desk, order(), LATE + timedelta(minutes=1))
    assert steep_of(desk, later).charged_on == date(2028, 3, 1)


def test_the_diary_is_read_in_the_zone_where_the_shelf_stands(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(), MORNING)
    (jar,) = acts.stir(desk, (jar.code,), datetime(2026, 3, 4, 23, 30, tzinfo=UTC))
    assert steep_of(desk, jar).stirred_on == {date(2026, 3, 5)}
    abroad = replace(desk, zone=ZoneInfo("America/New_York"))
    assert steep_of(abroad, jar).stirred_on == {date(2026, 3, 4)}


def test_a_jar_that_was_never_charged_has_no_schedule(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.plan(desk, order(), MORNING)
    assert series_of(desk, jar) == ()
    with pytest.raises(ValueError, match=jar.code):
        steep_of(desk, jar)
