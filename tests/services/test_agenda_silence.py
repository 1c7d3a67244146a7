"""Muted days and days away in the calendar file: left out, made up for, rung on return."""

from __future__ import annotations

from datetime import date, timedelta, timezone

import pytest

from steepboard.domain.records import Habit
from steepboard.services import acts, reminder_acts
from tests.services.test_agenda import CHARGED, DAY, alarms, instants, read, shelf_with_a_jar
from tests.shelves import VIENNA, desk_at, mute, order


def test_days_muted_or_away_are_left_out(tmp_path):
    desk, jar = shelf_with_a_jar(tmp_path)
    mute(desk, jar.code, date(2026, 3, 23), CHARGED)
    reminder_acts.set_away(desk, date(2026, 3, 25), date(2026, 3, 31), CHARGED)
    days = [at.astimezone(VIENNA).date() for at in instants(read(desk)["stir"])]
    assert days == [
        date(2026, 3, 23), date(2026, 3, 24), date(2026, 4, 1), date(2026, 4, 2), date(2026, 4, 3),
    ]  # fmt: skip


def stirs_told(desk):
    return [at.astimezone(VIENNA).date() for at in instants(read(desk)["stir"])]


@pytest.mark.parametrize("zone", [VIENNA, timezone(timedelta(hours=1))], ids=["named", "fixed"])
def test_a_stir_that_fell_on_a_muted_day_stands_on_the_first_one_after(tmp_path, zone):
    """Every third day from the 21st: 21, 24, 27, 30 March and 2 April; muted until the 25th."""
    desk = desk_at(tmp_path, zone=zone)
    jar = acts.charge(desk, order(), CHARGED)
    muted = Habit(stir_every_days=3, muted_until=date(2026, 3, 25))
    reminder_acts.remind(desk, jar.code, muted, CHARGED)
    made_up = [date(2026, 3, 25), date(2026, 3, 27), date(2026, 3, 30), date(2026, 4, 2)]
    assert stirs_told(desk) == made_up
    assert stirs_told(desk) == made_up  # as it was published, too
    acts.stir(desk, (jar.code,), CHARGED + 4 * DAY + timedelta(hours=4))
    assert stirs_told(desk) == made_up[1:]


def test_a_stir_that_fell_on_a_day_away_stands_on_the_day_of_return(tmp_path):
    """Of 21, 24, 27, 30 March and 2 April the 24th is away, and the 30th is made up by the 2nd."""
    desk, jar = shelf_with_a_jar(tmp_path)
    reminder_acts.remind(desk, jar.code, Habit(stir_every_days=3), CHARGED)
    reminder_acts.set_away(desk, date(2026, 3, 23), date(2026, 3, 25), CHARGED)
    days = [(3, 21), (3, 26), (3, 27), (3, 30), (4, 2)]
    assert stirs_told(desk) == [date(2026, month, day) for month, day in days]
    reminder_acts.end_away(desk)
    reminder_acts.set_away(desk, date(2026, 3, 29), date(2026, 4, 1), CHARGED)
    days = [(3, 21), (3, 24), (3, 27), (4, 2)]
    assert stirs_told(desk) == [date(2026, month, day) for month, day in days]


def test_a_strain_day_away_keeps_its_day_and_rings_on_return(tmp_path):
    desk, _ = shelf_with_a_jar(tmp_path)
    reminder_acts.set_away(desk, date(2026, 4, 1), date(2026, 4, 5), CHARGED)
    strain = read(desk)["strain"]
    assert strain.dtstart.value.date() == date(2026, 4, 3)
    assert alarms(strain) == [3 * DAY]


def test_nothing_but_days_away_is_no_event_and_comes_back_with_them(tmp_path):
    desk, _ = shelf_with_a_jar(tmp_path)
    read(desk)
    reminder_acts.set_away(desk, date(2026, 3, 20), date(2026, 4, 3), CHARGED)
    assert read(desk)["stir"].status.value == "CANCELLED"
    reminder_acts.end_away(desk)
    found = read(desk)
    assert (found["stir"].status.value, int(found["stir"].sequence.value)) == ("CONFIRMED", 2)
    assert len(instants(found["stir"])) == 14
