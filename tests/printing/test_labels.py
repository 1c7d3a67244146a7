"""Labels, rendered and read back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from steepboard.errors import DoesNotFit, OutOfRange
from steepboard.printing.flow import READ_PT, SMALL_PT
from steepboard.printing.labels import labels_pdf
from steepboard.printing.pen import Pen, Style
from steepboard.printing.sheets import Box, sheet, sheets
from tests.printing import paper
from tests.printing.samples import NOW, PLAIN, SHARP, named, numbered

A4 = sheet("a4-3x8")


def test_a_label_says_all_that_it_must():
    roll = sheet("roll-90x50")
    said = paper.words(labels_pdf([SHARP], roll, 1, NOW))
    assert "HOT !" in said
    assert said.replace("HOT ! ", "") == (
        "Orange, sharp ORAN-02-B Orange peel (Citrus × aurantium) "
        "57.0 % vol · 1:5 in neutral spirit at 60.0 % "
        "Bottled 18 Mar 2026; best before 18 Mar 2027; 48 drops/mL "
        "Contains celery, mustard Mind: Seville orange and medicines "
        "Strong spirit. Keep away from flame and children."
    )


def test_each_label_of_a_full_sheet_stands_in_a_place_of_its_own():
    labels = numbered(24)
    pdf = labels_pdf(labels, A4, 1, NOW)
    page = paper.picture(pdf, dpi=300)
    assert len(paper.reader(pdf).pages) == 1
    for number, label in enumerate(labels):
        cell = A4.cell(number)
        assert label.code in paper.words(pdf, cell)
        assert paper.codes(paper.part(page, cell, dpi=300)) == [label.code]


@pytest.mark.parametrize("start", [1, 2, 5, 23, 24])
def test_a_part_used_sheet_is_begun_at_its_first_free_place(start):
    labels = numbered(3)
    pdf = labels_pdf(labels, A4, start, NOW)
    assert len(paper.reader(pdf).pages) == (1 if start <= 22 else 2)
    page = paper.picture(pdf)
    for number in range(start - 1):
        used = paper.part(page, A4.cell(number), grow_mm=-0.3)
        assert paper.ink(used, darker_than=250) is None
    for number, label in enumerate(labels, start - 1):
        cell = A4.cell(number % 24)
        assert label.code in paper.words(pdf, cell, page=number // 24 + 1)


@pytest.mark.parametrize("start", [0, -1, 25])
def test_a_place_that_the_sheet_does_not_have_is_refused(start):
    with pytest.raises(OutOfRange, match="from 1 to 24 on a4-3x8"):
        labels_pdf([PLAIN], A4, start, NOW)


def test_on_a_roll_each_label_is_a_page_of_its_size():
    roll = sheet("roll-62x40")
    pages = paper.reader(labels_pdf(numbered(3), roll, 1, NOW)).pages
    mm = [tuple(float(side) * 25.4 / 72 for side in page.mediabox[2:]) for page in pages]
    assert mm == [pytest.approx((62.0, 40.0), abs=0.01)] * 3


def test_lines_to_cut_along_stand_around_each_label_of_a_sheet_and_on_no_roll():
    page = paper.picture(labels_pdf([PLAIN], A4, 14, NOW))
    cell = A4.cell(13)
    for edge in (
        Box(cell.x - 0.2, cell.y + 5, 0.4, 20),
        Box(cell.x + cell.width - 0.2, cell.y + 5, 0.4, 20),
        Box(cell.x + 5, cell.y - 0.2, 50, 0.4),
        Box(cell.x + 5, cell.y + cell.height - 0.2, 50, 0.4),
    ):
        assert paper.ink(paper.part(page, edge), darker_than=240), edge
    roll = sheet("roll-90x50")
    alone = paper.picture(labels_pdf([PLAIN], roll, 1, NOW))
    assert paper.ink(paper.without(alone, roll.inside(roll.cell(0))), darker_than=240) is None


@pytest.mark.parametrize("name", [name for name in sorted(sheets()) if "tape" not in name])
def test_no_ink_lies_between_what_may_be_written_on_and_the_edge_of_a_label(name):
    """Nor anywhere else on the page; the label is the longest that still fits. Lines are grey."""
    used, where = sheet(name), sheet(name).count // 2
    for words in range(12, 0, -1):
        long = replace(SHARP, name=" ".join(["Platform"] * words))
        try:
            page = paper.picture(labels_pdf([long], used, where + 1, NOW))
            break
        except DoesNotFit:
            continue
    inside = used.inside(used.cell(0 if used.roll else where))
    assert paper.ink(paper.part(page, inside))
    assert paper.ink(paper.without(page, inside)) is None


@pytest.mark.parametrize("name", sorted(sheets()))
def test_nothing_is_set_smaller_than_can_be_read(name):
    if name.startswith("tape"):
        return
    small_pt, read_pt = 6.6, 11.0
    for text, size in paper.sizes(labels_pdf([SHARP], sheet(name), 1, NOW)):
        first = text in ("Orange, sharp", "ORAN-02-B", "HOT !")
        assert size >= (read_pt if first else small_pt) - 0.01, text


@pytest.mark.parametrize("letters", ["xH", "žŘ"])
def test_the_least_letters_are_as_high_as_the_rules_for_reading_say(letters):
    """An x of 1.2 mm (EU 1169/2011, 13(2)); a capital of 16' at 600 mm, 2.79 mm (ISO 9241-303)."""
    if letters != "xH":
        paper.needs_dejavu()
    for size, letter, least_mm in ((SMALL_PT, "x", 1.2), (READ_PT, "H", 2.79)):
        pen = Pen([letters], "", NOW, "")
        pen.pdf.add_page(format=(40, 40))
        pen.write(10, 10, letter, pen.suited(letters, Style(size)))
        _, top, _, bottom = paper.ink_mm(paper.picture(pen.output(), dpi=1200), dpi=1200)
        assert bottom - top >= least_mm - 0.03  # two dots of the rendering


def test_what_is_short_is_set_larger_where_there_is_room():
    found = {
        name: max(size for _, size in paper.sizes(labels_pdf([PLAIN], sheet(name), 1, NOW)))
        for name in ("a4-3x8", "a4-2x4")
    }
    assert found["a4-2x4"] > found["a4-3x8"] > READ_PT


def test_what_does_not_fit_is_named_with_a_sheet_on_which_it_does():
    long = named("Of the corridor to the third platform " * 4)
    with pytest.raises(DoesNotFit) as refused:
        labels_pdf([PLAIN, long], A4, 1, NOW)
    assert refused.value.what == "the name"
    told = str(refused.value)
    assert told.startswith("CARA-03-A: the name is too long for a label of 70 × 36 mm")
    larger = told.split("It fits on ")[1].rstrip(".")
    assert long.name.strip() in paper.words(labels_pdf([long], sheet(larger), 1, NOW))


def test_what_fits_on_no_sheet_is_to_be_written_shorter():
    endless = replace(PLAIN, botanicals=", ".join(["Caraway (Carum carvi)"] * 200))
    with pytest.raises(DoesNotFit, match=r"the list of botanicals is too long .* Write it shorter"):
        labels_pdf([endless], A4, 1, NOW)


def test_the_same_labels_make_the_same_file():
    assert labels_pdf([PLAIN], A4, 1, NOW) == labels_pdf([PLAIN], A4, 1, NOW)


@pytest.mark.parametrize("code", ["CARA-03-A", "ΛΕΜΟ-01-B", "X-1-AA"])
def test_the_square_says_the_code_and_nothing_else(code):
    if code.startswith("Λ"):
        paper.needs_dejavu()
    roll = sheet("roll-62x40")
    page = paper.picture(labels_pdf([replace(PLAIN, code=code)], roll, 1, NOW), dpi=300)
    assert paper.codes(page) == [code]
