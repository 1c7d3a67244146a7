"""What people say to the reminders: another rhythm, mute, *Later*, away."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from steepboard.domain.notices import Task
from steepboard.domain.quiet import Away
from steepboard.domain.records import Habit, Kind
from steepboard.domain.schedule import ReminderKind
from steepboard.errors import NothingDue, OutOfRange, TooLate, UnknownJar, WrongState
from steepboard.services import acts, reminder_acts, views
from steepboard.services.reminder_acts import Later, PutOff
from steepboard.services.reminders import RecordReminders
from tests.shelves import MORNING, desk_at, mute, order

DAY, HOUR = timedelta(days=1), timedelta(hours=1)
NEXT_NINE = datetime(2026, 3, 3, 8, 0, tzinfo=UTC)  # 09:00 in Vienna on the day after charging
STIR, TASTE = ReminderKind.STIR, ReminderKind.TASTE


def shelf_with(folder, count=1):
    desk = desk_at(folder)
    return desk, *(acts.charge(desk, order(), MORNING) for _ in range(count))


def keys(desk, now):
    """Return what a service that was just started would say."""
    return [key for notice in RecordReminders(desk).due(now) for key in notice.keys]


def stir_keys(desk, now):
    return [key for key in keys(desk, now) if key.startswith("stir/")]


def test_a_jar_follows_its_own_rhythm_and_an_undo_brings_the_former_back(tmp_path):
    desk, jar = shelf_with(tmp_path)
    every_third = Habit(stir_every_days=3, stir_at=time(21, 30))
    assert reminder_acts.remind(desk, jar.code, every_third, MORNING).habit == every_third
    evening = NEXT_NINE + timedelta(hours=12, minutes=30)
    assert keys(desk, NEXT_NINE) == []
    asked = [stir_keys(desk, evening + days * DAY) for days in range(4)]
    assert asked == [["stir/1/2026-03-03"]] * 3 + [["stir/1/2026-03-06"]]
    daily = Habit(stir_every_days=1)
    reminder_acts.remind(desk, jar.code, daily, MORNING)
    assert keys(desk, NEXT_NINE) == ["stir/1/2026-03-03"]
    acts.undo(desk, jar.code, MORNING)
    assert views.jar(desk, jar.code).habit == every_third
    acts.undo(desk, jar.code, MORNING)
    assert views.jar(desk, jar.code) == jar
    assert keys(desk, NEXT_NINE) == ["stir/1/2026-03-03"]


def test_another_rhythm_is_an_act_of_the_diary_in_plain_words(tmp_path):
    desk, jar = shelf_with(tmp_path)
    habit = Habit(2, time(8, 5), 4, 3, time(16), time(11), date(2026, 3, 9))
    reminder_acts.remind(desk, jar.code, habit, MORNING)
    reminder_acts.remind(desk, jar.code, Habit(), MORNING)
    told, back = views.diary(desk, jar)[-2:]
    assert (told.kind, told.initials, told.at) == (Kind.REMIND, "KL", MORNING)
    assert told.note == (
        "stir every 2 d, stir at 08:05, taste from day 4, taste every 3 d, taste at 16:00, "
        "strain at 11:00, quiet until Mon 9 Mar 2026"
    )
    assert back.note == "as the house does"
    assert views.jar(desk, jar.code).habit == Habit()


def test_every_part_of_a_rhythm_moves_its_reminder(tmp_path):
    desk, jar = shelf_with(tmp_path)
    habit = Habit(taste_from_day=4, taste_every_days=5, taste_at=time(12), strain_at=time(15))
    reminder_acts.remind(desk, jar.code, habit, MORNING)
    found = set()
    for hours in range(15 * 24):
        found |= {(key, hours) for key in keys(desk, MORNING + hours * HOUR)}
    first = {}
    for key, hours in sorted(found, key=lambda pair: pair[1]):
        first.setdefault(key, MORNING + hours * HOUR)
    tasted = {key: at for key, at in first.items() if key.startswith("taste/")}
    assert tasted == {
        "taste/1/2026-03-06": datetime(2026, 3, 6, 11, tzinfo=UTC),
        "taste/1/2026-03-11": datetime(2026, 3, 11, 11, tzinfo=UTC),
    }
    assert first["strain/1/2026-03-16"] == datetime(2026, 3, 16, 14, tzinfo=UTC)


@pytest.mark.parametrize(
    ("habit", "quantity"),
    [
        (Habit(stir_every_days=0), "days between stirs"),
        (Habit(stir_every_days=61), "days between stirs"),
        (Habit(taste_from_day=0), "days until the first tasting"),
        (Habit(taste_from_day=401), "days until the first tasting"),
        (Habit(taste_every_days=0), "days between tastings"),
        (Habit(muted_until=date(2026, 3, 2)), "days until it is reminded of again"),
        (Habit(muted_until=date(2027, 4, 7)), "days until it is reminded of again"),
    ],
)
def test_a_rhythm_that_makes_no_sense_is_refused_and_nothing_written(tmp_path, habit, quantity):
    desk, jar = shelf_with(tmp_path)
    with pytest.raises(OutOfRange) as fault:
        reminder_acts.remind(desk, jar.code, habit, MORNING)
    assert fault.value.quantity == quantity
    assert views.jar(desk, jar.code) == jar


def test_only_an_unfinished_jar_has_a_rhythm(tmp_path):
    desk, jar = shelf_with(tmp_path)
    planned = acts.plan(desk, order(), MORNING)
    reminder_acts.remind(desk, planned.code, Habit(stir_every_days=2), MORNING)
    charged = acts.charge_planned(desk, planned.code, MORNING)
    assert charged.habit == Habit(stir_every_days=2)
    acts.strain(desk, jar.code, (), NEXT_NINE)
    mute(desk, jar.code, date(2026, 3, 9), NEXT_NINE)
    acts.strain(desk, jar.code, (), NEXT_NINE, bottled=True)
    with pytest.raises(WrongState, match="is bottled: it cannot be reminded of now"):
        mute(desk, jar.code, None, NEXT_NINE)
    with pytest.raises(UnknownJar):
        mute(desk, "MINT-09", None, NEXT_NINE)


def test_a_muted_jar_keeps_quiet_until_its_day_and_its_rhythm_stays(tmp_path):
    desk, jar, other = shelf_with(tmp_path, 2)
    reminder_acts.remind(desk, jar.code, Habit(stir_at=time(8, 30)), MORNING)
    muted = mute(desk, jar.code, date(2026, 3, 5), MORNING)
    assert muted.habit == Habit(stir_at=time(8, 30), muted_until=date(2026, 3, 5))
    assert keys(desk, NEXT_NINE) == [f"stir/{other.id}/2026-03-03"]
    half_past_eight = NEXT_NINE + 2 * DAY - HOUR / 2
    assert stir_keys(desk, half_past_eight) == [f"stir/{jar.id}/2026-03-05"]
    spoken = mute(desk, jar.code, None, MORNING)
    assert spoken.habit == Habit(stir_at=time(8, 30))
    assert f"stir/{jar.id}/2026-03-03" in keys(desk, NEXT_NINE)


@pytest.mark.parametrize(
    ("choice", "until"),
    [
        (Later.HOUR, NEXT_NINE + timedelta(hours=2)),
        (Later.TONIGHT, datetime(2026, 3, 3, 17, tzinfo=UTC)),  # 18:00: time to get ready
        (Later.TOMORROW, datetime(2026, 3, 4, 8, tzinfo=UTC)),
    ],
)
def test_what_is_put_off_comes_again_then_and_not_before(tmp_path, choice, until):
    desk, jar = shelf_with(tmp_path)
    now = NEXT_NINE + HOUR
    assert reminder_acts.later(desk, jar.code, choice, now) == (
        PutOff(STIR, jar.id, jar.code, until),
    )
    assert stir_keys(desk, now) == stir_keys(desk, until - timedelta(seconds=1)) == []
    assert len(stir_keys(desk, until)) == 1
    acts.stir(desk, (jar.code,), until)
    assert stir_keys(desk, until) == []


def test_an_hour_that_ends_in_quiet_hours_ends_with_them(tmp_path):
    desk, jar = shelf_with(tmp_path)
    half_past_eleven = datetime(2026, 3, 3, 22, 30, tzinfo=UTC)
    acts.taste(desk, jar.code, "thin", half_past_eleven)
    (put_off,) = reminder_acts.later(desk, jar.code, Later.HOUR, half_past_eleven)
    eight = datetime(2026, 3, 4, 7, tzinfo=UTC)
    assert put_off.until == eight
    assert keys(desk, eight - timedelta(seconds=1)) == []
    assert "stir/1/2026-03-04" in keys(desk, eight)  # said with it, so that nine o'clock is quiet


def test_all_that_is_due_of_a_jar_is_put_off_at_once(tmp_path):
    desk, jar = shelf_with(tmp_path)
    evening = NEXT_NINE + 8 * HOUR  # 17:00, time to taste
    found = reminder_acts.later(desk, jar.code, Later.TOMORROW, evening)
    assert {put_off.kind: put_off.until for put_off in found} == {
        STIR: datetime(2026, 3, 4, 8, tzinfo=UTC),
        TASTE: datetime(2026, 3, 4, 16, tzinfo=UTC),
    }


@pytest.mark.parametrize("minutes", [0, 1, 5 * 60])
def test_in_the_evening_it_is_too_late_for_tonight(tmp_path, minutes):
    desk, jar = shelf_with(tmp_path)
    six = datetime(2026, 3, 3, 17, tzinfo=UTC) + timedelta(minutes=minutes)
    with pytest.raises(TooLate, match="by 1h, or until tomorrow"):
        reminder_acts.later(desk, jar.code, Later.TONIGHT, six)
    assert keys(desk, six)


def test_where_nothing_is_due_there_is_nothing_to_put_off(tmp_path):
    desk, jar = shelf_with(tmp_path)
    for now in (MORNING, NEXT_NINE - timedelta(seconds=1)):
        with pytest.raises(NothingDue, match=f"Nothing of {jar.code} is due now"):
            reminder_acts.later(desk, jar.code, Later.HOUR, now)
    acts.stir(desk, (jar.code,), NEXT_NINE)
    with pytest.raises(NothingDue):
        reminder_acts.later(desk, jar.code, Later.HOUR, NEXT_NINE)
    with pytest.raises(UnknownJar):
        reminder_acts.later(desk, "MINT-09", Later.HOUR, NEXT_NINE)


def test_of_a_notice_only_what_is_still_due_is_put_off(tmp_path):
    desk, stirred, strained, left, undone = shelf_with(tmp_path, 4)
    acts.stir(desk, (stirred.code,), NEXT_NINE)
    acts.strain(desk, strained.code, (), NEXT_NINE)
    acts.undo(desk, undone.code, NEXT_NINE)
    tasks = [Task(STIR, jar.id) for jar in (stirred, strained, left, undone)] + [Task(STIR, 99)]
    (put_off,) = reminder_acts.later_all(desk, tasks, Later.HOUR, NEXT_NINE)
    assert put_off.jar_id == left.id
    assert reminder_acts.later_all(desk, tasks[:2], Later.HOUR, NEXT_NINE) == ()


def test_putting_off_again_counts_from_then(tmp_path):
    desk, jar = shelf_with(tmp_path)
    reminder_acts.later(desk, jar.code, Later.TOMORROW, NEXT_NINE)
    (again,) = reminder_acts.later(desk, jar.code, Later.HOUR, NEXT_NINE + HOUR)
    assert again.until == NEXT_NINE + 2 * HOUR
    assert len(keys(desk, again.until)) == 1


def test_days_away_are_kept_in_place_of_others_and_can_be_ended(tmp_path):
    desk, jar = shelf_with(tmp_path)
    assert reminder_acts.away_now(desk, MORNING) is None
    reminder_acts.set_away(desk, date(2026, 4, 1), date(2026, 4, 9), MORNING)
    away = reminder_acts.set_away(desk, date(2026, 3, 3), date(2026, 3, 4), MORNING)
    assert reminder_acts.away_now(desk, MORNING) == away == Away(date(2026, 3, 3), date(2026, 3, 4))
    assert keys(desk, NEXT_NINE) == keys(desk, NEXT_NINE + DAY) == []
    assert reminder_acts.away_now(desk, NEXT_NINE + DAY) == away  # the last day
    assert reminder_acts.away_now(desk, NEXT_NINE + 2 * DAY) is None
    back = datetime(2026, 3, 5, 7, tzinfo=UTC)  # the end of the quiet hours
    assert keys(desk, back - timedelta(seconds=1)) == []
    assert f"stir/{jar.id}/2026-03-04" in keys(desk, back)
    reminder_acts.end_away(desk)
    assert keys(desk, NEXT_NINE) == ["stir/1/2026-03-03"]
    assert reminder_acts.away_now(desk, NEXT_NINE) is None


@pytest.mark.parametrize(
    ("first", "last"),
    [
        (date(2026, 3, 4), date(2026, 3, 3)),  # back before one leaves
        (date(2026, 2, 1), date(2026, 3, 1)),  # over already
        (date(2026, 3, 3), date(2027, 4, 8)),  # more than 400 days
    ],
)
def test_days_away_that_make_no_sense_are_refused(tmp_path, first, last):
    desk, _ = shelf_with(tmp_path)
    with pytest.raises(OutOfRange):
        reminder_acts.set_away(desk, first, last, MORNING)
    assert reminder_acts.away_now(desk, MORNING) is None


def test_what_would_be_over_by_then_is_not_put_off(tmp_path):
    desk, jar = shelf_with(tmp_path)
    reminder_acts.remind(desk, jar.code, Habit(taste_from_day=60), MORNING)
    strain_day = datetime(2026, 3, 16, 8, 30, tzinfo=UTC)  # 09:30: the last stir is due
    with pytest.raises(TooLate, match="By then it is over"):
        reminder_acts.later(desk, jar.code, Later.TOMORROW, strain_day)
    at_ten = strain_day + timedelta(minutes=30)
    put_off = reminder_acts.later(desk, jar.code, Later.TOMORROW, at_ten)
    assert [one.kind for one in put_off] == [ReminderKind.STRAIN]
