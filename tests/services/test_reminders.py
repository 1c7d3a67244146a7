"""The record under the reminder service: claimed once, never lost, answered into the diary."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from steepboard.domain.records import Kind, Source
from steepboard.domain.schedule import ReminderKind
from steepboard.services import acts, views
from steepboard.services.reminders import RecordReminders
from tests.shelves import MORNING, desk_at, order

DAY = timedelta(days=1)
NEXT_NINE = datetime(2026, 3, 3, 8, 0, tzinfo=UTC)  # 09:00 in Vienna on the day after charging


def shelf_with(folder, count):
    desk = desk_at(folder)
    jars = [acts.charge(desk, order(), MORNING) for _ in range(count)]
    return desk, jars, RecordReminders(desk_at(folder))


def test_jars_to_stir_go_out_as_one_notice_at_nine(tmp_path):
    _, jars, reminders = shelf_with(tmp_path, 3)
    assert reminders.next_wake(MORNING) == NEXT_NINE
    assert reminders.due(NEXT_NINE - timedelta(seconds=1)) == ()
    (notice,) = reminders.due(NEXT_NINE)
    assert notice.kind is ReminderKind.STIR
    assert notice.jar_ids == tuple(jar.id for jar in jars)
    assert [button.label for button in notice.buttons] == ["All stirred"]


def test_one_of_two_services_wins_a_notice_and_once_delivered_it_is_not_due(tmp_path):
    _, _, one = shelf_with(tmp_path, 2)
    other = RecordReminders(desk_at(tmp_path))
    (notice,) = one.due(NEXT_NINE)
    assert (one.claim(notice, NEXT_NINE), other.claim(notice, NEXT_NINE)) == (True, False)
    one.delivered(notice, NEXT_NINE)
    assert (one.due(NEXT_NINE), other.due(NEXT_NINE)) == ((), ())
    assert not other.claim(notice, NEXT_NINE + DAY)


def test_a_failed_delivery_stays_due_and_can_be_claimed_at_once(tmp_path):
    _, _, reminders = shelf_with(tmp_path, 1)
    (notice,) = reminders.due(NEXT_NINE)
    assert reminders.claim(notice, NEXT_NINE)
    reminders.failed(notice, NEXT_NINE, "no notification service")
    assert reminders.due(NEXT_NINE) == (notice,)
    assert reminders.claim(notice, NEXT_NINE)


def test_a_claim_of_a_process_that_died_is_taken_over_after_a_minute(tmp_path):
    _, _, died = shelf_with(tmp_path, 1)
    heir = RecordReminders(desk_at(tmp_path))
    (notice,) = died.due(NEXT_NINE)
    assert died.claim(notice, NEXT_NINE)
    assert not heir.claim(notice, NEXT_NINE + timedelta(seconds=60))
    assert heir.claim(notice, NEXT_NINE + timedelta(seconds=61))


def test_a_claim_from_before_the_clock_was_set_back_does_not_hold_for_ever(tmp_path):
    _, _, died = shelf_with(tmp_path, 1)
    heir = RecordReminders(desk_at(tmp_path))
    (notice,) = died.due(NEXT_NINE)
    assert died.claim(notice, NEXT_NINE + timedelta(hours=1))
    assert heir.claim(notice, NEXT_NINE)


def test_a_pressed_button_is_a_stir_in_the_diary_and_twice_does_no_harm(tmp_path):
    desk, (jar, other), reminders = shelf_with(tmp_path, 2)
    acts.stir(desk, (other.code,), NEXT_NINE)
    assert reminders.stirred((jar.id, other.id), NEXT_NINE) == (jar.code,)
    assert reminders.stirred((jar.id, other.id), NEXT_NINE) == ()
    entry = views.diary(desk, jar)[-1]
    assert (entry.kind, entry.source, entry.at) == (Kind.STIR, Source.NOTIFICATION, NEXT_NINE)


def test_an_old_button_for_a_strained_or_undone_jar_writes_nothing(tmp_path):
    desk, (strained, undone), reminders = shelf_with(tmp_path, 2)
    acts.strain(desk, strained.code, (), NEXT_NINE)
    acts.undo(desk, undone.code, NEXT_NINE)
    assert reminders.stirred((strained.id, undone.id, 99), NEXT_NINE) == ()


def test_a_jar_strained_or_stirred_elsewhere_is_no_longer_due(tmp_path):
    desk, (jar,), reminders = shelf_with(tmp_path, 1)
    assert not reminders.changed()
    acts.stir(desk, (jar.code,), NEXT_NINE)
    assert reminders.changed()
    assert not reminders.changed()
    assert reminders.due(NEXT_NINE) == ()
    acts.strain(desk, jar.code, (), NEXT_NINE)
    assert reminders.next_wake(NEXT_NINE) is None
