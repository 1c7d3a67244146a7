"""What stands, how fast it goes, and by when the next jar is asked for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from steepboard.domain.bottles import Purpose
from steepboard.domain.schedule import ReminderKind
from steepboard.errors import OutOfRange, UnknownStock
from steepboard.services import (
    acts,
    agenda,
    bottle_shelf,
    bottles,
    bottling,
    calendar,
    levels,
    reminder_acts,
    stock,
    views,
)
from steepboard.services.bottling import Part
from steepboard.services.calendar import DayKind
from steepboard.services.reminder_acts import Later
from steepboard.services.reminders import RecordReminders
from steepboard.services.starts import starts
from steepboard.services.views import Hand
from steepboard.services.waiting import waiting
from tests.bottled import NEXT, drawn, full, mls, strained
from tests.shelves import desk_at, order

DAY = timedelta(days=1)


@pytest.fixture
def desk(tmp_path):
    return desk_at(tmp_path)


def used(desk, days, ml=5.0, code="CARA-01-A", since=NEXT):
    """Draw so much each evening and return the evening after the last."""
    for day in range(days):
        at = since + day * DAY + timedelta(hours=8)
        bottles.draw(desk, code, drawn(ml), Purpose.DOSE, at)
    return since + days * DAY


@pytest.fixture
def bar(desk):
    """Give a shelf with 250 mL of caraway, of which 5 mL went on each of 20 days, and its day."""
    jar = strained(desk, 252)
    bottling.fill(desk, jar.code, [full(150), full(100)], NEXT)
    return desk, used(desk, 20)


def test_what_stands_goes_and_lasts_is_told_by_name(bar):
    desk, now = bar
    (one,) = stock.stock(desk, now)
    assert (one.name, one.left_ml) == ("Caraway seed", 150)
    assert one.use.ml_per_week == pytest.approx(35, rel=0.1)
    # 150 mL at 5 mL a day: 30 days; early and late on both sides
    assert one.run_out.early < 30 < one.run_out.late
    assert one.run_out.middle == pytest.approx(30, abs=3)


def test_the_start_by_date_is_the_early_day_less_steep_settling_and_margin(bar):
    desk, now = bar
    (one,) = stock.stock(desk, now)
    assert [term.days for term in one.start.terms] == [one.run_out.early, -14, -2, -2]
    assert one.start.day == desk.day(now) + timedelta(days=one.run_out.early - 18)
    assert "CARA-01" in one.start.terms[1].source


def test_another_draw_moves_the_start_nearer_and_an_undo_back(bar):
    desk, now = bar
    (before,) = starts(desk, now)
    bottles.draw(desk, "CARA-01-A", drawn(40), Purpose.DOSE, now)
    (after,) = starts(desk, now)
    assert after.day < before.day
    acts.undo(desk, None, now)
    assert starts(desk, now)[0].day == before.day


def test_a_jar_under_way_puts_the_next_off_until_its_own_liquid_goes(bar):
    desk, now = bar
    (before,) = starts(desk, now)
    jar = acts.charge(desk, order(), now)
    (one,) = stock.stock(desk, now)
    assert [coming.jar.code for coming in one.coming] == [jar.code]
    assert one.coming[0].ready_on == jar.strain_on + timedelta(days=2)
    assert one.start.day > before.day + timedelta(days=20)


def test_a_planned_jar_is_no_jar_under_way(bar):
    desk, now = bar
    (before,) = starts(desk, now)
    acts.plan(desk, order(), now)
    assert starts(desk, now)[0].day == before.day


def test_a_least_to_stand_is_kept_back_and_may_be_forgotten(bar):
    desk, now = bar
    (before,) = starts(desk, now)
    told = stock.set_par(desk, "caraway", 60, now)
    assert (told.par_ml, told.below_par) == (60, False)
    assert told.start.day < before.day - timedelta(days=5)
    assert stock.set_par(desk, "CARAWAY seed", 151, now).below_par
    assert stock.set_par(desk, "caraway", None, now).start.day == before.day


def test_what_is_not_made_again_is_never_asked_for(bar):
    desk, now = bar
    assert stock.set_par(desk, "caraway", 0, now).start is None
    assert starts(desk, now) == ()


@pytest.mark.parametrize("name", ["", "juniper", "'; drop table par", "\x1b[2J"])
def test_a_name_that_no_bottle_has_is_refused(bar, name):
    desk, now = bar
    with pytest.raises(UnknownStock):
        stock.set_par(desk, name, 50, now)
    with pytest.raises(UnknownStock):
        stock.one(desk, name, now)


@pytest.mark.parametrize("ml", [-1.0, float("nan"), float("inf")])
def test_a_least_that_is_no_volume_is_refused(bar, ml):
    desk, now = bar
    with pytest.raises(OutOfRange):
        stock.set_par(desk, "caraway", ml, now)
    assert stock.one(desk, "caraway", now).par_ml is None


def test_less_than_the_least_wants_a_jar_even_if_nothing_was_drawn(desk):
    jar = strained(desk)
    bottling.fill(desk, jar.code, [full(50)], NEXT)
    assert stock.stock(desk, NEXT)[0].start is None
    told = stock.set_par(desk, "caraway", 80, NEXT)
    assert told.start.day == desk.day(NEXT) - timedelta(days=18)


def test_what_is_poured_into_a_bottle_of_its_own_kind_is_not_used(desk):
    jar = strained(desk, 252)
    bottling.fill(desk, jar.code, [full(100), full(100)], NEXT)
    bottling.combine(desk, [Part(mls(30), "CARA-01-A"), Part(mls(30), "CARA-01-B")], 100, NEXT)
    (one,) = stock.stock(desk, NEXT)
    assert (one.left_ml, one.use) == (pytest.approx(200), None)


def test_what_goes_into_a_blend_of_another_name_is_used(desk):
    strained(desk)
    bottling.fill(desk, "CARA-01", [full(100)], NEXT)
    strained(desk, name="hops")
    bottling.fill(desk, "HOPS-01", [full(100)], NEXT)
    parts = [Part(mls(30), "CARA-01-A"), Part(mls(20), "HOPS-01-A")]
    bottling.combine(desk, parts, 50, NEXT, name="Night train")
    told = {one.name: one for one in stock.stock(desk, NEXT + DAY)}
    assert told["Caraway seed"].use is not None
    assert told["Hops"].left_ml == 80
    assert told["Night train"].start is None  # made of a formula, from no jar


def test_what_is_used_up_is_still_asked_for(bar):
    desk, now = bar
    for code, ml in (("CARA-01-A", 50), ("CARA-01-B", 100)):
        bottles.draw(desk, code, drawn(ml), Purpose.BLEND, now)
        bottles.end(desk, code, bottles.BottleKind.USE_UP, "", now)
    (one,) = stock.stock(desk, now)
    assert (one.left_ml, one.run_out.early) == (0, 0)
    assert one.start.day < desk.day(now)


def test_levels_are_those_of_the_bottles_also_where_some_were_weighed_and_mixed(bar):
    desk, now = bar
    bottles.count(desk, "CARA-01-A", mls(134.0), now, empty=mls(90.0))
    bottling.top_up(desk, "CARA-01-B", Part(mls(3), "water", 0.0), now)
    from steepboard.services.bottle_shelf import bottles as standing

    told = {one.code: one.left_ml for one in standing(desk)}
    level = levels.known(desk, now).standing["caraway seed"]
    assert {one.code: one.left_ml for one in level.bottles} == told


@pytest.fixture
def due(bar):
    """Give the shelf on the eve of the day on which the next jar is asked for, and that at ten."""
    desk, now = bar
    code = "CARA-01-A"
    while starts(desk, now)[0].day > desk.day(now) + DAY:
        if left(desk, code) < 5:
            code = "CARA-01-B"
        now = used(desk, 1, code=code, since=now)
    return desk, now, now.replace(hour=8) + DAY  # 10:00 in Vienna in April


def left(desk, code):
    return bottle_shelf.bottle(desk, code).left_ml


def test_the_next_jar_is_asked_for_once_on_its_day_at_ten(due):
    desk, now, at = due
    reminders = RecordReminders(desk_at(desk.store.path.parent))
    assert reminders.next_wake(now) == at
    assert reminders.due(at - timedelta(minutes=11)) == ()
    (notice,) = reminders.due(at)
    assert [task.kind for task in notice.tasks] == [ReminderKind.START]
    assert notice.title == "Start the next CARA-01"
    assert reminders.claim(notice, at)
    reminders.delivered(notice, at)
    bottles.draw(desk, "CARA-01-B", drawn(20), Purpose.DOSE, at)  # moves the date, not the key
    for later in (timedelta(minutes=1), DAY, 5 * DAY):
        assert reminders.next_wake(at + later) is None
        assert reminders.due(at + later) == ()


def test_a_charged_jar_ends_the_asking(due):
    desk, _, at = due
    bottles.draw(desk, "CARA-01-B", drawn(20), Purpose.DOSE, at)
    reminders = RecordReminders(desk_at(desk.store.path.parent))
    (notice,) = reminders.due(at)
    assert reminders.over([notice], at) == ()
    acts.charge(desk, order(), at)
    assert reminders.over([notice], at) == (notice,)


def test_the_asking_can_be_put_off_as_others_can(due):
    desk, now, at = due
    (one,) = starts(desk, now)
    assert waiting(desk, one.jar, now).ahead == ((ReminderKind.START, at),)
    bottles.draw(desk, "CARA-01-B", drawn(20), Purpose.DOSE, at)
    (put_off,) = reminder_acts.later(desk, one.jar.code, Later.HOUR, at)
    assert (put_off.kind, put_off.until) == (ReminderKind.START, at + timedelta(hours=1))
    assert waiting(desk, one.jar, at).put_off == ((ReminderKind.START, at + timedelta(hours=1)),)


def test_today_and_the_calendar_have_it_on_its_day_and_late_ones_on_today(due):
    desk, now, at = due
    (one,) = starts(desk, now)
    assert views.shelf(desk, now).wants == ()
    (item,) = calendar.between(desk, desk.day(now), one.day, now)
    assert (item.day, item.kind, item.jar.code) == (one.day, DayKind.START, "CARA-01")
    bottles.draw(desk, "CARA-01-B", drawn(30), Purpose.DOSE, at)
    (want,) = views.shelf(desk, at).wants
    assert (want.hand, want.jar.code) == (Hand.START, "CARA-01")
    assert want.days > 0
    (item,) = calendar.between(desk, desk.day(at), desk.day(at), at)
    assert (item.kind, item.late_days) == (DayKind.START, want.days)


def test_the_calendar_file_has_it_as_an_event_that_moves_and_goes(bar):
    desk, now = bar
    (event,) = agenda.agenda(desk, now)
    (one,) = starts(desk, now)
    assert (event.matter.first, event.matter.summary) == (one.day, "Start CARA-01 Caraway seed")
    bottles.draw(desk, "CARA-01-A", drawn(40), Purpose.DOSE, now)
    (moved,) = agenda.agenda(desk, now)
    assert (moved.uid, moved.sequence) == (event.uid, 1)
    assert moved.matter.first < one.day
    stock.set_par(desk, "caraway", 0, now)
    (gone,) = agenda.agenda(desk, now)
    assert gone.cancelled


def test_a_wider_margin_starts_sooner(bar):
    desk, now = bar
    (before,) = starts(desk, now)
    kept = replace(desk.settings, stock=replace(desk.settings.stock, margin_days=7))
    assert starts(replace(desk, settings=kept), now)[0].day == before.day - timedelta(days=5)


def test_a_shelf_without_bottles_has_nothing_to_start(desk):
    strained(desk)
    assert (stock.stock(desk, NEXT), starts(desk, NEXT)) == ((), ())
    assert RecordReminders(desk).next_wake(NEXT) is None
    assert desk.day(NEXT) == date(2026, 3, 18)
