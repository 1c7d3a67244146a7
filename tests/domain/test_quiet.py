from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from steepboard.domain.quiet import Away, Quiet
from steepboard.domain.schedule import ReminderKind, due, next_wake, once, standing
from tests.domain.telling import told
from tests.fakes import BERLIN, RHYTHM, steep, utc

DAY = timedelta(days=1)
MORNING = time(9)
NIGHT = Quiet(time(22), time(8), MORNING)
# A jar of an invented railway hotel bar: charged on a Friday, strained a fortnight later.
CHARGED, STRAIN = date(2026, 11, 20), date(2026, 12, 4)
AWAY = Away(date(2026, 11, 24), date(2026, 11, 27))


def rose(strain_on=STRAIN, **rhythm):
    return steep(1, "ROSE-01", "Rose petals", CHARGED, strain_on, **rhythm)


def said(series, quiet, start, end, snoozes=None):
    """Return when the service speaks, in UTC, and which keys it says then."""
    heard = told(series, quiet, BERLIN, utc(start), utc(end), snoozes)
    return [(f"{now:%dT%H:%M}", reminder.key) for now, reminder in heard]


@pytest.mark.parametrize(
    ("quiet", "at", "released"),
    [
        (NIGHT, "2026-11-25T20:59", "2026-11-25T20:59"),
        (NIGHT, "2026-11-25T21:00", "2026-11-26T07:00"),  # 22:00 in Berlin
        (NIGHT, "2026-11-26T06:59", "2026-11-26T07:00"),
        (NIGHT, "2026-11-26T07:00", "2026-11-26T07:00"),
        (Quiet(time(0), time(8), MORNING), "2026-11-25T23:00", "2026-11-26T07:00"),
        (Quiet(time(13), time(15), MORNING), "2026-11-25T12:30", "2026-11-25T14:00"),
        (Quiet(time(13), time(15), MORNING), "2026-11-25T23:30", "2026-11-25T23:30"),
        (Quiet(time(8), time(8), MORNING), "2026-11-25T07:00", "2026-11-25T07:00"),  # none
        # the night of 29 March 2026 is an hour shorter, that of 25 October an hour longer
        (NIGHT, "2026-03-28T21:00", "2026-03-29T06:00"),
        (NIGHT, "2026-10-24T20:00", "2026-10-25T07:00"),
        (Quiet(time(22), time(2, 30), MORNING), "2026-03-29T00:30", "2026-03-29T01:30"),
        (Quiet(time(22), time(2, 30), MORNING), "2026-10-25T00:29", "2026-10-25T00:30"),
        (Quiet(time(22), time(2, 30), MORNING), "2026-10-25T01:00", "2026-10-25T01:00"),
    ],
)
def test_quiet_hours_hold_back_until_their_end(quiet, at, released):
    assert quiet.released(utc(at), BERLIN) == utc(released)


@pytest.mark.parametrize(
    ("quiet", "at", "released"),
    [
        (replace(NIGHT, away=AWAY), "2026-11-23T20:59", "2026-11-23T20:59"),
        (replace(NIGHT, away=AWAY), "2026-11-23T21:00", "2026-11-28T07:00"),
        (replace(NIGHT, away=AWAY), "2026-11-26T12:00", "2026-11-28T07:00"),
        (replace(NIGHT, away=AWAY), "2026-11-28T07:00", "2026-11-28T07:00"),
        # without quiet hours from midnight on, and back with the morning of the house
        (Quiet(time(0), time(0), MORNING, AWAY), "2026-11-23T22:59", "2026-11-23T22:59"),
        (Quiet(time(0), time(0), MORNING, AWAY), "2026-11-23T23:00", "2026-11-28T08:00"),
        (Quiet(time(0), time(0), MORNING, AWAY), "2026-11-28T07:59", "2026-11-28T08:00"),
    ],
)
def test_days_away_hold_back_until_the_morning_of_the_return(quiet, at, released):
    assert quiet.released(utc(at), BERLIN) == utc(released)


def test_quiet_hours_end_in_the_morning_after_a_day_that_a_zone_skipped():
    # Samoa went from 29 to 31 December 2011: one night, ten hours from 22:00 to 08:00.
    apia = ZoneInfo("Pacific/Apia")
    assert NIGHT.released(utc("2011-12-30T08:00"), apia) == utc("2011-12-30T18:00")
    assert NIGHT.released(utc("2011-12-30T17:59"), apia) == utc("2011-12-30T18:00")


def test_quiet_hours_go_on_where_clocks_go_back_over_their_start():
    # Newfoundland, 29 October 2006: midnight, a minute later 23:01 of the day before.
    hush = Quiet(time(0), time(8), MORNING)
    zone = ZoneInfo("America/St_Johns")
    assert hush.released(utc("2006-10-29T02:45"), zone) == utc("2006-10-29T11:30")


def test_what_falls_into_the_evening_comes_every_morning_a_stir_included():
    series = rose(stir_at=time(23)).series()
    assert said(series, NIGHT, "2026-11-20T12:00", "2026-11-25T00:00") == [
        ("22T07:00", "stir/1/2026-11-21"),
        ("23T07:00", "stir/1/2026-11-22"),
        ("24T07:00", "stir/1/2026-11-23"),
    ]


def test_what_was_held_back_says_so_and_when_it_was_let_go():
    series = rose(get_ready_at=time(22, 30)).series()
    ready, _ = due(series, NIGHT, BERLIN, utc("2026-12-04T08:00"))
    assert (ready.kind, ready.moved) == (ReminderKind.GET_READY, True)
    assert ready.due == utc("2026-12-04T07:00")
    (stir,) = due(series, NIGHT, BERLIN, utc("2026-11-25T08:00"))
    assert not stir.moved


def test_a_late_strain_in_the_quiet_hours_is_said_every_morning():
    series = rose(strain_on=date(2026, 11, 23), strain_at=time(23), stir_at=time(12)).series()
    heard = said(series, NIGHT, "2026-11-23T21:00", "2026-11-27T00:00")
    assert [pair for pair in heard if pair[1].startswith("strain")] == [
        ("24T07:00", "strain/1/2026-11-23"),
        ("25T07:00", "strain/1/2026-11-24"),
        ("26T07:00", "strain/1/2026-11-25"),
    ]


def test_nothing_is_said_at_night_but_what_was_due_before_still_stands():
    series, night = rose(stir_at=time(21)).series(), utc("2026-11-25T22:00")
    assert due(series, NIGHT, BERLIN, night) == ()
    assert [one.key for one in standing(series, NIGHT, BERLIN, night)] == ["stir/1/2026-11-25"]


def test_a_machine_that_sleeps_over_the_evening_is_woken_at_the_end_of_the_quiet_hours():
    ready = rose(stir_at=time(12)).series()[1]
    assert next_wake([ready], NIGHT, BERLIN, utc("2026-12-03T21:00")) == utc("2026-12-04T07:00")


@pytest.mark.parametrize(
    ("stir_at", "next_stir"), [(time(9), "27T08:00"), (time(21, 30), "27T20:30")]
)
def test_later_into_the_night_comes_in_the_morning_for_that_day_too(stir_at, next_stir):
    series, until = rose(stir_at=stir_at).series(), utc("2026-11-25T22:30")
    later = {(1, ReminderKind.STIR): until}
    assert said(series, NIGHT, "2026-11-25T21:00", "2026-11-28T00:00", later) == [
        ("26T07:00", f"stir/1/2026-11-25/{until.isoformat()}"),
        (next_stir, "stir/1/2026-11-27"),
    ]


def test_days_away_are_silent_and_end_with_all_that_still_matters_at_once():
    strained_meanwhile = rose(strain_on=date(2026, 11, 26))
    steeping = replace(rose(), jar_id=2, code="ROSE-02")
    settled = once(ReminderKind.BOTTLE, 3, "MINT-01", "Mint", date(2026, 11, 25), RHYTHM)
    series = [*strained_meanwhile.series(), *steeping.series(), settled]
    quiet = replace(NIGHT, away=AWAY)
    assert said(series, quiet, "2026-11-23T12:00", "2026-11-29T07:30") == [
        ("23T12:00", "stir/1/2026-11-23"),
        ("23T12:00", "stir/2/2026-11-23"),
        ("28T07:00", "strain/1/2026-11-27"),
        ("28T07:00", "stir/2/2026-11-27"),
        ("28T07:00", "bottle/3/2026-11-25"),
    ]
    # the strain and the stir of the day back are not said again an hour later, those after it are
    assert said(series, quiet, "2026-11-28T07:00", "2026-11-29T09:30")[3:] == [
        ("29T08:00", "stir/2/2026-11-29"),
        ("29T09:00", "strain/1/2026-11-29"),
    ]


def test_what_the_day_back_asks_for_in_the_evening_is_said_with_the_rest():
    quiet = replace(NIGHT, away=AWAY)
    (stir,) = due(rose(stir_at=time(21)).series(), quiet, BERLIN, utc("2026-11-28T07:00"))
    assert stir.folds == ("stir/1/2026-11-28",)


def test_a_jar_strained_before_the_return_gets_no_stir_of_the_days_before():
    back = utc("2026-11-28T07:00")
    series = rose(strain_on=date(2026, 11, 26)).series()
    asked = due(series, replace(NIGHT, away=AWAY), BERLIN, back)
    assert [(one.kind, one.late_days, one.moved) for one in asked] == [
        (ReminderKind.STRAIN, 2, True)
    ]


def test_the_next_wake_of_days_away_is_the_return():
    quiet = replace(NIGHT, away=AWAY)
    for now in ("2026-11-24T00:00", "2026-11-26T12:00", "2026-11-28T06:59"):
        assert next_wake(rose().series(), quiet, BERLIN, utc(now)) == utc("2026-11-28T07:00")


@pytest.mark.parametrize(
    ("start", "end", "back"),
    [
        (time(22), time(8), "2026-11-28T07:00"),
        (time(0), time(8), "2026-11-28T07:00"),
        (time(14), time(16), "2026-11-28T08:00"),  # a rest at noon moves no morning
        (time(9), time(9), "2026-11-28T08:00"),
    ],
)
def test_the_day_back_begins_when_the_night_is_over(start, end, back):
    quiet = Quiet(start, end, MORNING, AWAY)
    assert quiet.released(utc("2026-11-25T10:00"), BERLIN) == utc(back)
