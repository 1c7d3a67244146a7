"""What the shelf shows: wants in order, a mark for each day, and the days ahead."""

from __future__ import annotations

from datetime import date, timedelta

from steepboard.services import acts, calendar, views
from steepboard.services.calendar import DayKind
from steepboard.services.reminders import RecordReminders
from steepboard.services.views import Hand, Mark
from tests.shelves import MORNING, desk_at, order

DAY = timedelta(days=1)


def test_what_hurts_most_comes_first(tmp_path):
    desk = desk_at(tmp_path)
    now = MORNING + 14 * DAY
    planned = acts.plan(desk, order(), now)
    fresh = acts.charge(desk, order(), now)
    stir = acts.charge(desk, order(), now - DAY)
    today = acts.charge(desk, order(days=3), now - 3 * DAY)
    late = acts.charge(desk, order(days=3), now - 5 * DAY)
    later = acts.charge(desk, order(days=3), now - 9 * DAY)
    settled = acts.charge(desk, order(), now - 5 * DAY)
    acts.strain(desk, settled.code, (), now - 3 * DAY)
    settling = acts.charge(desk, order(), now - 5 * DAY)
    acts.strain(desk, settling.code, (), now - DAY)  # two days is the house's default
    wants = [(want.hand, want.jar.code, want.days) for want in views.shelf(desk, now).wants]
    assert wants == [
        (Hand.STRAIN_LATE, later.code, 6),
        (Hand.STRAIN_LATE, late.code, 2),
        (Hand.STRAIN, today.code, 0),
        (Hand.STIR, stir.code, 0),
        (Hand.STIR, today.code, 0),
        (Hand.BOTTLE, settled.code, 3),
        (Hand.CHARGE, planned.code, 0),
    ]
    assert {fresh.code, settling.code}.isdisjoint(code for _, code, _ in wants)


def wanted(desk, now):
    return [want.hand for want in views.shelf(desk, now).wants]


def test_a_jar_shows_all_that_it_asks_for_in_the_order_of_its_reminders(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(days=3), MORNING)
    evening = MORNING + 2 * DAY + timedelta(hours=9)  # 18:00 in Vienna, when to get ready
    assert wanted(desk, evening) == [Hand.GET_READY, Hand.TASTE, Hand.STIR]
    assert [
        task.kind.value for notice in RecordReminders(desk).due(evening) for task in notice.tasks
    ] == ["get-ready", "taste", "stir"]
    assert views.shelf(desk, evening).waiting == 1
    acts.taste(desk, jar.code, "thin", evening)
    assert wanted(desk, evening) == [Hand.GET_READY, Hand.STIR]


def test_a_jar_to_be_strained_today_is_still_stirred_but_not_got_ready_for(tmp_path):
    desk = desk_at(tmp_path)
    acts.charge(desk, order(days=2), MORNING)
    early = MORNING + 2 * DAY
    assert wanted(desk, early) == [Hand.STRAIN, Hand.STIR]
    assert wanted(desk, early + DAY) == [Hand.STRAIN_LATE]


def test_a_stir_missed_yesterday_is_wanted_until_the_next_one_comes(tmp_path):
    desk = desk_at(tmp_path)
    acts.charge(desk, order(stir_every_days=3), MORNING)
    assert Hand.STIR in wanted(desk, MORNING + 2 * DAY)  # was to be stirred the day before


def test_the_evening_before_a_strain_asks_to_get_ready(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(days=2), MORNING)
    evening = MORNING + DAY + timedelta(hours=9)  # 18:00 in Vienna
    acts.stir(desk, (jar.code,), evening)
    acts.taste(desk, jar.code, "thin", evening)
    assert views.shelf(desk, evening - timedelta(minutes=1)).wants == ()
    assert wanted(desk, evening) == [Hand.GET_READY]


def test_each_day_of_a_steep_has_its_mark(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(days=5), MORNING)
    acts.stir(desk, (jar.code,), MORNING + DAY)
    (row,) = views.shelf(desk, MORNING + 3 * DAY).rows
    assert [row.marks[date(2026, 3, 2) + n * DAY] for n in range(6)] == [
        Mark.CHARGED,
        Mark.STIRRED,
        Mark.MISSED,
        Mark.STIR,
        Mark.AHEAD,
        Mark.STRAIN,
    ]
    assert row.days_left == 2


def test_a_late_jar_is_late_each_day_and_a_strained_one_settles(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(days=2), MORNING)
    (row,) = views.shelf(desk, MORNING + 4 * DAY).rows
    assert [row.marks[date(2026, 3, 4) + n * DAY] for n in range(3)] == [
        Mark.STRAIN,
        Mark.LATE,
        Mark.LATE,
    ]
    assert row.days_left == -2
    acts.strain(desk, jar.code, (), MORNING + 4 * DAY)
    (row,) = views.shelf(desk, MORNING + 6 * DAY).rows
    assert [row.marks.get(date(2026, 3, 5) + n * DAY) for n in range(4)] == [
        Mark.LATE,
        Mark.STRAIN,
        Mark.SETTLING,
        Mark.SETTLING,
    ]


def test_a_stir_every_third_day_leaves_the_others_at_rest(tmp_path):
    desk = desk_at(tmp_path)
    acts.charge(desk, order(days=6, stir_every_days=3), MORNING)
    (row,) = views.shelf(desk, MORNING).rows
    assert [row.marks[date(2026, 3, 3) + n * DAY] for n in range(6)] == [
        Mark.AHEAD,
        Mark.REST,
        Mark.REST,
        Mark.AHEAD,
        Mark.REST,
        Mark.STRAIN,
    ]


def test_the_calendar_has_strain_ready_and_taste_days_and_a_late_strain_on_today(tmp_path):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(), MORNING)
    first, last = date(2026, 3, 1), date(2026, 3, 31)
    found = calendar.between(desk, first, last, MORNING)
    assert [(item.day.day, item.kind) for item in found] == [
        (2, DayKind.CHARGED),
        (3, DayKind.TASTE),
        (15, DayKind.GET_READY),
        (16, DayKind.STRAIN),
    ]
    late = calendar.between(desk, first, last, MORNING + 17 * DAY)
    assert [(i.day.day, i.late_days) for i in late if i.kind is DayKind.STRAIN] == [
        (16, 3),
        (19, 3),
    ]
    acts.strain(desk, jar.code, (), MORNING + 17 * DAY)
    settled = calendar.between(desk, first, last, MORNING + 17 * DAY)
    assert [(i.day.day, i.kind) for i in settled] == [(2, DayKind.CHARGED), (21, DayKind.BOTTLE)]


def test_unfinished_jars_come_before_the_last_ended(tmp_path):
    desk = desk_at(tmp_path)
    first, second, third = (acts.charge(desk, order(), MORNING) for _ in range(3))
    acts.discard(desk, first.code, "", MORNING + DAY)
    acts.discard(desk, second.code, "", MORNING + 2 * DAY)
    assert [jar.code for jar in views.all_jars(desk)] == [third.code, second.code, first.code]
