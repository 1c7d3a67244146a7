from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain.records import Charge, Jar, Separation, State
from steepboard.domain.schedule import (
    Reminder,
    ReminderKind,
    Steep,
    due,
    group,
    local_instant,
    next_wake,
    steep_of,
)
from tests.fakes import BERLIN, TIMES, utc

# A jar of an invented railway hotel bar: charged on a Friday, strained a fortnight later.
ROSE = Steep(1, "ROSE-01", "Rose petals", date(2026, 11, 20), date(2026, 12, 4), 1)
# Zones whose clocks do odd things; the weeks around their changes (IANA time zone database).
CHANGES = [
    ("Europe/Berlin", date(2026, 3, 29)),
    ("Europe/Berlin", date(2026, 10, 25)),
    ("Australia/Lord_Howe", date(2026, 4, 5)),  # half an hour back
    ("Australia/Lord_Howe", date(2026, 10, 4)),  # half an hour on
    ("Africa/Casablanca", date(2026, 2, 15)),  # the pause for Ramadan
    ("America/St_Johns", date(2006, 10, 29)),  # back at one minute past midnight
    ("America/Santiago", date(2026, 9, 6)),  # midnight does not exist
    ("Pacific/Apia", date(2011, 12, 30)),  # the day does not exist
]


def keys(steeps, now, zone=BERLIN):
    return [reminder.key for reminder in due(steeps, TIMES, zone, now)]


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
        (date(2026, 10, 25), time(3), "2026-10-25T02:00"),
        (date(2026, 10, 25), time(9), "2026-10-25T08:00"),
        (date(2028, 2, 29), time(9), "2028-02-29T08:00"),
    ],
)
def test_a_wall_time_is_the_instant_that_clocks_in_berlin_show(day, wall, instant):
    assert local_instant(day, wall, BERLIN) == utc(instant)


@pytest.mark.parametrize(("name", "day"), CHANGES)
def test_wall_times_agree_with_walking_minute_by_minute(name, day):
    zone = ZoneInfo(name)
    start = datetime.combine(day, time(0), tzinfo=UTC) - timedelta(days=2)
    walked = {}
    before = None
    for minute in range(5 * 24 * 60):
        at = start + timedelta(minutes=minute)
        shown = at.astimezone(zone).replace(tzinfo=None)
        walked.setdefault(shown, at)
        if before is not None:
            # What the clock skipped comes as long after as it would have come.
            for skipped in range(1, int((shown - before).total_seconds() // 60)):
                moved = timedelta(minutes=skipped - 1)
                walked.setdefault(before + timedelta(minutes=skipped), at + moved)
        before = shown
    for hour in range(24):
        for minute in (0, 1, 30, 59):
            wall = datetime.combine(day, time(hour, minute))
            assert local_instant(day, wall.time(), zone) == walked[wall]


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
    assert keys([ROSE], utc(now)) == expected


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
    assert next_wake([ROSE], TIMES, BERLIN, utc(now)) == utc(wake)


def test_an_empty_shelf_is_due_for_nothing_and_wakes_nobody():
    assert due([], TIMES, BERLIN, utc("2026-11-20T12:00")) == ()
    assert next_wake([], TIMES, BERLIN, utc("2026-11-20T12:00")) is None


def test_a_stir_done_that_day_is_not_asked_for():
    stirred = replace(ROSE, stirred_on=frozenset({date(2026, 11, 21)}))
    assert keys([stirred], utc("2026-11-21T08:00")) == []
    assert next_wake([stirred], TIMES, BERLIN, utc("2026-11-21T00:00")) == utc("2026-11-22T08:00")


def test_a_stir_every_third_day_counts_from_the_day_after_charging():
    every_third = replace(ROSE, stir_every_days=3)
    asked = [
        day for day in range(21, 31) if keys([every_third], datetime(2026, 11, day, 12, tzinfo=UTC))
    ]
    assert asked == [21, 24, 27, 30]
    assert next_wake([every_third], TIMES, BERLIN, utc("2026-11-21T08:00")) == utc(
        "2026-11-24T08:00"
    )


def test_the_summer_time_changes_keep_nine_in_the_morning():
    spring = replace(ROSE, charged_on=date(2026, 3, 20), strain_on=date(2026, 4, 3))
    autumn = replace(ROSE, charged_on=date(2026, 10, 20), strain_on=date(2026, 11, 3))
    assert next_wake([spring], TIMES, BERLIN, utc("2026-03-28T12:00")) == utc("2026-03-29T07:00")
    assert next_wake([autumn], TIMES, BERLIN, utc("2026-10-24T12:00")) == utc("2026-10-25T08:00")


@pytest.mark.parametrize(
    ("day", "moments"),
    [
        (date(2026, 3, 29), ["2026-03-29T01:30"]),  # 02:30 does not exist
        (date(2026, 10, 25), ["2026-10-25T00:30"]),  # 02:30 comes twice
    ],
)
def test_a_stir_in_the_hour_of_the_change_is_due_once(day, moments):
    at_half_past_two = replace(TIMES, stir_at=time(2, 30))
    steep = replace(ROSE, charged_on=day - timedelta(days=1), strain_on=day + timedelta(days=9))
    wakes, now = [], local_instant(day, time(0), BERLIN)
    while (now := next_wake([steep], at_half_past_two, BERLIN, now)) < local_instant(
        day, time(23), BERLIN
    ):
        wakes.append(now)
    assert wakes == [utc(moment) for moment in moments]


def jar_charged_at(instant):
    charge = Charge((), (), date(2028, 3, 14), 1, Separation.HAND)
    return Jar(
        1, "ROSE-01", "Rose petals", State.STEEPING, charge, charge.strain_on, charged_at=instant
    )


def test_a_jar_charged_a_minute_before_midnight_is_stirred_the_next_morning():
    # 23:59 on 29 February 2028 in Berlin
    steep = steep_of(jar_charged_at(utc("2028-02-29T22:59")), BERLIN)
    assert steep.charged_on == date(2028, 2, 29)
    assert next_wake([steep], TIMES, BERLIN, utc("2028-02-29T22:59")) == utc("2028-03-01T08:00")


def test_the_diary_is_read_in_the_zone_where_the_shelf_stands():
    jar = replace(jar_charged_at(utc("2028-02-29T22:59")), stirred_at=(utc("2028-03-01T23:30"),))
    assert steep_of(jar, BERLIN).stirred_on == {date(2028, 3, 2)}
    assert steep_of(jar, UTC).stirred_on == {date(2028, 3, 1)}


def test_a_jar_that_was_never_charged_has_no_schedule():
    with pytest.raises(ValueError, match="ROSE-01"):
        steep_of(jar_charged_at(None), BERLIN)


def test_the_stir_of_a_day_that_a_zone_skipped_falls_on_the_next_morning():
    # Samoa went from 29 to 31 December 2011; 09:00 on the 30th is a day later: 09:00 on the 31st.
    apia = ZoneInfo("Pacific/Apia")
    steep = replace(ROSE, charged_on=date(2011, 12, 27), strain_on=date(2012, 1, 9))
    steep = replace(steep, stir_every_days=2)  # 28 and 30 December, 1 January
    wake = next_wake([steep], TIMES, apia, utc("2011-12-29T12:00"))
    assert wake == utc("2011-12-30T19:00")
    assert keys([steep], wake, apia) == ["stir/1/2011-12-30"]


steeps = st.lists(
    st.builds(
        lambda number, charged, days, every, stirred: Steep(
            number,
            f"ROSE-{number:02}",
            "Rose petals",
            charged,
            charged + timedelta(days=days),
            every,
            frozenset(charged + timedelta(days=day) for day in stirred),
        ),
        st.integers(1, 99),
        st.dates(date(2026, 2, 1), date(2026, 11, 15)),
        st.integers(0, 40),
        st.integers(1, 7),
        st.sets(st.integers(0, 40)),
    ),
    max_size=4,
    unique_by=lambda steep: steep.jar_id,
)
moments = st.datetimes(datetime(2026, 2, 1), datetime(2026, 12, 31), timezones=st.just(UTC))  # noqa: DTZ001
zones = st.sampled_from(
    [
        "Europe/Berlin",
        "Australia/Lord_Howe",
        "Africa/Casablanca",
        "America/St_Johns",
        "America/Santiago",
        "Asia/Kathmandu",
        "Pacific/Apia",
        "Pacific/Kiritimati",
        "America/Havana",
        "UTC",
    ]
).map(ZoneInfo)


@given(steeps, zones, moments, st.floats(0, 1))
def test_nothing_new_comes_due_before_the_next_wake_and_something_does_at_it(
    shelf, zone, now, part
):
    wake = next_wake(shelf, TIMES, zone, now)
    if wake is None:
        return
    before = set(keys(shelf, now, zone))
    between = now + (wake - now) * part * 0.999
    assert wake > now
    assert set(keys(shelf, between, zone)) <= before
    assert set(keys(shelf, wake, zone)) - before


@given(steeps, zones, moments)
def test_there_is_never_a_flood(shelf, zone, now):
    reminders = due(shelf, TIMES, zone, now)
    assert all(reminder.due <= now for reminder in reminders)
    asked = [(reminder.kind, reminder.jar_id) for reminder in reminders]
    assert len(asked) == len(set(asked))
    assert len(group(reminders, TIMES.group_minutes)) <= len(ReminderKind) + 1


@given(steeps, zones, moments)
def test_grouping_says_every_reminder_once(shelf, zone, now):
    reminders = due(shelf, TIMES, zone, now)
    grouped = [key for notice in group(reminders, 10) for key in notice.keys]
    assert sorted(grouped) == sorted(reminder.key for reminder in reminders)


def reminder(number, at, kind=ReminderKind.STIR, **more):
    key = f"{kind}/{number}/2026-11-25"
    return Reminder(kind, number, f"ROSE-{number:02}", "Rose petals", utc(at), key, **more)


def test_reminders_of_a_kind_within_ten_minutes_go_out_as_one():
    first, second, third = (
        reminder(1, "2026-11-25T08:00"),
        reminder(2, "2026-11-25T08:10"),
        reminder(3, "2026-11-25T08:11"),
    )
    together, alone = group([third, second, first], 10)
    assert together.jar_ids == (1, 2)
    assert together.due == utc("2026-11-25T08:00")
    assert together.title == "Stir 2 jars"
    assert together.body == "ROSE-01 Rose petals, ROSE-02 Rose petals"
    assert [button.identifier for button in together.buttons] == ["all-stirred"]
    assert (alone.title, alone.body) == ("Stir ROSE-03", "Rose petals")
    assert [button.identifier for button in alone.buttons] == ["stirred"]


def test_kinds_are_never_mixed_and_the_most_pressing_goes_first():
    kinds = [ReminderKind.STIR, ReminderKind.STRAIN, ReminderKind.GET_READY]
    notices = group([reminder(1, "2026-11-25T08:00", kind) for kind in kinds], 10)
    assert [notice.title for notice in notices] == [
        "Strain ROSE-01 today",
        "Get ready to strain ROSE-01",
        "Stir ROSE-01",
    ]
    assert [len(notice.buttons) for notice in notices] == [0, 0, 1]


def test_long_lists_are_cut_and_the_latest_jar_is_named_first():
    late = [
        reminder(number, "2026-11-25T09:00", ReminderKind.STRAIN, late_days=number % 3)
        for number in range(1, 11)
    ]
    (notice,) = group(late, 10)
    assert notice.body.startswith("ROSE-02 Rose petals (2 days late), ROSE-05")
    assert "ROSE-01 Rose petals (1 day late)" in notice.body
    assert notice.body.endswith(" and 5 more")
    assert len(notice.keys) == 10


def test_a_very_long_name_leaves_room_for_the_others():
    long = replace(reminder(1, "2026-11-25T08:00"), name="Rose " * 40)
    (notice,) = group([long, reminder(2, "2026-11-25T08:00")], 10)
    assert len(notice.body) < 80
    assert "…, ROSE-02" in notice.body
