from __future__ import annotations

import json
import re
import stat
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from steepboard.cli import demo as module
from steepboard.cli.demo import build, demo_home
from steepboard.daemon.lock import held_lock
from steepboard.domain.records import Kind, State
from steepboard.errors import RecordUnusable
from steepboard.paths import Home
from steepboard.services import losses, straining, views
from steepboard.services.views import Hand, Mark
from tests.cli.running import done, refused, run
from tests.shelves import MORNING, VIENNA, desk_at

BANNED = re.compile(
    r"cinnamon|cardamom|ginger|bird.?chilli|gentian|dandelion|wormwood|ambrette"
    r"|\b120(\.0)? ?ml\b|\b24(\.0)? ?g\b",
    re.IGNORECASE,
)


pytestmark = pytest.mark.xdist_group("demo")


@pytest.fixture
def home(demo):
    return demo


@pytest.fixture
def desk(home):
    return desk_at(home.root)


def test_the_demo_lies_in_a_folder_of_its_own(tmp_path):
    assert demo_home(Home(tmp_path)).root == tmp_path / "demo"


def test_some_twelve_jars_stand_in_all_states(desk):
    shelf = views.shelf(desk, MORNING)
    assert 10 <= len(shelf.rows) <= 14
    assert {row.jar.state for row in shelf.rows} == {
        State.PLANNED,
        State.STEEPING,
        State.SETTLING,
    }
    assert {want.hand for want in shelf.wants} >= {
        Hand.STRAIN_LATE,
        Hand.STRAIN,
        Hand.STIR,
        Hand.BOTTLE,
        Hand.CHARGE,
    }
    assert {mark for row in shelf.rows for mark in row.marks.values()} == set(Mark)
    assert {jar.state for jar in views.all_jars(desk)} == set(State)


def test_jars_with_several_botanicals_and_several_spirits_stand_there(desk):
    charges = [row.jar.charge for row in views.shelf(desk, MORNING).rows]
    assert any(len(charge.botanicals) > 2 for charge in charges)
    assert any(len([s for s in charge.spirits if s.strength]) > 1 for charge in charges)


def test_every_kind_of_act_is_in_some_diary(desk):
    diaries = [views.diary(desk, jar) for jar in views.all_jars(desk)]
    assert {entry.kind for diary in diaries for entry in diary} == set(Kind)
    assert {entry.initials for diary in diaries for entry in diary} >= {"MH", "TO", "BW"}


def test_nothing_lies_ahead_and_every_diary_runs_forwards(desk):
    for jar in views.all_jars(desk):
        times = [entry.at for entry in views.diary(desk, jar)]
        assert times == sorted(times)
        assert times[-1] <= MORNING


def test_two_years_of_strainings_give_losses_something_to_say(desk):
    found = list(losses.strained(desk))
    assert 60 <= len(found) <= 100
    ended = [one.jar.bottled_at for one in found]
    assert min(ended) < MORNING - timedelta(days=680)
    verdicts = Counter(straining.balance(desk, one.jar).findings[0].code for one in found)
    assert set(verdicts) == {"closes", "missing", "more_out_than_in", "only_estimated"}
    assert verdicts["closes"] > len(found) / 2
    for by in losses.By:
        assert len(losses.grouped(found, by, desk)) > 1


def test_no_banned_plant_and_no_banned_amount_is_anywhere(home, desk):
    story = Path(module.__file__).with_name("demo_shelf.toml").read_text(encoding="utf-8")
    assert not BANNED.search(re.sub(r"(?m)^#.*$", "", story))
    codes = [jar.code for jar in views.all_jars(desk)]
    calls = [("today",), ("week",), ("jars",), ("losses",), *(("jar", code) for code in codes)]
    for words in calls:
        text = done(home.root, *words)
        found = BANNED.search(text)
        assert not found, (words, found)


def test_no_amount_of_the_record_is_banned(home):
    for jar in json.loads(done(home.root, "jars", "--json")):
        assert all(line["mass_g"] != 24 for line in jar["botanicals"])
        assert all(line["volume_ml"] != 120 for line in jar["spirits"])


def test_the_same_day_gives_the_same_shelf(home, tmp_path):
    again = Home(tmp_path)
    build(again, MORNING, VIENNA)
    assert done(again.root, "jars", "--json") == done(home.root, "jars", "--json")


@pytest.mark.parametrize(
    "now",
    [
        datetime(2026, 3, 1, 23, 1, tzinfo=UTC),  # a minute past midnight in Vienna
        datetime(2026, 3, 29, 6, 0, tzinfo=UTC),  # the clocks have just gone forward
        datetime(2028, 2, 29, 22, 59, tzinfo=UTC),
    ],
)
def test_it_can_be_made_at_any_time_of_any_day(tmp_path, now):
    build(Home(tmp_path), now, VIENNA)
    hands = {want.hand for want in views.shelf(desk_at(tmp_path), now).wants}
    assert hands >= {Hand.STRAIN_LATE, Hand.STRAIN, Hand.STIR, Hand.BOTTLE, Hand.CHARGE}


def test_it_is_made_anew_over_itself_alone(tmp_path):
    home = Home(tmp_path)
    build(home, MORNING, VIENNA)
    first = done(tmp_path, "jars", "--json")
    done(tmp_path, "stir", "PLAT-01")
    build(home, MORNING, VIENNA)
    assert done(tmp_path, "jars", "--json") == first
    assert {stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()} == {0o600}


def test_a_record_that_is_no_demo_is_left_alone(tmp_path):
    done(tmp_path, "charge", "caraway", "40g", "300ml", "45%")
    with pytest.raises(RecordUnusable):
        build(Home(tmp_path), MORNING, VIENNA)
    assert "CARA-01" in done(tmp_path, "jars")


@pytest.fixture
def terminal(monkeypatch):
    """Let the program believe that there is a terminal, and close the board at once."""
    monkeypatch.setattr("steepboard.cli.board.need_terminal", lambda: None)
    monkeypatch.setattr("steepboard.cli.board.open_board", lambda place, greeting: None)


def test_without_a_terminal_nothing_is_made_anew(tmp_path):
    assert "terminal" in refused(tmp_path, "demo", code=1)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.usefixtures("terminal")
def test_the_command_says_that_all_is_invented_and_where_it_lies(tmp_path):
    text = done(tmp_path, "demo")
    assert "invented" in text
    assert str(tmp_path / "demo") in text
    assert "PLAT-01" in done(tmp_path / "demo", "today")
    assert not (tmp_path / "shelf.db").exists()


def test_its_first_board_knows_the_currency_of_its_prices(tmp_path, monkeypatch):
    """The settings that the demo writes hold for the board that it opens then and there."""
    seen = []
    monkeypatch.setattr("steepboard.cli.board.need_terminal", lambda: None)
    monkeypatch.setattr(
        "steepboard.cli.board.open_board",
        lambda place, greeting: seen.append(place.settings.money.currency),
    )
    done(tmp_path, "demo")
    assert seen == ["EUR"]


@pytest.mark.usefixtures("terminal")
def test_it_is_kept_when_asked_and_reset_otherwise(tmp_path):
    def stirs():
        return done(tmp_path / "demo", "jar", "PLAT-01").count("  stir ")

    run(tmp_path, "demo", "--keep")
    before = stirs()
    done(tmp_path / "demo", "stir", "PLAT-01")
    run(tmp_path, "demo", "--keep")
    assert stirs() == before + 1
    run(tmp_path, "demo")
    assert stirs() == before


@pytest.mark.usefixtures("terminal")
def test_it_is_not_reset_under_a_board_that_shows_it(tmp_path):
    run(tmp_path, "demo")
    with held_lock(tmp_path / "demo" / "reminders.lock"):
        assert "--keep" in refused(tmp_path, "demo", code=1)
