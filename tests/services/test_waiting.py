"""Where one jar stands with its reminders: due, put off, and next."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from steepboard.domain.records import Habit
from steepboard.domain.schedule import ReminderKind
from steepboard.services import acts, reminder_acts, views
from steepboard.services.reminder_acts import Later
from steepboard.services.waiting import waiting
from tests.shelves import MORNING, VIENNA, desk_at, order

# Charged on Monday 2 March for 14 days. The house: stirs daily at 9:00, get ready at 18:00 the
# evening before, strain at 10:00; its botanical is to be tasted from day 5 or later, at 17:00.
NEXT_TEN = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)  # 10:00 in Vienna on the day after charging
STIR, STRAIN, READY = ReminderKind.STIR, ReminderKind.STRAIN, ReminderKind.GET_READY


def vienna(*when):
    return datetime(*when, tzinfo=VIENNA)


def charged(folder):
    desk = desk_at(folder)
    return desk, acts.charge(desk, order(), MORNING).code


def standing(desk, code, now):
    return waiting(desk, views.jar(desk, code), now)


def test_what_is_due_and_what_comes_next_of_each_kind(tmp_path):
    desk, code = charged(tmp_path)
    found = standing(desk, code, NEXT_TEN)
    assert found.due == (STIR,)
    assert found.put_off == ()
    assert found.again_at is None
    ahead = dict(found.ahead)
    assert ahead[STIR] == vienna(2026, 3, 4, 9)
    assert ahead[READY] == vienna(2026, 3, 15, 18)
    assert ahead[STRAIN] == vienna(2026, 3, 16, 10)
    assert [at for _, at in found.ahead] == sorted(at for _, at in found.ahead)


def test_what_is_put_off_comes_again_then_and_not_once_it_is_done(tmp_path):
    desk, code = charged(tmp_path)
    reminder_acts.later(desk, code, Later.HOUR, NEXT_TEN)
    found = standing(desk, code, NEXT_TEN)
    assert found.put_off == ((STIR, vienna(2026, 3, 3, 11)),)
    assert found.again_at == vienna(2026, 3, 3, 11)
    assert dict(found.ahead)[STIR] == vienna(2026, 3, 3, 11)
    acts.stir(desk, (code,), NEXT_TEN)
    done = standing(desk, code, NEXT_TEN)
    assert done.due == done.put_off == ()
    assert done.again_at is None
    assert dict(done.ahead)[STIR] == vienna(2026, 3, 4, 9)


def test_days_away_and_a_mute_move_what_comes_next(tmp_path):
    desk, code = charged(tmp_path)
    reminder_acts.remind(desk, code, Habit(muted_until=date(2026, 3, 6)), MORNING)
    assert dict(standing(desk, code, NEXT_TEN).ahead)[STIR] == vienna(2026, 3, 6, 9)
    reminder_acts.set_away(desk, date(2026, 3, 5), date(2026, 3, 8), MORNING)
    # Quiet hours end at 8:00, so that the day back begins then.
    assert dict(standing(desk, code, NEXT_TEN).ahead)[STIR] == vienna(2026, 3, 9, 8)


def test_a_settling_jar_is_to_be_bottled_and_a_finished_one_asks_for_nothing(tmp_path):
    desk, code = charged(tmp_path)
    strained = MORNING + timedelta(days=14)
    acts.strain(desk, code, (), strained)
    # The house lets the mud settle for 2 days.
    assert standing(desk, code, strained).ahead == ((ReminderKind.BOTTLE, vienna(2026, 3, 18, 10)),)
    acts.discard(desk, code, "spilt", strained)
    assert standing(desk, code, strained).ahead == ()


def test_what_stays_due_is_said_again_by_one_that_is_not_put_off(tmp_path):
    desk, code = charged(tmp_path)
    strain_day = vienna(2026, 3, 16, 9, 30)
    reminder_acts.later(desk, code, Later.TONIGHT, strain_day)
    an_hour_on = strain_day + timedelta(hours=1)
    found = standing(desk, code, an_hour_on)
    assert found.due == (STRAIN, STIR)
    assert [kind for kind, _ in found.put_off] == [STIR]
    assert found.again_at is None
