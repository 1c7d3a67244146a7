from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain.notices import ALL_STIRRED, LATER, OPEN, STIRRED, Task, notices
from steepboard.domain.schedule import Reminder, ReminderKind
from tests.fakes import BERLIN, GROUP_MINUTES, utc

NOW = "2026-11-25T08:00"
STRAIN, STIR, BOTTLE = ReminderKind.STRAIN, ReminderKind.STIR, ReminderKind.BOTTLE


def reminder(number, kind=STIR, at=NOW, **more):
    key = f"{kind}/{number}/2026-11-25"
    return Reminder(kind, number, f"ROSE-{number:02}", "Rose petals", utc(at), key, **more)


def made(reminders, now=NOW, said=()):
    return notices(reminders, GROUP_MINUTES, BERLIN, utc(now), said)


def test_nothing_due_makes_no_notice():
    assert made([]) == ()


def test_one_jar_is_named_in_the_title():
    (notice,) = made([reminder(3)])
    assert (notice.slot, notice.title, notice.body) == ("stir", "Stir ROSE-03", "Rose petals")
    assert notice.buttons == (STIRRED, LATER, OPEN)
    assert notice.tasks == (Task(STIR, 3),)
    assert notice.keys == ("stir/3/2026-11-25",)
    assert notice.due == utc(NOW)


def test_reminders_of_a_kind_within_ten_minutes_go_out_as_one():
    (notice,) = made([reminder(2, at="2026-11-25T08:10"), reminder(1)], now="2026-11-25T08:10")
    assert notice.title == "Stir 2 jars"
    assert notice.body == "ROSE-01 Rose petals, ROSE-02 Rose petals"
    assert notice.buttons == (ALL_STIRRED, LATER, OPEN)
    assert notice.tasks == (Task(STIR, 1), Task(STIR, 2))
    assert notice.due == utc(NOW)


def test_kinds_are_not_mixed_and_the_most_pressing_goes_first():
    kinds = list(ReminderKind)
    sent = made([reminder(1, kind) for kind in reversed(kinds)])
    assert [notice.title for notice in sent] == [
        "Strain ROSE-01 today",
        "Get ready to strain ROSE-01",
        "Start the next ROSE-01",
        "Taste ROSE-01",
        "Stir ROSE-01",
        "Bottle ROSE-01",
    ]
    assert [notice.slot for notice in sent] == [kind.value for kind in kinds]
    with_stirred = [notice.slot for notice in sent if STIRRED in notice.buttons]
    assert with_stirred == ["stir"]
    assert all(notice.buttons[-2:] == (LATER, OPEN) for notice in sent)


def test_a_notice_says_what_to_lay_out_or_why():
    bodies = {n.slot: n.body for n in made([reminder(1, kind) for kind in ReminderKind])}
    assert bodies["get-ready"] == "Rose petals. Lay out filter, bottles and labels."
    assert bodies["bottle"] == "Rose petals. It has settled."
    assert bodies["strain"] == "Rose petals"


@pytest.mark.parametrize(
    ("now", "digest"), [("2026-11-25T08:10", False), ("2026-11-25T08:11", True)]
)
def test_what_waited_goes_out_in_one_digest(now, digest):
    sent = made([reminder(1), reminder(2, STRAIN)], now=now)
    assert [notice.slot for notice in sent] == (["digest"] if digest else ["strain", "stir"])


def test_a_digest_names_by_kind_what_hurts_most_first():
    late = [
        reminder(1, moved=True),
        reminder(2, moved=True),
        reminder(3, BOTTLE),
        reminder(4, STRAIN, late_days=3, loud_key="loud/4/2026-11-22"),
    ]
    (digest,) = made(late)
    assert digest.title == "4 things to do, first: strain ROSE-04"
    assert digest.body == "Strain: ROSE-04 (3 days late). Stir: ROSE-01, ROSE-02. Bottle: ROSE-03."
    assert digest.tasks == (Task(STRAIN, 4), Task(STIR, 1), Task(STIR, 2), Task(BOTTLE, 3))
    assert digest.buttons == (ALL_STIRRED, LATER, OPEN)
    assert digest.loud


def test_a_digest_without_a_stir_has_no_button_for_it():
    (digest,) = made([reminder(1, STRAIN, moved=True), reminder(2, BOTTLE)])
    assert digest.buttons == (LATER, OPEN)


def test_one_kind_that_waited_says_since_when():
    (today,) = made([reminder(1)], now="2026-11-25T11:00")
    assert today.body == "Rose petals. Due since 9:00."
    (earlier,) = made([reminder(1, ReminderKind.START)], now="2026-11-26T11:00")
    assert earlier.body.endswith("Due since Wed 25 Nov 9:00.")
    (held_back,) = made([reminder(1, moved=True)], now="2026-11-25T11:00")
    assert held_back.body == "Rose petals"


def test_long_lists_are_cut_and_the_latest_jar_is_named_first():
    late = [reminder(number, STRAIN, late_days=number % 3) for number in range(1, 11)]
    (notice,) = made(late)
    assert notice.body.startswith("ROSE-02 Rose petals (2 days late), ROSE-05")
    assert "ROSE-01 Rose petals (1 day late)" in notice.body
    assert notice.body.endswith(" and 5 more")
    assert (len(notice.keys), len(notice.tasks)) == (10, 10)


def test_five_jars_are_all_named():
    (notice,) = made([reminder(number) for number in range(1, 6)])
    assert notice.body.endswith("ROSE-05 Rose petals")


def test_a_very_long_name_leaves_room_for_the_others():
    long = replace(reminder(1), name="Rose " * 40)
    (notice,) = made([long, reminder(2)])
    assert len(notice.body) < 80
    assert "…, ROSE-02" in notice.body


def test_a_late_strain_is_loud_until_it_was_so_once():
    late = reminder(1, STRAIN, late_days=1, loud_key="loud/1/2026-11-24")
    (first,) = made([late])
    assert first.loud
    assert first.keys == ("strain/1/2026-11-25", "loud/1/2026-11-24")
    (later,) = made([late], said={"loud/1/2026-11-24"})
    assert not later.loud
    assert later.keys == ("strain/1/2026-11-25",)


def test_what_was_folded_in_is_claimed_with_the_rest():
    (notice,) = made([reminder(1, folds=("stir/1/2026-11-26",))])
    assert notice.keys == ("stir/1/2026-11-25", "stir/1/2026-11-26")
    (again,) = made([reminder(1, folds=("stir/1/2026-11-26",))], said={"stir/1/2026-11-26"})
    assert again.keys == ("stir/1/2026-11-25",)


@given(
    st.lists(
        st.builds(
            lambda number, kind, minutes, moved: replace(
                reminder(number, kind, moved=moved), due=utc(NOW) - timedelta(minutes=minutes)
            ),
            st.integers(1, 99),
            st.sampled_from(ReminderKind),
            st.integers(0, 30),
            st.booleans(),
        ),
        unique_by=lambda one: one.key,
    )
)
def test_every_reminder_goes_out_once_in_one_notice_a_kind_or_one_in_all(reminders):
    sent = made(reminders)
    keys = [key for notice in sent for key in notice.keys]
    assert sorted(keys) == sorted(one.key for one in reminders)
    slots = [notice.slot for notice in sent]
    assert len(set(slots)) == len(slots)
    assert "digest" not in slots or len(slots) == 1


def test_a_digest_of_many_jars_stays_short_and_says_how_many_more():
    many = [
        replace(reminder(number, kind), code=f"ROSE-{number:03}")
        for kind in ReminderKind
        for number in range(100, 130)
    ]
    (notice,) = made(many, now="2026-11-25T12:00")
    assert len(notice.body) <= 300
    assert notice.body.count(" more.") == len(ReminderKind)
    assert len(notice.tasks) == len(many)


def test_what_waited_says_since_the_first_of_it():
    (notice,) = made(
        [reminder(1, at="2026-11-25T08:08"), reminder(2, at="2026-11-25T08:00")],
        now="2026-11-25T08:30",
    )
    assert notice.body.endswith("Due since 9:00.")
