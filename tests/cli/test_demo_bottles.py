"""The bottles of the demo shelf."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.bottles import BottleKind, BottleState, Purpose
from steepboard.services import bottle_shelf
from tests.cli.running import done
from tests.cli.test_demo import BANNED
from tests.shelves import MORNING, desk_at

pytestmark = pytest.mark.xdist_group("demo")


@pytest.fixture
def home(demo):
    return demo


@pytest.fixture
def desk(home):
    return desk_at(home.root)


def test_bottles_of_several_sizes_stand_full_and_part_used(desk):
    found = bottle_shelf.bottles(desk)
    assert 15 <= len(found) <= 45
    assert len({one.size_ml for one in found}) >= 3
    assert {one.left_ml > one.size_ml / 2 for one in found} == {True, False}
    assert any(len(one.liquid.shares) > 1 for one in found)
    assert {one.state for one in bottle_shelf.bottles(desk, ended=True)} >= {
        BottleState.STANDING, BottleState.USED_UP, BottleState.BROKEN, BottleState.DISCARDED,
    }  # fmt: skip


def test_weeks_of_draws_for_every_purpose_stand_in_the_diaries(desk):
    found = bottle_shelf.draws(desk, MORNING - timedelta(days=84))
    assert len(found) > 150
    assert {entry.purpose for entry in found} == set(Purpose)
    assert {entry.initials for entry in found} >= {"MH", "TO", "BW"}
    assert all(entry.at <= MORNING for entry in found)
    every = bottle_shelf.bottles(desk, ended=True)
    kinds = {entry.kind for one in every for entry in bottle_shelf.diary(desk, one)}
    assert kinds >= {
        BottleKind.FILL, BottleKind.DRAW, BottleKind.COUNT, BottleKind.USE_UP, BottleKind.BREAK,
        BottleKind.TOP_UP, BottleKind.CORRECT, BottleKind.DISCARD,
    }  # fmt: skip


def test_no_more_is_bottled_than_was_recovered(desk):
    for one in bottle_shelf.bottles(desk, ended=True):
        for jar, _ in bottle_shelf.inside(desk, one).jars:
            left = bottle_shelf.rest(desk, jar)
            assert left.left_ml >= -2 * left.left_u_ml


def test_no_banned_plant_and_no_banned_amount_is_in_a_bottle(home, desk):
    codes = [one.code for one in bottle_shelf.bottles(desk, ended=True)]
    for words in (("bottles", "--all"), *(("bottles", code) for code in codes)):
        found = BANNED.search(done(home.root, *words))
        assert not found, (words, found)
