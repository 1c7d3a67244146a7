"""Reminders put off, rhythms of one jar and days away, by command."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.cli.running import done, refused, value
from tests.shelves import MORNING

CARAWAY = ("charge", "caraway", "40g", "300ml", "45%")  # on Monday, 2 March 2026, at 09:00
DAY = timedelta(days=1)
TUESDAY = MORNING + DAY  # 09:00 on 3 March: the first stir is due


def at(hour, minute=0, day=TUESDAY):
    return day.replace(hour=hour - 1, minute=minute)  # Vienna is an hour ahead in March


@pytest.fixture
def home(tmp_path):
    (tmp_path / "settings.toml").write_text('[clock]\nzone = "Europe/Vienna"\n')
    done(tmp_path, *CARAWAY)
    return tmp_path


def test_later_puts_off_what_is_due_and_says_until_when(home):
    assert done(home, "later", "cara-01", now=at(9, 5)) == (
        "Stir CARA-01: put off until Tue 3 Mar, 10:05.\n"
    )
    assert done(home, "later", "CARA-01", "tonight", now=at(10, 5)) == (
        "Stir CARA-01: put off until Tue 3 Mar, 18:00.\n"
    )
    both = done(home, "later", "CARA-01", "tomorrow", now=at(17)).splitlines()
    assert both == [
        "Taste CARA-01: put off until Wed 4 Mar, 17:00.",
        "Stir CARA-01: put off until Wed 4 Mar, 09:00.",
    ]


def test_later_says_when_quiet_hours_hold_it_longer(home):
    (stir, _) = value(home, "later", "CARA-01", now=at(23, 30))[::-1]
    assert stir == {
        "code": "CARA-01",
        "kind": "stir",
        "until": "2026-03-04T07:00:00+00:00",
    }
    text = done(home, "later", "CARA-01", now=at(23, 30)).splitlines()[-1]
    assert text == "Stir CARA-01: put off until Wed 4 Mar, 08:00."


@pytest.mark.parametrize(
    ("words", "now", "code", "said"),
    [
        (("CARA-01",), at(8), 1, "Nothing of CARA-01 is due now"),
        (("CARA-01", "tonight"), at(19), 1, "It is evening already"),
        (("CARA-09",), at(10), 1, "No jar is called CARA-09"),
        (("CARA-01", "2h"), at(10), 2, "'2h' is not one of"),
    ],
)
def test_later_refuses_what_cannot_be_put_off(home, words, now, code, said):
    assert said in refused(home, "later", *words, code=code, now=now)


def test_remind_shows_what_is_the_jars_own_and_what_is_the_houses(home):
    lines = done(home, "remind", "CARA-01").splitlines()
    assert [line.split() for line in lines[1:3]] == [
        ["stir", "every", "1", "day", "as", "it", "was", "charged"],
        ["stir", "at", "09:00", "as", "the", "house", "does"],
    ]
    assert value(home, "jar", "CARA-01")["diary"][-1]["kind"] == "charge"


def test_remind_keeps_what_is_not_said(home):
    done(home, "remind", "CARA-01", "--stir-every", 2, "--strain-at", "11:30")
    found = value(home, "remind", "CARA-01", "--stir-at", "8:30")
    assert found == {
        "code": "CARA-01",
        "stir_every_days": 2,
        "stir_at": "08:30",
        "taste_from_day": 1,
        "taste_every_days": 3,
        "taste_at": "17:00",
        "get_ready_at": "18:00",
        "strain_at": "11:30",
        "muted_until": None,
        "own": ["stir_every_days", "stir_at", "strain_at"],
    }
    row = "reminders   stir every 2 d, stir at 08:30, strain at 11:30"
    assert row in done(home, "jar", "CARA-01")
    assert value(home, "jar", "CARA-01")["reminders"]["stir_every_days"] == 2
    assert value(home, "remind", "CARA-01", "--as-house", "--taste-every", 5)["own"] == [
        "taste_every_days"
    ]
    done(home, "remind", "CARA-01", "--as-house")
    assert "reminders" not in done(home, "jar", "CARA-01").partition("Diary")[0]


def test_a_jar_is_muted_until_a_day_and_spoken_of_again(home):
    assert "Fri  6 Mar 2026" in done(home, "remind", "CARA-01", "--mute", "fri")
    assert "muted until Fri 6 Mar" in done(home, "jar", "CARA-01")
    assert "Nothing of CARA-01" in refused(home, "later", "CARA-01", code=1, now=at(10))
    assert value(home, "remind", "CARA-01", "--unmute")["muted_until"] is None
    assert done(home, "later", "CARA-01", now=at(10))


def test_what_is_put_off_is_told_with_the_jar(home):
    done(home, "later", "CARA-01", now=at(9, 5))
    assert "put off until 10:05" in done(home, "jar", "CARA-01", now=at(9, 10))
    put_off = [{"kind": "stir", "until": "2026-03-03T09:05:00+00:00"}]
    assert value(home, "jar", "CARA-01", now=at(9, 10))["put_off"] == put_off
    assert value(home, "jar", "CARA-01", now=at(10, 5))["put_off"] == []


def test_a_mute_that_has_passed_is_forgotten_with_the_next_change(home):
    done(home, "remind", "CARA-01", "--mute", "fri")
    later = MORNING + 7 * DAY
    assert "quiet" not in done(home, "jar", "CARA-01", now=later).partition("Diary")[0]
    assert value(home, "remind", "CARA-01", "--stir-every", 3, now=later)["own"] == [
        "stir_every_days"
    ]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--stir-every", "0"), 1, "days between stirs: 0 is not allowed, it must be 1 to 60."),
        (("--stir-at", "25:00"), 2, "Write it like 08:30"),
        (("--mute", "someday"), 2, "“someday” is not a day"),
        (("--mute", "2026-03-02"), 2, "2026-03-02 is past: say a day from Tue  3 Mar 2026 on."),
        (("--mute", "fri", "--unmute"), 2, "not both"),
    ],
)
def test_remind_refuses_what_no_habit_can_be(home, words, code, said):
    assert said in refused(home, "remind", "CARA-01", *words, code=code)
    assert value(home, "remind", "CARA-01")["own"] == []


def test_away_is_told_until_it_is_over(home):
    assert done(home, "away") == "You are not away.\n"
    line = "Away from Fri  6 Mar 2026 to Mon  9 Mar 2026: nothing is said on these days.\n"
    assert done(home, "away", "fri", "mon") == line
    assert done(home, "away") == line
    assert value(home, "away") == {"first": "2026-03-06", "last": "2026-03-09"}
    assert line in done(home, "today", now=MORNING + 7 * DAY)
    assert "Away" not in done(home, "today", now=MORNING + 8 * DAY)
    assert value(home, "away", now=MORNING + 8 * DAY) is None


def test_new_days_away_say_which_ones_they_take_the_place_of(home):
    assert "place" not in done(home, "away", "6 Mar", "9 Mar")
    told = "This takes the place of Fri  6 Mar 2026 to Mon  9 Mar 2026.\n"
    assert done(home, "away", "7 Mar", "10 Mar").endswith(told)
    assert "place" not in done(home, "away", "7 Mar", "10 Mar")
    long_over = MORNING + 20 * DAY
    assert "place" not in done(home, "away", "+1", "+2", now=long_over)


def test_away_ends_at_once(home):
    done(home, "away", "today", "+3")
    assert done(home, "away", "--end") == "You are not away.\n"
    assert done(home, "later", "CARA-01", now=at(10))


@pytest.mark.parametrize(
    ("words", "first", "last"),
    [
        (("28", "3"), "2026-03-28", "2026-04-03"),
        (("fri", "fri"), "2026-03-06", "2026-03-06"),
        (("mon", "wed"), "2026-03-02", "2026-03-04"),  # on a Monday
        (("20 Dec", "6 Jan"), "2026-12-20", "2027-01-06"),
        (("2026-03-01", "2026-03-02"), "2026-03-01", "2026-03-02"),
    ],
)
def test_the_last_day_away_comes_after_the_first(home, words, first, last):
    assert value(home, "away", *words) == {"first": first, "last": last}


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("fri",), 2, "Say the first and the last day away"),
        (("fri", "sat", "--end"), 2, "Say the first and the last day away"),
        (("2026-03-10", "2026-03-05"), 2, "2026-03-05 comes before 2026-03-10."),
        (("2026-02-01", "2026-02-05"), 2, "2026-02-05 is past"),
        (("fri", "never"), 2, "“never” is not a day"),
        (("1 Mar", "5 Mar"), 1, "days until you leave: 364 is not allowed"),  # it was yesterday
        (("today", "2028-01-01"), 1, "days away: 671 is not allowed, it must be 1 to 400."),
    ],
)
def test_away_refuses_wrong_days(home, words, code, said):
    assert said in refused(home, "away", *words, code=code)
    assert done(home, "away") == "You are not away.\n"
