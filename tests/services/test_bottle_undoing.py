"""Taking back what was done with bottles, and with jar and bottles together."""

from __future__ import annotations

import pytest

from steepboard.domain.base import Base
from steepboard.domain.bottles import BottleKind, Purpose
from steepboard.domain.records import Kind, Measure, State
from steepboard.errors import NothingToUndo, TakeBackFirst
from steepboard.services import acts, bench, bottle_shelf, bottles, bottling, undoing, views
from tests.bottled import NEXT, drawn, full, mls, strained
from tests.shelves import desk_at, order


@pytest.fixture
def desk(tmp_path):
    return desk_at(tmp_path)


def test_an_undo_takes_back_a_bottling_and_what_it_did_to_the_jar(desk):
    jar = strained(desk, bottled=False)
    bottling.fill(desk, jar.code, [full(100), full(50)], NEXT)
    last = acts.undo(desk, None, NEXT)
    assert set(last.kinds) == {BottleKind.FILL, Kind.READING, Kind.BOTTLE}
    jar = views.jar(desk, jar.code)
    assert (jar.state, jar.reading(Measure.RECOVERED)) == (State.SETTLING, None)
    assert bottle_shelf.bottles(desk, ended=True) == ()
    again = bottling.fill(desk, jar.code, [full(100)], NEXT)
    assert [one.code for one in again.bottles] == ["CARA-01-A"]


def test_the_last_act_of_the_shelf_is_found_over_jars_and_bottles(desk):
    jar = strained(desk)
    bottling.fill(desk, jar.code, [full(100)], NEXT)
    other = acts.charge(desk, order("fennel"), NEXT)
    bottles.draw(desk, "CARA-01-A", drawn(3), Purpose.TASTING, NEXT)
    acts.stir(desk, (other.code,), NEXT)
    told = []
    while acts.last_act(desk):
        done = acts.undo(desk, None, NEXT)
        told.append((done.code, done.kinds))
    assert told == [
        ("FENN-01", (Kind.STIR,)),
        ("CARA-01-A", (BottleKind.DRAW,)),
        ("FENN-01", (Kind.CHARGE,)),
        ("CARA-01-A", (BottleKind.FILL,)),
        ("CARA-01", (Kind.STRAIN, Kind.BOTTLE)),
        ("CARA-01", (Kind.CHARGE,)),
    ]
    with pytest.raises(NothingToUndo):
        acts.undo(desk, "CARA-01-A", NEXT)


def test_a_bottling_is_not_taken_back_under_a_bottle_that_was_drawn_from(desk):
    jar = strained(desk)
    bottling.fill(desk, jar.code, [full(100), full(50)], NEXT)
    bottles.draw(desk, "CARA-01-B", drawn(3), Purpose.SPILL, NEXT)
    with pytest.raises(TakeBackFirst, match="CARA-01-B"):
        acts.undo(desk, jar.code, NEXT)
    with pytest.raises(TakeBackFirst):
        acts.undo(desk, "CARA-01-A", NEXT)
    acts.undo(desk, "CARA-01-B", NEXT)
    acts.undo(desk, jar.code, NEXT)
    assert bottle_shelf.bottles(desk) == ()


def test_what_ended_a_jar_stays_as_long_as_more_was_bottled_after_it(desk):
    jar = strained(desk, bottled=False)
    bottling.fill(desk, jar.code, [full(100)], NEXT, left=mls(60))
    bottling.fill(desk, jar.code, [full(50)], NEXT)
    with pytest.raises(TakeBackFirst, match="CARA-01-B"):
        acts.undo(desk, "CARA-01-A", NEXT)
    acts.undo(desk, jar.code, NEXT)
    acts.undo(desk, jar.code, NEXT)
    assert views.jar(desk, jar.code).state is State.SETTLING


def test_a_bottling_stays_as_long_as_a_trial_stands_on_its_bottle(desk):
    """Ended or not: without its bottle no trial could be shown, the others neither."""
    jar = strained(desk)
    bottling.fill(desk, jar.code, [full(100)], NEXT)
    sample = Base("sour", 100.0, 0.28, 90.0)
    trial = bench.start(desk, "CARA-01-A", sample, NEXT, sample_u_ml=0.6).trial.code
    for code in (jar.code, "CARA-01-A"):
        with pytest.raises(TakeBackFirst, match=f"steepboard bench undo {trial}"):
            acts.undo(desk, code, NEXT)
    bench.end(desk, trial, NEXT)
    with pytest.raises(TakeBackFirst):
        acts.undo(desk, jar.code, NEXT)
    undoing.undo_trial(desk, trial, NEXT)
    undoing.undo_trial(desk, trial, NEXT)
    acts.undo(desk, jar.code, NEXT)
    assert bottle_shelf.bottles(desk) == ()
