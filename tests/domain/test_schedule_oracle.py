"""The schedule against a walk through every minute of the weeks in which clocks change."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, time
from functools import cached_property

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.domain.local_time import local_instant
from steepboard.domain.quiet import Away, Quiet
from steepboard.domain.schedule import (
    Reminder,
    ReminderKind,
    Rhythm,
    Series,
    Steep,
    due,
    next_wake,
    once,
    standing,
)
from tests.domain.minute_walk import (
    AFTER,
    BEFORE,
    DAY,
    MINUTE,
    Said,
    Walk,
    ask_once,
    asks_of,
    silence,
    story,
    walk,
)
from tests.domain.telling import told

# Changes of clocks as the IANA time zone database (2025 and later) has them.
CHANGES = [
    ("Europe/Berlin", date(2026, 3, 29)),
    ("Europe/Berlin", date(2026, 10, 25)),
    ("America/New_York", date(2026, 3, 8)),
    ("America/New_York", date(2026, 11, 1)),
    ("Australia/Lord_Howe", date(2026, 4, 5)),  # half an hour back
    ("Australia/Lord_Howe", date(2026, 10, 4)),  # half an hour on
    ("Africa/Casablanca", date(2025, 2, 23)),  # the pause for Ramadan
    ("Africa/Casablanca", date(2025, 4, 6)),
    ("America/St_Johns", date(2006, 4, 2)),  # on at one minute past midnight
    ("America/St_Johns", date(2006, 10, 29)),  # and back over midnight
    ("America/Santiago", date(2026, 9, 6)),  # midnight does not exist
    ("America/Santiago", date(2026, 4, 5)),
    ("America/Havana", date(2026, 3, 8)),  # midnight does not exist
    ("America/Havana", date(2026, 11, 1)),  # midnight comes twice
    ("America/Nuuk", date(2025, 3, 30)),  # the hour before midnight does not exist
    ("America/Nuuk", date(2025, 10, 26)),
    ("Asia/Tehran", date(2022, 3, 22)),
    ("Asia/Tehran", date(2022, 9, 21)),
    ("Antarctica/Troll", date(2026, 3, 29)),  # two hours
    ("Antarctica/Troll", date(2026, 10, 25)),
    ("Asia/Kathmandu", date(1986, 1, 1)),  # a quarter of an hour
    ("Pacific/Apia", date(2011, 12, 30)),  # the day does not exist
    ("Pacific/Kiritimati", date(1994, 12, 31)),  # nor does this one
]

_AROUND_CHANGES = "00:00 00:01 00:30 01:30 02:00 02:15 02:30"
_USUAL = "09:00 10:00 17:00 20:00 22:30 23:30 23:59"
walls = st.sampled_from(f"{_AROUND_CHANGES} {_USUAL}".split()).map(time.fromisoformat)
few_days = st.integers(-6, 6)


@dataclass(frozen=True)
class Bar:
    """All that hypothesis chooses; every day is counted from the change of clocks."""

    steep: Steep
    kind: ReminderKind
    """What jar 2 asks for once, on `day` and with the habits of `habits`."""
    day: date
    habits: Rhythm
    quiet: Quiet
    put_off: dict[tuple[int, ReminderKind], int]
    """In minutes of the walk."""
    probes: list[int]

    def series(self) -> tuple[Series, ...]:
        later = once(self.kind, 2, "MINT-02", "Mint", self.day, self.habits)
        return (*self.steep.series(), later)

    def snoozes(self, walked: Walk) -> dict[tuple[int, ReminderKind], datetime]:
        return {key: walked.instant(minute) for key, minute in self.put_off.items()}


@st.composite
def bars(draw, change: date, *, plain: bool) -> Bar:
    """Return a bar around `change`; a plain one knows no quiet, no days away and no *Later*."""

    def day(least: int, most: int) -> date:
        return change + draw(st.integers(least, most)) * DAY

    def rhythm() -> Rhythm:
        return Rhythm(
            draw(st.integers(1, 4)),
            draw(walls),
            draw(st.integers(1, 5)),
            draw(st.integers(1, 3)),
            draw(walls),
            draw(walls),
            draw(walls),
            draw(st.none() | few_days.map(lambda days: change + days * DAY)),
        )

    def some_days() -> frozenset[date]:
        return frozenset(change + days * DAY for days in draw(st.sets(few_days, max_size=4)))

    charged = day(-6, 2)
    strain = charged + draw(st.integers(0, 7)) * DAY
    steep = Steep(1, "ROSE-01", "Rose", charged, strain, rhythm(), some_days(), some_days())
    minutes = st.integers(2 * 24 * 60, 15 * 24 * 60)
    quiet = Quiet(time(0), time(0), time(9))
    put_off = {}
    if not plain:
        away_from = day(-6, 3)
        away = Away(away_from, away_from + draw(st.integers(0, 3)) * DAY)
        quiet = Quiet(draw(walls), draw(walls), time(9), draw(st.none() | st.just(away)))
        tasks = st.tuples(st.integers(1, 2), st.sampled_from(ReminderKind))
        put_off = draw(st.dictionaries(tasks, minutes, max_size=4))
    kind = draw(st.sampled_from([ReminderKind.BOTTLE, ReminderKind.START]))
    probes = draw(st.lists(minutes, max_size=6))
    return Bar(steep, kind, day(-6, 5), rhythm(), quiet, put_off, probes)


@dataclass(frozen=True)
class Expected:
    """What the walk found."""

    walked: Walk
    stories: list
    silent: list[bool]
    on_their_days: bool
    """Whether no time was moved to another day than its own."""

    def standing(self, minute: int) -> list[Said]:
        return [said for story in self.stories if (said := story.at(minute))]

    def due(self, minute: int) -> list[Said]:
        return [] if self.silent[minute] else self.standing(minute)

    @cached_property
    def turns(self) -> list[int]:
        """Return the minutes in which anything changes."""
        loud = [
            minute
            for minute in range(1, len(self.silent))
            if self.silent[minute] != self.silent[minute - 1]
        ]
        return sorted({*loud, *(minute for story in self.stories for minute in story.minutes)})

    def news(self, minute: int) -> int | None:
        """Return the first later minute in which something is due that is not due yet."""
        before = {_name(said) for said in self.due(minute)}
        for later in self.turns:
            if later > minute and {_name(said) for said in self.due(later)} - before:
                return later
        return None


def expected(bar: Bar, walked: Walk) -> Expected:
    steep, habits = bar.steep, bar.habits
    asks = [
        *asks_of(steep, walked),
        ask_once(bar.kind, 2, habits.strain_at, bar.day, habits.muted_until),
    ]
    silent = silence(walked, bar.quiet)
    stories = [story(walked, ask, silent, bar.put_off.get((ask.jar_id, ask.kind))) for ask in asks]
    strikes = ((day, walked.strike(day, ask.wall)) for ask in asks for day in ask.days)
    on_their_days = all(
        minute == len(silent) or walked.begun[minute] == day for day, minute in strikes
    )
    return Expected(walked, stories, silent, on_their_days)


def _name(said: Said) -> tuple:
    return said.kind, said.jar_id, said.day, said.put_off


def said(reminder: Reminder) -> Said:
    """Read a reminder as the walk would have told it."""
    day, *put_off = reminder.key.split("/")[2:]
    folded = [date.fromisoformat(key.split("/")[2]) for key in reminder.folds]
    return Said(
        reminder.kind,
        reminder.jar_id,
        date.fromisoformat(day),
        reminder.due,
        bool(put_off),
        reminder.late_days,
        *folded,
    )


def by_jar(all_said: list[Said]) -> list[Said]:
    return sorted(all_said, key=lambda one: (one.jar_id, one.kind))


def check(bar: Bar, walked: Walk, *, exact: bool) -> None:
    found, series, snoozes = expected(bar, walked), bar.series(), bar.snoozes(walked)
    last = len(walked.shown) - 2 * 24 * 60
    turns = [minute for minute in found.turns if 24 * 60 < minute < last]
    for minute in sorted({*turns, *(turn - 1 for turn in turns), *bar.probes} - {last}):
        now = walked.instant(minute)
        asked = (series, bar.quiet, walked.zone, now, snoozes)
        assert by_jar(map(said, standing(*asked))) == by_jar(found.standing(minute))
        assert by_jar(map(said, due(*asked))) == by_jar(found.due(minute))
        wake, news = next_wake(*asked), found.news(minute)
        assert wake is None or wake > now
        if news is not None:
            assert wake is not None
            assert wake <= walked.instant(news)
        if exact and found.on_their_days:
            ends = walked.instant(len(walked.shown))
            assert wake == walked.instant(news) if news is not None else (wake or ends) >= ends


@pytest.mark.parametrize(("zone", "change"), CHANGES)
def test_clocks_do_change_in_the_middle_of_each_walk(zone, change):
    walked = walk(zone, change)
    jumps = [
        later.date()
        for earlier, later in zip(walked.shown, walked.shown[1:], strict=False)
        if later - earlier != MINUTE
    ]
    assert len(jumps) == 1
    assert abs(jumps[0] - change) <= DAY


@pytest.mark.parametrize(("zone", "change"), CHANGES)
@settings(max_examples=8)
@given(data=st.data())
def test_what_is_due_and_when_to_wake_agree_with_the_walk(zone, change, data):
    check(data.draw(bars(change, plain=False)), walk(zone, change), exact=False)


@pytest.mark.parametrize(("zone", "change"), CHANGES)
@settings(max_examples=5)
@given(data=st.data())
def test_the_next_wake_is_the_very_minute_where_nothing_is_held_back(zone, change, data):
    check(data.draw(bars(change, plain=True)), walk(zone, change), exact=True)


@pytest.mark.parametrize(("zone", "change"), CHANGES)
def test_wall_times_agree_with_the_walk(zone, change):
    walked = walk(zone, change)
    for day in (change - DAY, change, change + DAY):
        for minute in range(24 * 60):
            wall = (datetime.combine(day, time(0)) + minute * MINUTE).time()
            assert local_instant(day, wall, walked.zone) == walked.instant(walked.strike(day, wall))


@pytest.mark.parametrize(("zone", "change"), CHANGES)
def test_what_is_held_back_is_released_in_the_minute_that_the_walk_finds(zone, change):
    walked = walk(zone, change)
    for start, end, away in (
        (time(0), time(8), None),
        (time(22, 30), time(2, 30), Away(change - 2 * DAY, change - DAY)),
        (time(8), time(7, 30), Away(change, change)),
    ):
        quiet = Quiet(start, end, time(9), away)
        silent = silence(walked, quiet)
        around = (walked.strike(change + days * DAY, time(0)) for days in (-1, 2))
        loud = None
        for minute in reversed(range(*around)):
            if not silent[minute]:
                loud = minute
            if loud is not None:
                at = walked.instant(minute)
                assert quiet.released(at, walked.zone) == walked.instant(loud)


@pytest.mark.parametrize(("zone", "change"), CHANGES)
@settings(max_examples=3)
@given(data=st.data())
def test_all_that_was_ever_due_is_said_or_taken_along_and_no_day_hears_it_twice(zone, change, data):
    bar, walked = data.draw(bars(change, plain=False)), walk(zone, change)
    bar = replace(bar, put_off={})
    start, end = (walked.instant(days * 24 * 60) for days in (1, BEFORE + AFTER - 2))
    heard = told(bar.series(), bar.quiet, walked.zone, start, end)
    found = expected(bar, walked)
    ever_due = {
        f"{one.kind}/{one.jar_id}/{one.day}"
        for minute in found.turns
        if start <= walked.instant(minute) < end
        for one in found.due(minute)
    }
    assert {key for _, reminder in heard for key in (reminder.key, *reminder.folds)} >= ever_due
    days = [
        (one.kind, one.jar_id, walked.begun[(at - walked.start) // MINUTE]) for at, one in heard
    ]
    assert len(set(days)) == len(days)
