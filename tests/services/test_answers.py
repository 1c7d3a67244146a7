"""What a pressed button does, however late and however often it is pressed."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

import pytest

from steepboard.domain.notices import ANSWER
from steepboard.domain.records import Habit, Kind, Source
from steepboard.services import acts, reminder_acts, views
from steepboard.services.answers import Answer
from steepboard.services.reminders import RecordReminders
from tests.shelves import MORNING, desk_at, order

DAY, HOUR, MINUTE = timedelta(days=1), timedelta(hours=1), timedelta(minutes=1)
NEXT_NINE = datetime(2026, 3, 3, 8, 0, tzinfo=UTC)  # 09:00 in Vienna on the day after charging


def noticed(folder, count=1, now=NEXT_NINE):
    """Return a shelf, its jars, the service as the notification is answered, and its notice."""
    desk = desk_at(folder)
    jars = [acts.charge(desk, order(), MORNING) for _ in range(count)]
    reminders = RecordReminders(desk_at(folder, source=Source.NOTIFICATION))
    (notice,) = reminders.due(now)
    assert reminders.claim(notice, now)
    reminders.delivered(notice, now)
    return desk, jars, reminders, notice


def stirs(desk, jar):
    return sum(entry.kind is Kind.STIR for entry in views.diary(desk, jar))


def told(answer):
    return f"{answer.reply.title}. {answer.reply.body}" if answer.reply else ""


def test_stirred_is_an_entry_of_the_diary_from_the_notification(tmp_path):
    desk, (jar,), reminders, notice = noticed(tmp_path)
    assert reminders.answer(notice, "stirred", NEXT_NINE) == Answer((jar.code,))
    entry = views.diary(desk, jar)[-1]
    assert (entry.kind, entry.source, entry.at) == (Kind.STIR, Source.NOTIFICATION, NEXT_NINE)
    assert reminders.over((notice,), NEXT_NINE) == (notice,)


def test_pressed_twice_it_is_written_once_and_the_second_press_is_told(tmp_path):
    desk, (jar,), reminders, notice = noticed(tmp_path)
    reminders.answer(notice, "stirred", NEXT_NINE)
    again = reminders.answer(notice, "stirred", NEXT_NINE + HOUR)
    assert again.stirred == ()
    assert told(again) == f"Nothing was written. {jar.code} was stirred today already."
    assert again.reply.slot == ANSWER
    assert again.reply.buttons == ()
    assert stirs(desk, jar) == 1


def test_of_several_jars_the_one_stirred_at_the_board_is_left_out(tmp_path):
    desk, (first, second), reminders, notice = noticed(tmp_path, 2)
    acts.stir(desk, (first.code,), NEXT_NINE)
    assert reminders.answer(notice, "all-stirred", NEXT_NINE) == Answer((second.code,))
    assert (stirs(desk, first), stirs(desk, second)) == (1, 1)


def test_for_jars_strained_thrown_away_or_undone_nothing_is_written(tmp_path):
    desk, (strained, discarded, undone), reminders, notice = noticed(tmp_path, 3)
    acts.strain(desk, strained.code, (), NEXT_NINE)
    acts.discard(desk, discarded.code, "mould", NEXT_NINE)
    acts.undo(desk, undone.code, NEXT_NINE)
    before = [views.diary(desk, jar) for jar in (strained, discarded, undone)]
    answer = reminders.answer(notice, "all-stirred", NEXT_NINE)
    assert answer.stirred == ()
    assert told(answer) == (
        f"Nothing was written. {strained.code} is settling: there is nothing to stir. "
        f"{discarded.code} is discarded: there is nothing to stir. "
        "That jar was taken off the shelf."
    )
    assert [views.diary(desk, jar) for jar in (strained, discarded, undone)] == before


def test_an_undone_stir_may_be_pressed_again(tmp_path):
    desk, (jar,), reminders, notice = noticed(tmp_path)
    reminders.answer(notice, "stirred", NEXT_NINE)
    acts.undo(desk, jar.code, NEXT_NINE)
    assert reminders.answer(notice, "stirred", NEXT_NINE).stirred == (jar.code,)


def test_on_the_next_day_the_button_stands_for_that_day(tmp_path):
    desk, (jar,), reminders, notice = noticed(tmp_path)
    assert reminders.answer(notice, "stirred", NEXT_NINE + DAY).stirred == (jar.code,)
    assert [entry.at for entry in views.diary(desk, jar)][-1] == NEXT_NINE + DAY


def test_before_the_next_stir_is_due_an_old_button_writes_nothing(tmp_path):
    desk, (jar,), reminders, notice = noticed(tmp_path)
    answer = reminders.answer(notice, "stirred", NEXT_NINE + DAY - HOUR)
    assert told(answer) == f"Nothing was written. The reminder of {jar.code} is over."
    assert stirs(desk, jar) == 0


@pytest.mark.parametrize("pressed", ["stirred", "all-stirred"])
def test_stirred_does_nothing_for_what_is_no_stir(tmp_path, pressed):
    desk, (jar,), reminders, notice = noticed(tmp_path, now=NEXT_NINE + 14 * DAY)
    assert {task.kind.value for task in notice.tasks} == {"strain"}
    assert reminders.answer(notice, pressed, NEXT_NINE + 14 * DAY) == Answer()
    assert stirs(desk, jar) == 0


def test_later_says_until_when_and_offers_to_wait_longer(tmp_path):
    _, (jar,), reminders, notice = noticed(tmp_path)
    answer = reminders.answer(notice, "later", NEXT_NINE)
    assert told(answer) == f"Put off: {jar.code}. Again at 10:00. Or later:"
    assert [button.label for button in answer.reply.buttons] == ["Tonight", "Tomorrow"]
    assert reminders.over((notice,), NEXT_NINE) == (notice,)
    tonight = reminders.answer(answer.reply, "tonight", NEXT_NINE)
    assert told(tonight) == f"Put off: {jar.code}. Again at 18:00."
    tomorrow = reminders.answer(answer.reply, "tomorrow", NEXT_NINE)
    assert told(tomorrow) == f"Put off: {jar.code}. Again Wednesday at 9:00."
    assert (tonight.reply.buttons, tomorrow.reply.buttons) == ((), ())
    assert reminders.due(NEXT_NINE + HOUR) == ()
    (again,) = reminders.due(NEXT_NINE + DAY)
    assert set(again.tasks) > set(notice.tasks)  # with the tasting of yesterday evening


def test_in_the_evening_only_tomorrow_is_offered_and_an_old_tonight_is_refused(tmp_path):
    _, (jar,), reminders, notice = noticed(tmp_path)
    eight = datetime(2026, 3, 3, 19, tzinfo=UTC)
    answer = reminders.answer(notice, "later", eight)
    assert told(answer) == f"Put off: {jar.code}. Again at 21:00. Or later:"
    assert [button.label for button in answer.reply.buttons] == ["Tomorrow"]
    refused = reminders.answer(answer.reply, "tonight", eight)
    assert told(refused).startswith("Not put off. It is evening already")


def test_before_midnight_an_hour_ends_with_the_quiet_hours_and_says_so(tmp_path):
    _, (jar,), reminders, notice = noticed(tmp_path)
    answer = reminders.answer(notice, "later", datetime(2026, 3, 3, 22, 30, tzinfo=UTC))
    assert told(answer) == f"Put off: {jar.code}. Again Wednesday at 8:00. Or later:"


@pytest.mark.parametrize("pressed", ["later", "tonight", "tomorrow"])
def test_nothing_is_put_off_that_is_done(tmp_path, pressed):
    desk, (jar, other), reminders, notice = noticed(tmp_path, 2)
    acts.stir(desk, (jar.code,), NEXT_NINE)
    acts.strain(desk, other.code, (), NEXT_NINE)
    answer = reminders.answer(notice, pressed, NEXT_NINE)
    assert told(answer).startswith("Nothing to put off. What it asked for is done or over.")


def test_what_no_button_of_ours_sends_does_nothing(tmp_path):
    desk, (jar,), reminders, notice = noticed(tmp_path)
    assert reminders.answer(notice, "'; drop table jar; --", NEXT_NINE) == Answer()
    assert stirs(desk, jar) == 0
    assert views.jar(desk, jar.code) == jar


def test_a_jar_that_came_along_early_is_answered_with_the_others(tmp_path):
    desk = desk_at(tmp_path)
    first, near = (acts.charge(desk, order(), MORNING) for _ in range(2))
    reminder_acts.remind(desk, near.code, Habit(stir_at=time(9, 8)), MORNING)
    reminders = RecordReminders(desk_at(tmp_path, source=Source.NOTIFICATION))
    (notice,) = reminders.due(NEXT_NINE)
    assert len(notice.tasks) == 2
    put_off = reminders.answer(notice, "later", NEXT_NINE + MINUTE)
    assert put_off.reply.title == f"Put off: {first.code}, {near.code}"
    stirred = reminders.answer(notice, "all-stirred", NEXT_NINE + MINUTE)
    assert stirred == Answer((first.code, near.code))
