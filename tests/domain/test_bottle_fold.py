"""What a bottle holds, from its diary."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, isfinite, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steepboard.domain.bottle_fold import fold, weighed_ml
from steepboard.domain.bottles import (
    BottleEntry,
    BottleKind,
    BottleState,
    Poured,
    Purpose,
    Tag,
    Weighing,
    letters,
)
from steepboard.domain.mixing import Liquid
from steepboard.domain.readings import Measured
from steepboard.domain.records import Source
from tests.shelves import MORNING

TAGS = (Tag(1, "CARA-01-A", "CARA-01", 7, "Caraway"), Tag(2, "CARA-01-B", "CARA-01", 7, "Caraway"))
# Published density of 45 % by mass: 0.92472 g/mL; with 1 g dissolved in 40 g of it, worked by
# hand in test_mixing, 0.93445 g/mL.
JARS = {7: Liquid(0.51980, 0.022791, 0.2, shares=((7, 1.0),))}
ROUND = 0.5 / sqrt(3.0)  # ± of a reading to 1: half a step spread evenly (JCGM 100:2008, 4.3.7)

steps = st.floats(0.0, 5.0)
amounts = st.builds(Measured, st.floats(0.0, 150.0), steps)


def entry(kind, id_=0, bottle=1, **told):
    return BottleEntry(
        id_, bottle, id_, kind, MORNING, Source.BOARD, "KL", "", False, 0, **told
    )  # fmt: skip


def filled(volume=Measured(100.0, 1.0), bottle=1):  # noqa: B008 - frozen
    return entry(BottleKind.FILL, bottle=bottle, size_ml=100.0, poured=(Poured(volume, jar_id=7),))


def drawn(volume, **told):
    return entry(BottleKind.DRAW, volume=volume, purpose=Purpose.DOSE, **told)


acts = st.one_of(
    st.builds(drawn, amounts),
    st.builds(drawn, amounts, tool=st.sampled_from(["drop", "dash"]), tool_u=st.floats(0.0, 0.5)),
    st.builds(lambda v: entry(BottleKind.CORRECT, volume=v), amounts),
    st.builds(
        lambda v: entry(BottleKind.TOP_UP, poured=(Poured(v, spirit="water", strength=0.0),)),
        st.builds(Measured, st.floats(0.1, 50.0), steps),
    ),
    st.builds(
        lambda now: entry(
            BottleKind.COUNT, weighing=Weighing(Measured(now, 1.0), Measured(90.0, 1.0))
        ),
        st.floats(1.0, 250.0),
    ),
    st.sampled_from([entry(kind) for kind in (BottleKind.BREAK, BottleKind.USE_UP)]),
)


def bottle(*entries):
    """Return the first bottle after entries in this order."""
    numbered = [replace(one, id=number, act=number) for number, one in enumerate(entries, 1)]
    return fold(TAGS, numbered, JARS)[1]


@given(st.lists(acts, max_size=12))
def test_a_bottle_never_holds_less_than_nothing(done):
    found = bottle(filled(), *done)
    assert found.left_ml >= 0.0
    assert isfinite(found.left_u_ml)
    assert found.left_u_ml >= 0.0
    assert 0.0 <= found.liquid.strength <= 1.0


@given(st.lists(acts, max_size=8), st.data())
def test_what_was_taken_back_might_as_well_not_be(done, data):
    gone = data.draw(st.lists(st.booleans(), min_size=len(done), max_size=len(done)))
    told = [replace(one, undone=undone) for one, undone in zip(done, gone, strict=True)]
    kept = [one for one, undone in zip(done, gone, strict=True) if not undone]
    assert bottle(filled(), *told) == bottle(filled(), *kept)


@given(st.lists(st.builds(drawn, st.builds(Measured, st.floats(0, 9), steps)), max_size=10))
def test_draws_add_up_in_any_order(done):
    found, turned = bottle(filled(), *done), bottle(filled(), *reversed(done))
    total = sum(one.volume.value for one in done)
    assert found.left_ml == pytest.approx(100.0 - total, abs=1e-9)
    assert found.left_u_ml == pytest.approx(turned.left_u_ml)
    # each reading's own ± in quadrature: JCGM 100:2008, 5.1.2
    squares = sum(one.volume.resolution**2 / 12 for one in done) + 1 / 12
    assert found.left_u_ml == pytest.approx(sqrt(squares))


def test_the_doubt_of_a_tool_adds_up_and_tools_are_apart():
    drops = [drawn(Measured(2.0, 0.0), tool="drop", tool_u=0.1)] * 5
    dashes = [drawn(Measured(3.0, 0.0), tool="dash", tool_u=0.2)] * 4
    # by hand: 5 * 2 * 0.1 = 1.0 and 4 * 3 * 0.2 = 2.4, and the fill's 0.289
    assert bottle(filled(), *drops, *dashes).left_u_ml == pytest.approx(hypot(1.0, 2.4, ROUND))


def test_a_count_forgets_what_was_in_doubt_before():
    weighing = Weighing(Measured(151.0, 1.0), Measured(90.0, 1.0))
    found = bottle(
        filled(),
        drawn(Measured(30.0, 10.0), tool="drop", tool_u=0.5),
        entry(BottleKind.COUNT, weighing=weighing),
    )
    # by hand: 61 g / 0.93445 g/mL = 65.279 mL; two readings to 1 g: 0.2887 * sqrt(2) / 0.93445
    assert found.left_ml == pytest.approx(65.279, abs=0.005)
    assert found.left_u_ml == pytest.approx(0.4369, abs=1e-3)
    assert (found.empty, found.counted_at) == (Measured(90.0, 1.0), MORNING)


def test_a_full_bottle_weighed_at_filling_serves_as_well():
    # by hand: 100 mL at filling, now 31 g lighter: 31 / 0.93445 = 33.175 mL are gone
    weighing = Weighing(Measured(152.0, 1.0), full=Measured(183.0, 1.0))
    left, u = weighed_ml(weighing, JARS[7], (100.0, ROUND))
    assert left == pytest.approx(66.825, abs=0.005)
    assert u == pytest.approx(hypot(0.4369, ROUND), abs=1e-3)


def test_what_is_poured_from_a_bottle_carries_what_it_held_then():
    thinned = entry(
        BottleKind.TOP_UP, 2, poured=(Poured(Measured(20, 1), spirit="water", strength=0.0),)
    )
    half = Poured(Measured(40.0, 1.0), bottle_id=1)
    other = entry(BottleKind.FILL, 3, bottle=2, size_ml=50.0, poured=(half,))
    later = replace(thinned, id=4, act=4)
    found = fold(TAGS, [replace(filled(), id=1, act=1), thinned, other, later], JARS)
    only_once = fold(TAGS, [replace(filled(), id=1, act=1), thinned], JARS)
    assert found[2].liquid == only_once[1].liquid
    assert found[1].liquid.strength < found[2].liquid.strength


def test_an_end_leaves_nothing_and_says_how():
    for kind, state in (
        (BottleKind.USE_UP, BottleState.USED_UP),
        (BottleKind.BREAK, BottleState.BROKEN),
        (BottleKind.DISCARD, BottleState.DISCARDED),
    ):
        found = bottle(filled(), entry(kind))
        assert (found.left_ml, found.left_u_ml, found.state) == (0.0, 0.0, state)


def test_a_bottle_whose_fill_was_taken_back_is_not_there():
    gone = replace(filled(), id=1, act=1, undone=True)
    assert fold(TAGS, [gone, replace(drawn(Measured(3, 1)), id=2)], JARS) == {}


def test_letters_name_any_number_of_bottles():
    every = [letters(number) for number in range(26 + 26**2 + 1)]
    assert every[:2] + every[25:28] + every[-2:] == ["A", "B", "Z", "AA", "AB", "ZZ", "AAA"]
    assert len(set(every)) == len(every)
