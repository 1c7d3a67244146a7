"""Drinks sold, drawn from a list: all of it or nothing, and once."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.base import Base
from steepboard.errors import BadList, DrawnBefore
from steepboard.services import acts, bottle_shelf, bottling, doses, sold
from tests.bottled import NEXT, full, strained
from tests.shelves import desk_at

NOW = NEXT + timedelta(days=3)
HEAD = "date,drink,count\n"


@pytest.fixture
def bar(tmp_path):
    """Give a shelf with two bottles of 50 mL of caraway, and a drink that takes 2 mL of it."""
    desk = desk_at(tmp_path)
    strained(desk)
    bottling.fill(desk, "CARA-01", [full(50), full(50)], NEXT)
    drink = Base("Night train", 90.0, 0.2, 40.0)
    doses.keep(desk, "caraway edge", 2.0, "CARA-01-A", "a bitter edge", NEXT, drink=drink)
    return desk


def left(desk):
    return {one.code: one.left_ml for one in bottle_shelf.bottles(desk)}


def give(desk, text, **more):
    content = text if isinstance(text, bytes) else text.encode()
    return sold.sold(desk, "friday.csv", content, NOW, **more)


def test_each_drink_takes_its_dose_from_the_bottle_that_was_filled_first(bar):
    told = give(bar, HEAD + "2026-03-18,Night train,7\n2026-03-19,night TRAIN,3\n")
    assert told.drinks == 10
    assert left(bar) == {"CARA-01-A": pytest.approx(30), "CARA-01-B": 50}  # ten of 2 mL
    entries = bottle_shelf.diary(bar, bottle_shelf.bottle(bar, "CARA-01-A"))[-2:]
    assert [bar.day(entry.at).day for entry in entries] == [18, 19]
    assert entries[0].note == "by friday.csv"


def test_what_one_bottle_lacks_comes_from_the_next(bar):
    give(bar, HEAD + "2026-03-19,Night train,40\n")  # 80 mL
    assert left(bar) == {"CARA-01-A": pytest.approx(0), "CARA-01-B": pytest.approx(20)}


def test_the_same_list_counts_once_and_an_undo_lets_it_count_again(bar):
    text = HEAD + "2026-03-19,Night train,5\n"
    give(bar, text)
    with pytest.raises(DrawnBefore, match="2026-03-21"):
        give(bar, text)
    assert left(bar)["CARA-01-A"] == pytest.approx(40)
    acts.undo(bar, None, NOW)  # all of it is one act
    assert left(bar)["CARA-01-A"] == 50
    give(bar, text)
    assert left(bar)["CARA-01-A"] == pytest.approx(40)


def test_every_bad_row_is_told_with_its_line_and_nothing_is_drawn(bar):
    rows = (
        "2026-03-18,Night train,2",
        "18.3.2026,Night train,2",
        "2026-03-18,Night train,two",
        "2026-03-18,Night train,-2",
        "2026-03-18,Night train,1.5",
        "2026-03-22,Night train,2",
        "2026-03-18,,2",
        "2026-03-18,Brown ale,2",
        "2026-03-18,Night train",
        "",
        '2026-03-18,"Night train",99999999999999999999',
    )
    with pytest.raises(BadList) as told:
        give(bar, HEAD + "\n".join(rows))
    assert [line for line, _ in told.value.faults] == [3, 4, 5, 6, 7, 8, 9, 10, 12]
    assert left(bar) == {"CARA-01-A": 50, "CARA-01-B": 50}


def test_a_row_that_takes_more_than_stands_is_told(bar):
    with pytest.raises(BadList) as told:
        give(bar, HEAD + "2026-03-18,Night train,40\n2026-03-19,Night train,15\n")
    ((line, why),) = told.value.faults
    assert (line, why) == (3, "Night train needs 10.0 mL more of Caraway seed than stands")
    assert left(bar)["CARA-01-A"] == 50


def test_drinks_without_a_dose_are_left_out_only_when_asked(bar):
    text = HEAD + "2026-03-18,Beer,9\n2026-03-18,Night train,1\n"
    with pytest.raises(BadList):
        give(bar, text)
    told = give(bar, text, known_only=True)
    assert (told.drinks, told.left_out) == (1, ("Beer",))


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe\x00",
        b"date,drink\n2026-03-18,Night train\n",
        b"date,drink,count,price\n",
        HEAD.encode(),
        HEAD.encode() + b'2026-03-18,"Night train,2\n',
        b"x" * (sold.MOST_BYTES + 1),
        HEAD.encode() + b"\x00\x00\x00",
    ],
)
def test_what_is_no_list_is_refused(bar, content):
    with pytest.raises(BadList):
        give(bar, content)
    assert left(bar) == {"CARA-01-A": 50, "CARA-01-B": 50}


def test_a_list_as_other_programs_write_it_is_read(bar):
    text = '\ufeffDrink;Count;Date\r\n"Night train";4;2026-03-18\r\n'
    assert give(bar, text).drinks == 4
    assert left(bar)["CARA-01-A"] == pytest.approx(42)
