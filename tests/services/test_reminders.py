"""The record under the reminder service: claimed once, never lost, always as it is now."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from steepboard.domain.records import Habit
from steepboard.domain.schedule import ReminderKind
from steepboard.services import acts, reminder_acts
from steepboard.services.reminders import RecordReminders
from steepboard.store import deliveries
from tests.shelves import MORNING, desk_at, order

DAY, MINUTE = timedelta(days=1), timedelta(minutes=1)
NEXT_NINE = datetime(2026, 3, 3, 8, 0, tzinfo=UTC)  # 09:00 in Vienna on the day after charging
MONTH = timedelta(days=31)


def shelf_with(folder, count):
    desk = desk_at(folder)
    jars = [acts.charge(desk, order(), MORNING) for _ in range(count)]
    return desk, jars, RecordReminders(desk_at(folder))


def deliver(reminders, now):
    """Deliver all that is due and return the keys."""
    keys = []
    for notice in reminders.due(now):
        assert reminders.claim(notice, now)
        reminders.delivered(notice, now)
        keys += notice.keys
    return keys


def test_jars_to_stir_go_out_as_one_notice_at_nine(tmp_path):
    _, jars, reminders = shelf_with(tmp_path, 3)
    assert reminders.next_wake(MORNING) == NEXT_NINE
    assert reminders.due(NEXT_NINE - timedelta(minutes=11)) == ()
    assert reminders.due(NEXT_NINE - timedelta(seconds=1)) == ()
    (notice,) = reminders.due(NEXT_NINE)
    assert {task.kind for task in notice.tasks} == {ReminderKind.STIR}
    assert [task.jar_id for task in notice.tasks] == [jar.id for jar in jars]
    assert [button.label for button in notice.buttons] == ["All stirred", "Later", "Open"]


def test_one_of_two_services_wins_a_notice_and_once_delivered_it_is_not_due(tmp_path):
    _, _, one = shelf_with(tmp_path, 2)
    other = RecordReminders(desk_at(tmp_path))
    (notice,) = one.due(NEXT_NINE)
    assert (one.claim(notice, NEXT_NINE), other.claim(notice, NEXT_NINE)) == (True, False)
    one.delivered(notice, NEXT_NINE)
    assert (one.due(NEXT_NINE), other.due(NEXT_NINE)) == ((), ())
    assert not other.claim(notice, NEXT_NINE + DAY)


def test_a_failed_delivery_stays_due_can_be_claimed_at_once_and_keeps_why(tmp_path):
    desk, _, reminders = shelf_with(tmp_path, 1)
    (notice,) = reminders.due(NEXT_NINE)
    assert reminders.claim(notice, NEXT_NINE)
    reminders.failed(notice, NEXT_NINE, "no notification service")
    assert reminders.due(NEXT_NINE) == (notice,)
    (failed,) = deliveries.last(desk.store, 5)
    assert (failed.key, failed.at) == (notice.keys[0], NEXT_NINE)
    assert failed.reason == "no notification service"
    assert reminders.claim(notice, NEXT_NINE + MINUTE)
    reminders.delivered(notice, NEXT_NINE + MINUTE)
    (delivered,) = deliveries.last(desk.store, 5)
    assert (delivered.at, delivered.reason) == (NEXT_NINE + MINUTE, "")


def test_the_last_deliveries_come_first_and_no_more_than_asked_for(tmp_path):
    desk, _, reminders = shelf_with(tmp_path, 1)
    first, second = deliver(reminders, NEXT_NINE), deliver(reminders, NEXT_NINE + DAY)
    told = [delivery.key for delivery in deliveries.last(desk.store, 9)]
    assert set(told[: len(second)]) == set(second)
    assert set(told[len(second) :]) == set(first)
    assert len(deliveries.last(desk.store, 1)) == 1


def test_a_claim_of_a_process_that_died_is_taken_over_after_a_minute(tmp_path):
    _, _, died = shelf_with(tmp_path, 1)
    heir = RecordReminders(desk_at(tmp_path))
    (notice,) = died.due(NEXT_NINE)
    assert died.claim(notice, NEXT_NINE)
    assert not heir.claim(notice, NEXT_NINE + timedelta(seconds=60))
    assert heir.claim(notice, NEXT_NINE + timedelta(seconds=61))


def test_what_another_process_claimed_is_left_to_it_while_the_rest_goes_out(tmp_path):
    desk, (jar,), one = shelf_with(tmp_path, 1)
    other = RecordReminders(desk_at(tmp_path))
    (notice,) = one.due(NEXT_NINE)
    assert one.claim(notice, NEXT_NINE)
    second = acts.charge(desk, order(), MORNING)
    (rest,) = other.due(NEXT_NINE)
    assert [task.jar_id for task in rest.tasks] == [second.id]
    (both,) = other.due(NEXT_NINE + timedelta(seconds=61))
    assert [task.jar_id for task in both.tasks] == [jar.id, second.id]


def test_what_another_process_claimed_is_looked_for_again_once_the_claim_has_lapsed(tmp_path):
    _, _, died = shelf_with(tmp_path, 1)
    heir = RecordReminders(desk_at(tmp_path))
    (notice,) = died.due(NEXT_NINE)
    assert died.claim(notice, NEXT_NINE)
    soon = NEXT_NINE + timedelta(seconds=10)
    assert heir.due(soon) == ()
    assert heir.next_wake(soon) == soon + timedelta(seconds=60)
    assert heir.due(soon + timedelta(seconds=60))
    assert heir.next_wake(soon + timedelta(seconds=60)) > NEXT_NINE + timedelta(hours=1)


def test_what_another_process_claims_between_look_and_claim_is_looked_for_again_too(tmp_path):
    _, _, died = shelf_with(tmp_path, 1)
    heir = RecordReminders(desk_at(tmp_path))
    (notice,) = heir.due(NEXT_NINE)
    assert died.claim(notice, NEXT_NINE)
    assert not heir.claim(notice, NEXT_NINE)
    assert heir.next_wake(NEXT_NINE) == NEXT_NINE + timedelta(seconds=60)


def test_a_claim_from_before_the_clock_was_set_back_does_not_hold_for_ever(tmp_path):
    _, _, died = shelf_with(tmp_path, 1)
    heir = RecordReminders(desk_at(tmp_path))
    (notice,) = died.due(NEXT_NINE)
    assert died.claim(notice, NEXT_NINE + timedelta(hours=1))
    assert heir.claim(notice, NEXT_NINE)


def test_an_hour_back_repeats_nothing(tmp_path):
    _, _, reminders = shelf_with(tmp_path, 1)
    assert deliver(reminders, NEXT_NINE + 30 * MINUTE)
    assert deliver(reminders, NEXT_NINE - 30 * MINUTE) == []
    assert deliver(reminders, NEXT_NINE + 40 * MINUTE) == []


def test_what_a_clock_a_month_ahead_delivered_is_said_when_its_time_really_comes(tmp_path):
    _, _, reminders = shelf_with(tmp_path, 1)
    assert deliver(reminders, NEXT_NINE)
    ahead = deliver(reminders, NEXT_NINE + MONTH)
    assert any(key.startswith("strain/") for key in ahead)
    assert deliver(reminders, NEXT_NINE + timedelta(hours=2)) == []  # that was said, and is past
    assert set(deliver(reminders, NEXT_NINE + MONTH)) == set(ahead)


def test_what_was_put_off_by_a_clock_a_month_ahead_is_not_put_off_once_it_is_set_back(tmp_path):
    desk, (jar,), reminders = shelf_with(tmp_path, 1)
    reminder_acts.later(desk, jar.code, reminder_acts.Later.HOUR, NEXT_NINE + 13 * DAY)
    assert "stir/1/2026-03-03" in deliver(reminders, NEXT_NINE)


@pytest.mark.parametrize("late", range(5))
def test_what_was_put_off_until_tomorrow_stays_so(tmp_path, late):
    desk, (jar,), reminders = shelf_with(tmp_path, 1)
    acts.taste(desk, jar.code, "thin", NEXT_NINE)
    now = NEXT_NINE + timedelta(hours=3 * late)
    reminder_acts.later(desk, jar.code, reminder_acts.Later.TOMORROW, now)
    assert deliver(reminders, now) == []
    assert deliver(reminders, NEXT_NINE + DAY) == ["stir/1/2026-03-04"]


def test_near_ones_of_a_kind_come_along_and_are_not_said_again(tmp_path):
    desk, jars, reminders = shelf_with(tmp_path, 3)
    for jar, minute in zip(jars, (0, 10, 11), strict=True):
        reminder_acts.remind(desk, jar.code, Habit(stir_at=time(9, minute)), MORNING)
    (notice,) = reminders.due(NEXT_NINE)
    assert [task.jar_id for task in notice.tasks] == [jars[0].id, jars[1].id]
    assert len(deliver(reminders, NEXT_NINE)) == 2
    assert deliver(reminders, NEXT_NINE + 10 * MINUTE) == []
    assert deliver(reminders, NEXT_NINE + 11 * MINUTE) == [f"stir/{jars[2].id}/2026-03-03"]


def test_a_near_one_that_came_along_keeps_its_notice_until_it_is_done_too(tmp_path):
    desk, (first, second), reminders = shelf_with(tmp_path, 2)
    reminder_acts.remind(desk, second.code, Habit(stir_at=time(9, 10)), MORNING)
    (notice,) = reminders.due(NEXT_NINE)
    acts.stir(desk, (first.code,), NEXT_NINE)
    assert reminders.over((notice,), NEXT_NINE + MINUTE) == ()
    acts.stir(desk, (second.code,), NEXT_NINE + MINUTE)
    assert reminders.over((notice,), NEXT_NINE + MINUTE) == (notice,)


def test_a_notice_is_over_when_its_work_is_done_put_off_or_past(tmp_path):
    desk, (jar, other), reminders = shelf_with(tmp_path, 2)
    (notice,) = reminders.due(NEXT_NINE)
    deliver(reminders, NEXT_NINE)
    assert reminders.over((notice,), NEXT_NINE) == ()
    acts.stir(desk, (jar.code,), NEXT_NINE)
    assert reminders.over((notice,), NEXT_NINE) == ()  # one of two is left
    reminder_acts.later(desk, other.code, reminder_acts.Later.HOUR, NEXT_NINE)
    assert reminders.over((notice,), NEXT_NINE) == (notice,)
    acts.undo(desk, jar.code, NEXT_NINE)
    assert reminders.over((notice,), NEXT_NINE) == ()
    midnight = datetime(2026, 3, 3, 23, 0, tzinfo=UTC)
    assert reminders.over((notice,), midnight - MINUTE) == ()
    assert reminders.over((notice,), midnight) == (notice,)
    assert reminders.over((), midnight) == ()


def test_a_jar_strained_or_stirred_elsewhere_is_no_longer_due(tmp_path):
    desk, (jar,), reminders = shelf_with(tmp_path, 1)
    assert reminders.due(NEXT_NINE)
    assert not reminders.changed()
    acts.stir(desk, (jar.code,), NEXT_NINE)
    assert reminders.changed()
    assert reminders.due(NEXT_NINE) == ()
    assert not reminders.changed()
    acts.strain(desk, jar.code, (), NEXT_NINE)
    assert reminders.due(NEXT_NINE) == ()
    settled = datetime(2026, 3, 5, 9, 0, tzinfo=UTC)  # two days on, at ten: the house's default
    assert reminders.next_wake(NEXT_NINE) == settled
    (bottle,) = reminders.due(settled)
    assert bottle.title == f"Bottle {jar.code}"
    acts.strain(desk, jar.code, (), settled, bottled=True)
    assert (reminders.due(settled), reminders.next_wake(settled)) == ((), None)


def test_what_was_worked_out_ahead_counts_no_more_once_the_record_changed(tmp_path):
    desk, (first, second, third), reminders = shelf_with(tmp_path, 3)
    assert reminders.next_wake(MORNING) == NEXT_NINE
    acts.stir(desk, (first.code,), NEXT_NINE - MINUTE)
    acts.charge(desk, order(), MORNING)
    (notice,) = reminders.due(NEXT_NINE)
    asked = [task.jar_id for task in notice.tasks]
    assert asked == [second.id, third.id, third.id + 1]


def test_the_record_is_read_again_only_when_it_changed(tmp_path, monkeypatch):
    desk, _, reminders = shelf_with(tmp_path, 2)
    reads = []
    read = reminders._desk.store.rows
    monkeypatch.setattr(
        reminders._desk.store, "rows", lambda sql, *more: reads.append(sql) or read(sql, *more)
    )

    def diary_reads():
        found = sum("from live" in sql for sql in reads)
        reads.clear()
        return found

    reminders.due(NEXT_NINE)
    assert diary_reads() == 1
    deliver(reminders, NEXT_NINE)
    assert (reminders.changed(), reminders.next_wake(NEXT_NINE)) == (
        False,
        NEXT_NINE.replace(hour=16),
    )
    assert diary_reads() == 0
    acts.charge(desk, order(), MORNING)
    reminders.next_wake(NEXT_NINE)
    assert diary_reads() == 1


def test_a_change_of_zone_moves_the_reminders(tmp_path):
    _, _, reminders = shelf_with(tmp_path, 1)
    here = reminders._desk
    there = replace(here, zone=ZoneInfo("America/New_York"))
    now = [here]
    moved = RecordReminders(here, lambda desk: now[0])
    assert (moved.due(MORNING), moved.next_wake(MORNING)) == ((), NEXT_NINE)
    assert not moved.changed()
    now[0] = there
    assert moved.changed()
    nine_there = datetime(2026, 3, 3, 14, 0, tzinfo=UTC)
    assert (moved.due(MORNING), moved.next_wake(MORNING)) == ((), nine_there)
    assert not moved.changed()


@pytest.mark.parametrize("ending", ["over", "next_wake"])
def test_what_changes_while_a_notice_is_sent_is_looked_at_again(tmp_path, ending):
    """Also where the end of that look has read it: it asked before then for what is due."""
    desk, (jar,), reminders = shelf_with(tmp_path, 1)
    acts.stir(desk, (jar.code,), NEXT_NINE)
    assert reminders.due(NEXT_NINE) == ()
    acts.undo(desk, jar.code, NEXT_NINE)
    if ending == "over":
        reminders.over((), NEXT_NINE)
    else:
        reminders.next_wake(NEXT_NINE)
    assert reminders.changed()
    assert [notice.title for notice in reminders.due(NEXT_NINE)] == [f"Stir {jar.code}"]
    assert not reminders.changed()


@pytest.mark.parametrize("zones", [("Pacific/Auckland", "Pacific/Honolulu"), ("UTC", "Asia/Tokyo")])
def test_what_was_said_is_not_said_again_in_another_zone(tmp_path, zones):
    here, there = (desk_at(tmp_path, zone=ZoneInfo(zone)) for zone in zones)
    # Charged and strained in an hour that is another day there; tasted and stirred by threes.
    evening = MORNING + timedelta(hours=9)
    acts.charge(here, order(days=20, stir_every_days=3), evening)
    settled = acts.charge(here, order(), MORNING)
    acts.strain(here, settled.code, (), evening)
    said = []
    for hours, desk in enumerate((here, there, here, there)):
        said += deliver(RecordReminders(desk), MORNING + 6 * DAY + timedelta(hours=hours))
    assert sorted(key.split("/")[0] for key in said) == ["bottle", "stir", "taste"]


def test_new_settings_move_the_reminders_of_jars_without_a_habit_of_their_own(tmp_path):
    desk, (jar, _), _ = shelf_with(tmp_path, 2)
    reminder_acts.remind(desk, jar.code, Habit(stir_at=time(8, 30)), MORNING)
    house = replace(desk.settings.reminders, stir_at=time(12))
    noon = replace(desk, settings=replace(desk.settings, reminders=house))
    reminders = RecordReminders(desk_at(tmp_path), lambda desk: noon)
    assert reminders.changed()
    assert deliver(reminders, NEXT_NINE) == ["stir/1/2026-03-03"]
    assert deliver(reminders, NEXT_NINE + timedelta(hours=3)) == ["stir/2/2026-03-03"]


def test_days_away_end_in_one_digest_of_what_hurts_most(tmp_path):
    desk, (jar, other), reminders = shelf_with(tmp_path, 2)
    acts.move(desk, jar.code, date(2026, 3, 6), "sooner", MORNING)
    reminder_acts.set_away(desk, date(2026, 3, 4), date(2026, 3, 8), MORNING)
    for hours in range(24, 6 * 24 - 2):
        assert deliver(reminders, NEXT_NINE + timedelta(hours=hours)) == [] or hours < 15
    back = datetime(2026, 3, 9, 7, 0, tzinfo=UTC)  # eight in the morning
    (digest,) = reminders.due(back)
    assert digest.title.endswith(f"first: strain {jar.code}")
    assert {(task.kind.value, task.jar_id) for task in digest.tasks} == {
        ("strain", jar.id),
        ("taste", other.id),
        ("stir", other.id),
    }
    assert deliver(reminders, back)
    assert deliver(reminders, back + timedelta(hours=1)) == []  # the stir of nine was in it


def test_nothing_is_said_to_be_due_since_before_the_jar_was_charged(tmp_path):
    desk, _, reminders = shelf_with(tmp_path, 0)
    charged = MORNING + timedelta(hours=11)  # 20:00 in Vienna: two hours after one gets ready
    acts.charge(desk, order(days=1), charged)
    (ready,) = reminders.due(charged + MINUTE)
    assert (ready.title, ready.due) == ("Get ready to strain CARA-01", charged)
    assert "Due since" not in ready.body
    (late,) = reminders.due(charged + timedelta(hours=1))
    assert "Due since 20:00" in late.body


def test_on_return_what_was_said_before_one_left_is_named_too(tmp_path):
    desk, (settled, _), reminders = shelf_with(tmp_path, 2)
    acts.strain(desk, settled.code, (), MORNING)
    left = MORNING + 2 * DAY + timedelta(hours=12)
    assert "bottle/1/2026-03-04" in deliver(reminders, left)
    reminder_acts.set_away(desk, date(2026, 3, 5), date(2026, 3, 8), left)
    back = datetime(2026, 3, 9, 7, 0, tzinfo=UTC)
    (digest,) = reminders.due(back)
    assert [task.kind.value for task in digest.tasks] == ["taste", "stir", "bottle"]
    assert not any(key.startswith("bottle") for key in digest.keys)
    assert deliver(reminders, back)
    assert reminders.due(back + MINUTE) == ()


def test_what_a_clock_half_a_day_ahead_delivered_is_said_when_its_time_really_comes(tmp_path):
    _, _, reminders = shelf_with(tmp_path, 1)
    ahead = NEXT_NINE + timedelta(minutes=1)
    told = deliver(reminders, ahead)
    evening_before = ahead - timedelta(hours=13)
    assert reminders.due(evening_before) == ()
    assert deliver(reminders, NEXT_NINE) == told


def test_a_new_notice_of_a_kind_names_again_what_is_still_to_be_done_of_the_former(tmp_path):
    desk, (left, later), reminders = shelf_with(tmp_path, 2)
    deliver(reminders, NEXT_NINE)
    reminder_acts.later(desk, later.code, reminder_acts.Later.HOUR, NEXT_NINE + MINUTE)
    assert reminders.due(NEXT_NINE + 30 * MINUTE) == ()
    (notice,) = reminders.due(NEXT_NINE + 61 * MINUTE)
    assert {task.jar_id for task in notice.tasks} == {left.id, later.id}
    assert [key.split("/")[1] for key in notice.keys] == [str(later.id)]
    acts.stir(desk, (later.code,), NEXT_NINE + 62 * MINUTE)
    assert reminders.over((notice,), NEXT_NINE + 62 * MINUTE) == ()
    acts.stir(desk, (left.code,), NEXT_NINE + 63 * MINUTE)
    assert reminders.over((notice,), NEXT_NINE + 63 * MINUTE) == (notice,)
