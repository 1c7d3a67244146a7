"""The sheets: each label a place of its own on the paper."""

from __future__ import annotations

import re

import pytest

from steepboard.errors import UnknownSheet
from steepboard.printing.sheets import sheet, sheets
from steepboard.printing.wrapping import wrap


@pytest.mark.parametrize("name", sorted(sheets()))
def test_the_labels_of_a_sheet_lie_on_it_and_not_on_one_another(name):
    one = sheet(name)
    cells = [cell for _, cell in one.places(1, one.count)]
    for number, cell in enumerate(cells):
        assert cell.x >= -1e-9
        assert cell.y >= -1e-9
        assert cell.x + cell.width <= one.page.width + 1e-9
        assert cell.y + cell.height <= one.page.height + 1e-9
        for other in cells[number + 1 :]:
            apart = max(abs(cell.x - other.x) - cell.width, abs(cell.y - other.y) - cell.height)
            assert apart >= -1e-9


@pytest.mark.parametrize("name", sorted(sheets()))
def test_a_sheet_is_named_by_what_it_is_and_by_no_maker(name):
    assert re.fullmatch(r"(a4|letter)-\dx\d+|(roll|tape)-\d+x\d+", name)
    assert re.search(r"\d × \d", str(sheet(name)))


def test_the_block_of_labels_stands_in_the_middle():
    """99.1 wide twice with 2.5 between leaves 4.65 of 210; 7 times 38.1 leaves 15.15 of 297."""
    first, second = (cell for _, cell in sheet("a4-2x7").places(1, 2))
    assert (first.x, first.y) == pytest.approx((4.65, 15.15))
    assert second.x == pytest.approx(4.65 + 99.1 + 2.5)


def test_an_unknown_sheet_is_refused_with_those_there_are():
    with pytest.raises(
        UnknownSheet, match=r"No sheet is called a5\. There are a4-3x8 \(A4, 3 by 8"
    ):
        sheet("a5")


@pytest.mark.parametrize(
    ("text", "room", "lines"),
    [
        ("one two three", 7, ["one two", "three"]),
        ("one two three", 3, ["one", "two", "thr", "ee"]),
        ("well-known word", 6, ["well-", "known", "word"]),
        ("檸檬皮酒", 2, ["檸檬", "皮酒"]),
        ("ab 檸檬", 4, ["ab 檸", "檬"]),
        ("  spaced  ", 20, ["spaced"]),
        ("", 5, []),
    ],
)
def test_lines_break_where_a_reader_expects_it(text, room, lines):
    assert wrap(text, lambda _: room, len) == lines


def test_a_line_goes_by_the_room_of_its_own_number():
    assert wrap("aa bb cccc dddd", lambda n: (2, 9)[min(n, 1)], len) == ["aa", "bb cccc", "dddd"]


def test_no_room_takes_no_text():
    assert wrap("a", lambda _: 0.5, len) is None
    assert wrap("a", lambda _: 1.5, lambda _: 2.0) is None
