from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from dateutil.rrule import DAILY, rrule
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain.local_time import local_day, local_instant
from steepboard.domain.schedule import ReminderKind, due, next_wake, once, standing
from tests.fakes import ALWAYS, BERLIN, RHYTHM, steep, utc

DAY = timedelta(days=1)
# A jar of an invented railway hotel bar: charged on a Friday, strained a fortnight later.
CHARGED, STRAIN = date(2026, 11, 20), date(2026, 12, 4)


def rose(charged_on=CHARGED, strain_on=STRAIN, **rhythm):
    return steep(1, "ROSE-01", "Rose petals", charged_on, strain_on, **rhythm)


def keys(series, now, snoozes=None, zone=BERLIN):
    return [reminder.key for reminder in due(series, ALWAYS, zone, now, snoozes)]


def wake_of(series, now, snoozes=None, zone=BERLIN):
    return next_wake(series, ALWAYS, zone, now, snoozes)


def wakes(series, now, end, zone=BERLIN):
    """Return every moment from `now` to `end` at which the service would wake."""
    found = []
    while (now := wake_of(series, now, zone=zone)) and now < end:
        found.append(now)
    return found


def asked_on(jar, kind, days):
    """Return those of `days` on which the jar asks for it one minute before midnight."""
    moments = {day: local_instant(day, time(23, 59), BERLIN) for day in days}
    return [
        day
        for day, moment in moments.items()
        if f"{kind}/{jar.jar_id}/{day}" in keys(jar.series(), moment)
    ]


@pytest.mark.parametrize(
    ("now", "expected"),
    [
        ("2026-11-20T12:00", []),  # the day of charging
        ("2026-11-21T07:59", []),
        ("2026-11-21T08:00", ["stir/1/2026-11-21"]),
        ("2026-11-21T22:59", ["stir/1/2026-11-21"]),
        ("2026-11-21T23:00", []),  # midnight in Berlin: the day is over
        ("2026-11-25T08:00", ["stir/1/2026-11-25"]),  # earlier ones are not repeated
        ("2026-12-03T18:59", ["stir/1/2026-12-03"]),
        ("2026-12-03T19:00", ["get-ready/1/2026-12-03", "stir/1/2026-12-03"]),
        ("2026-12-04T08:59", ["get-ready/1/2026-12-03", "stir/1/2026-12-04"]),
        ("2026-12-04T09:00", ["strain/1/2026-12-04", "stir/1/2026-12-04"]),
        ("2026-12-05T08:59", ["strain/1/2026-12-04"]),
        ("2026-12-05T09:00", ["strain/1/2026-12-05"]),
        ("2027-01-30T12:00", ["strain/1/2027-01-30"]),  # two months late: still one
    ],
)
def test_what_is_due_over_the_life_of_a_jar(now, expected):
    assert keys(rose().series(), utc(now)) == expected


@pytest.mark.parametrize(
    ("now", "wake"),
    [
        ("2026-11-20T12:00", "2026-11-21T08:00"),
        ("2026-11-21T08:00", "2026-11-22T08:00"),
        ("2026-12-03T08:00", "2026-12-03T19:00"),
        ("2026-12-03T19:00", "2026-12-04T08:00"),
        ("2026-12-04T08:00", "2026-12-04T09:00"),
        ("2026-12-04T09:00", "2026-12-05T09:00"),
        ("2026-12-31T12:00", "2027-01-01T09:00"),
    ],
)
def test_when_to_look_again_over_the_life_of_a_jar(now, wake):
    assert wake_of(rose().series(), utc(now)) == utc(wake)


def test_an_empty_shelf_is_due_for_nothing_and_wakes_nobody():
    assert keys([], utc("2026-11-20T12:00")) == []
    assert wake_of([], utc("2026-11-20T12:00")) is None


def test_a_stir_done_that_day_is_not_asked_for():
    stirred = replace(rose(), stirred_on=frozenset({date(2026, 11, 21)})).series()
    assert keys(stirred, utc("2026-11-21T08:00")) == []
    assert wake_of(stirred, utc("2026-11-21T00:00")) == utc("2026-11-22T08:00")


def test_a_stir_every_third_day_counts_from_the_day_after_charging_and_stands_until_the_next():
    every_third = rose(stir_every_days=3)
    november = [CHARGED + n * DAY for n in range(11)]
    asked = asked_on(every_third, ReminderKind.STIR, november)
    assert [day.day for day in asked] == [21, 24, 27, 30]
    series = every_third.series()
    assert wake_of(series, utc("2026-11-21T08:00")) == utc("2026-11-24T08:00")
    assert keys(series, utc("2026-11-23T22:59")) == ["stir/1/2026-11-21"]
    assert keys(series, utc("2026-11-23T23:00")) == []
    late = replace(every_third, stirred_on=frozenset({date(2026, 11, 22)})).series()
    assert keys(late, utc("2026-11-22T08:00")) == []
    assert keys(late, utc("2026-11-24T08:00")) == ["stir/1/2026-11-24"]


def test_tastings_start_on_their_day_and_end_before_the_strain():
    tasted = rose(taste_from_day=5, taste_every_days=4)
    days = [CHARGED + n * DAY for n in range(20)]
    asked = asked_on(tasted, ReminderKind.TASTE, days)
    assert asked == [date(2026, 11, 25), date(2026, 11, 29), date(2026, 12, 3)]
    series = tasted.series()
    assert "taste/1/2026-11-25" not in keys(series, utc("2026-11-25T15:59"))
    assert "taste/1/2026-11-25" in keys(series, utc("2026-11-25T16:00"))
    assert "taste/1/2026-12-03" not in keys(series, utc("2026-12-03T23:00"))


def test_a_tasting_done_is_not_asked_for_and_a_first_one_after_the_strain_never_is():
    tasted = rose(taste_from_day=5, taste_every_days=4)
    tasted = replace(tasted, tasted_on=frozenset({date(2026, 11, 26)})).series()
    assert keys(tasted, utc("2026-11-26T16:00")) == ["stir/1/2026-11-26"]
    assert "taste/1/2026-11-29" in keys(tasted, utc("2026-11-29T16:00"))
    days = [CHARGED + n * DAY for n in range(20)]
    too_late = rose(taste_from_day=16)
    assert asked_on(too_late, ReminderKind.TASTE, days) == []
    (taste,) = (one for one in too_late.series() if one.kind is ReminderKind.TASTE)
    assert (taste.up_to(date(2026, 12, 8)), taste.after(CHARGED)) == (None, None)


@pytest.mark.parametrize("kind", [ReminderKind.BOTTLE, ReminderKind.START])
def test_what_is_asked_for_once_stands_from_its_day_on(kind):
    day = date(2026, 12, 6)
    series = [once(kind, 1, "ROSE-01", "Rose petals", day, RHYTHM)]
    assert wake_of(series, utc("2026-12-01T00:00")) == utc("2026-12-06T09:00")
    assert keys(series, utc("2026-12-06T08:59")) == []
    assert keys(series, utc("2026-12-06T09:00")) == [f"{kind}/1/2026-12-06"]
    assert keys(series, utc("2027-02-01T12:00")) == [f"{kind}/1/2026-12-06"]
    assert wake_of(series, utc("2026-12-06T09:00")) is None


def test_a_muted_jar_falls_silent_and_speaks_again_on_the_day():
    muted = rose(muted_until=date(2026, 11, 25)).series()
    assert keys(muted, utc("2026-11-24T12:00")) == []
    assert wake_of(muted, utc("2026-11-20T12:00")) == utc("2026-11-25T08:00")
    assert keys(muted, utc("2026-11-25T07:59")) == []
    assert keys(muted, utc("2026-11-25T08:00")) == ["stir/1/2026-11-25"]


def test_what_fell_on_a_muted_day_is_said_once_on_the_first_unmuted_one_if_it_still_matters():
    charged, strain = date(2026, 11, 20), date(2026, 12, 9)  # stirs on 21, 24, 27, 30 November
    habit = {"stir_every_days": 3, "muted_until": date(2026, 11, 29)}
    muted = steep(1, "ROSE-01", "Rose petals", charged, strain, **habit)
    assert keys(muted.series(), utc("2026-11-28T12:00")) == []
    assert wake_of(muted.series(), utc("2026-11-22T12:00")) == utc("2026-11-29T08:00")
    assert keys(muted.series(), utc("2026-11-29T08:00")) == ["stir/1/2026-11-29"]
    assert keys(muted.series(), utc("2026-11-30T07:59")) == []
    assert keys(muted.series(), utc("2026-11-30T08:00")) == ["stir/1/2026-11-30"]
    stirred = replace(muted, stirred_on=frozenset({date(2026, 11, 28)}))
    assert wake_of(stirred.series(), utc("2026-11-22T12:00")) == utc("2026-11-30T08:00")
    assert keys(stirred.series(), utc("2026-11-29T08:00")) == []


def test_a_jar_muted_beyond_its_strain_day_comes_back_late_and_gets_ready_no_more():
    muted = rose(muted_until=date(2026, 12, 6)).series()
    assert keys(muted, utc("2026-12-05T12:00")) == []
    assert wake_of(muted, utc("2026-12-01T00:00")) == utc("2026-12-06T09:00")
    (strain,) = due(muted, ALWAYS, BERLIN, utc("2026-12-06T09:00"))
    assert (strain.key, strain.late_days) == ("strain/1/2026-12-06", 2)


def test_what_is_asked_for_once_moves_to_the_day_on_which_the_jar_is_no_longer_muted():
    day, muted_until = date(2026, 12, 6), date(2026, 12, 9)
    muted = replace(RHYTHM, muted_until=muted_until)
    series = [once(ReminderKind.BOTTLE, 1, "ROSE-01", "Rose petals", day, muted)]
    assert wake_of(series, utc("2026-12-06T12:00")) == utc("2026-12-09T09:00")
    assert keys(series, utc("2026-12-09T08:59")) == []
    # said before it was muted or not: what is due then has a key of its own
    assert keys(series, utc("2026-12-09T09:00")) == ["bottle/1/2026-12-09"]


def test_later_holds_a_stir_back_until_then_and_names_it_anew():
    series, until = rose().series(), utc("2026-11-25T10:00")
    later = {(1, ReminderKind.STIR): until}
    assert keys(series, utc("2026-11-25T09:59"), later) == []
    assert wake_of(series, utc("2026-11-25T09:00"), later) == until
    assert keys(series, until, later) == [f"stir/1/2026-11-25/{until.isoformat()}"]
    assert keys(series, utc("2026-11-26T08:00"), later) == ["stir/1/2026-11-26"]


def test_later_holds_back_one_kind_of_one_jar():
    both = [*rose().series(), *replace(rose(), jar_id=2, code="ROSE-02").series()]
    later = {(1, ReminderKind.STRAIN): utc("2026-12-04T11:00")}
    assert keys(both, utc("2026-12-04T09:00"), later) == [
        "strain/2/2026-12-04",
        "stir/1/2026-12-04",
        "stir/2/2026-12-04",
    ]


def test_later_until_the_morning_takes_that_days_strain_along():
    later = {(1, ReminderKind.STRAIN): utc("2026-12-05T06:00")}
    (strain,) = due(rose().series(), ALWAYS, BERLIN, utc("2026-12-05T06:00"), later)
    assert strain.key.startswith("strain/1/2026-12-04/")
    assert strain.folds == ("strain/1/2026-12-05",)
    assert strain.late_days == 1


def test_getting_ready_put_off_beyond_the_strain_is_moot():
    later = {(1, ReminderKind.GET_READY): utc("2026-12-04T09:30")}
    assert keys(rose().series(), utc("2026-12-04T09:30"), later) == [
        "strain/1/2026-12-04",
        "stir/1/2026-12-04",
    ]


def test_a_late_strain_is_said_daily_and_louder_once_for_each_strain_day():
    def said(jar, now):
        (strain,) = due(jar.series(), ALWAYS, BERLIN, utc(now))
        return strain.key, strain.late_days, strain.loud_key

    on_the_day = due(rose().series(), ALWAYS, BERLIN, utc("2026-12-04T09:00"))[0]
    assert (on_the_day.late_days, on_the_day.loud_key) == (0, "")
    loud = "loud/1/2026-12-04"
    assert said(rose(), "2026-12-05T09:00") == ("strain/1/2026-12-05", 1, loud)
    assert said(rose(), "2026-12-09T09:00") == ("strain/1/2026-12-09", 5, loud)
    moved = rose(strain_on=date(2026, 12, 7))
    assert said(moved, "2026-12-09T09:00") == ("strain/1/2026-12-09", 2, "loud/1/2026-12-07")


def test_what_hurts_most_comes_first():
    jars = [
        steep(1, "ROSE-01", "Rose petals", CHARGED, date(2026, 11, 24)),
        steep(2, "ROSE-02", "Rose petals", CHARGED, date(2026, 11, 22)),
        steep(3, "MINT-01", "Mint", CHARGED, date(2026, 12, 9), taste_from_day=5),
    ]
    series = [one for jar in jars for one in jar.series()]
    series.append(once(ReminderKind.START, 4, "SAGE-01", "Sage", date(2026, 11, 24), RHYTHM))
    series.append(once(ReminderKind.BOTTLE, 5, "SAGE-02", "Sage", date(2026, 11, 24), RHYTHM))
    asked = due(series, ALWAYS, BERLIN, utc("2026-11-25T17:00"))
    assert [(reminder.kind.value, reminder.code) for reminder in asked] == [
        ("strain", "ROSE-02"),
        ("strain", "ROSE-01"),
        ("start", "SAGE-01"),
        ("taste", "MINT-01"),
        ("stir", "MINT-01"),
        ("bottle", "SAGE-02"),
    ]


def test_after_three_weeks_of_sleep_each_jar_asks_for_what_still_matters():
    jars = [rose(), replace(rose(strain_on=date(2026, 12, 25)), jar_id=2, code="ROSE-02")]
    series = [one for jar in jars for one in jar.series()]
    assert keys(series, utc("2026-12-12T12:00")) == ["strain/1/2026-12-12", "stir/2/2026-12-12"]


@pytest.mark.parametrize(
    ("charged_at", "first"),
    [
        ("2028-02-28T22:59", date(2028, 2, 29)),  # 23:59 in Berlin, in a leap year
        ("2028-02-28T23:00", date(2028, 3, 1)),
        ("2028-02-29T22:59", date(2028, 3, 1)),
        ("2027-02-28T22:59", date(2027, 3, 1)),
    ],
)
def test_a_jar_is_first_stirred_on_the_day_after_its_own(charged_at, first):
    charged_on = local_day(utc(charged_at), BERLIN)
    jar = rose(charged_on, charged_on + 14 * DAY)
    assert wake_of(jar.series(), utc(charged_at)) == local_instant(first, time(9), BERLIN)


def test_a_stir_at_a_minute_to_midnight_stands_for_that_minute():
    series = rose(stir_at=time(23, 59)).series()
    assert keys(series, utc("2026-11-21T22:58")) == []
    assert keys(series, utc("2026-11-21T22:59")) == ["stir/1/2026-11-21"]
    assert keys(series, utc("2026-11-21T23:00")) == []


def test_the_summer_time_changes_keep_nine_in_the_morning():
    spring = rose(date(2026, 3, 20), date(2026, 4, 3)).series()
    autumn = rose(date(2026, 10, 20), date(2026, 11, 3)).series()
    assert wake_of(spring, utc("2026-03-28T12:00")) == utc("2026-03-29T07:00")
    assert wake_of(autumn, utc("2026-10-24T12:00")) == utc("2026-10-25T08:00")


@pytest.mark.parametrize(
    ("day", "moments"),
    [
        (date(2026, 3, 29), ["2026-03-29T01:30"]),  # 02:30 does not exist
        (date(2026, 10, 25), ["2026-10-25T00:30"]),  # 02:30 comes twice
    ],
)
def test_a_stir_in_the_hour_of_the_change_is_due_once(day, moments):
    series = rose(day - DAY, day + 9 * DAY, stir_at=time(2, 30)).series()
    start, end = (local_instant(day, wall, BERLIN) for wall in (time(0), time(23)))
    assert wakes(series, start, end) == [utc(moment) for moment in moments]


def test_the_stir_of_a_day_that_a_zone_skipped_falls_on_the_next_morning():
    # Samoa went from 29 to 31 December 2011; 09:00 on the 30th is a day later: 09:00 on the 31st.
    apia = ZoneInfo("Pacific/Apia")
    series = rose(date(2011, 12, 27), date(2012, 1, 9), stir_every_days=2).series()
    wake = wake_of(series, utc("2011-12-29T12:00"), zone=apia)  # stirs on 28, 30 and 1 January
    assert wake == utc("2011-12-30T19:00")
    assert keys(series, wake, zone=apia) == ["stir/1/2011-12-30"]


def test_travel_moves_the_reminders():
    series, now = rose().series(), utc("2026-11-25T05:00")
    assert wake_of(series, now) == utc("2026-11-25T08:00")
    # Japan is nine hours ahead of UTC all year: nine in the morning there was five hours ago.
    tokyo = ZoneInfo("Asia/Tokyo")
    assert wake_of(series, now, zone=tokyo) == utc("2026-11-26T00:00")
    assert keys(series, now, zone=tokyo) == ["stir/1/2026-11-25"]


def test_a_clock_that_jumps_about_never_names_another_day_by_an_old_key():
    """An hour back, a month on and back again: each key is due on one day only."""
    series = rose(strain_on=date(2027, 2, 1)).series()
    seen = {}
    for text in ("2026-11-25T08:30", "2026-11-25T07:30", "2026-12-25T08:30", "2026-11-25T08:31"):
        for key in keys(series, utc(text)):
            assert seen.setdefault(key, text[:10]) == text[:10]
    assert seen == {"stir/1/2026-11-25": "2026-11-25", "stir/1/2026-12-25": "2026-12-25"}


def test_a_stir_logged_while_the_clock_was_a_month_ahead_silences_only_its_own_day():
    ahead = rose(strain_on=date(2027, 2, 1))
    series = replace(ahead, stirred_on=frozenset({date(2026, 12, 25)})).series()
    assert keys(series, utc("2026-11-25T08:00")) == ["stir/1/2026-11-25"]
    assert keys(series, utc("2026-12-25T08:00")) == []


days_of_life = st.integers(0, 40)
jars = st.builds(
    lambda charged, days, every, first, tastings: rose(
        charged,
        charged + days * DAY,
        stir_every_days=every,
        taste_from_day=first,
        taste_every_days=tastings,
    ),
    st.dates(date(2026, 1, 1), date(2030, 12, 31)),
    days_of_life,
    st.integers(1, 9),
    st.integers(1, 20),
    st.integers(1, 9),
)


@given(jars)
def test_plain_days_are_those_of_a_recurrence_rule(jar):
    """In UTC, with nothing held back; rrule is the recurrence of python-dateutil."""

    def rule(first, every, last):
        first, last = (datetime.combine(day, time(0)) for day in (first, last))
        return [at.date() for at in rrule(DAILY, interval=every, dtstart=first, until=last)]

    rhythm, eve = jar.rhythm, jar.strain_on - DAY
    expected = {
        "stir": rule(jar.charged_on + DAY, rhythm.stir_every_days, jar.strain_on),
        "taste": rule(jar.charged_on + rhythm.taste_from_day * DAY, rhythm.taste_every_days, eve),
    }
    found = {"stir": [], "taste": []}
    now = datetime.combine(jar.charged_on - 2 * DAY, time(0), tzinfo=UTC)
    end = datetime.combine(jar.strain_on + DAY, time(0), tzinfo=UTC)
    while (now := next_wake(jar.series(), ALWAYS, UTC, now)) < end:
        for reminder in standing(jar.series(), ALWAYS, UTC, now):
            if reminder.due == now and reminder.kind in found:
                found[reminder.kind].append(date.fromisoformat(reminder.key.split("/")[2]))
    assert found == expected


@given(jars, st.datetimes(datetime(2026, 1, 1), datetime(2031, 2, 1), timezones=st.just(UTC)))  # noqa: DTZ001
def test_there_is_never_a_flood(jar, now):
    reminders = due(jar.series(), ALWAYS, BERLIN, now)
    assert all(reminder.due <= now for reminder in reminders)
    assert len({reminder.kind for reminder in reminders}) == len(reminders)
