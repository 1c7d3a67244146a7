"""Names in any script and of any length: on the label, inside its place, or refused and why."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.errors import DoesNotFit, FontUnusable, Unprintable
from steepboard.printing import fonts
from steepboard.printing.labels import labels_pdf
from steepboard.printing.sheets import sheet
from tests.printing import paper
from tests.printing.samples import NOW, named

A4 = sheet("a4-3x8")
PLACE = 13  # in the middle, with neighbours on every side
HOSTILE = (
    "**bold** __x__ --y-- <b>z</b>",
    "(unbalanced \\) ) Tj ET",
    "{nb} %PDF-1.4 endstream",
    "=1+1;@SUM(A1)",
    "\x1b[31mred\x07 \u202egnirts\u202c \u200bend",
    "a" * 80,
    "Å" * 40,
    "jgQÅfÀ|" * 6,
    "i\u0301\u0302\u0303\u0304\u0301\u0302\u0303" * 5,
    "Žluťoučký kůň",
    "Λεμόνι Ήλιος",
    "Апельсин щучий",
    "ქართული",
    "Հայերեն",
    "לימון 12 (חמוץ)",
    "ليمون",
    "नींबू",
    "ดอกไม้",
    "檸檬皮の酒",
    "레몬",
    "🍋 lemon 👩‍🍳",
    "\ufdfd",
    "￼\ud800",
    "  ",
)
LETTERS = "abcXYZ0129éßøÅŽřΩжщשמ语ลعकﬁ"
SIGNS = " -.,'()/&%#*_~`^<>[]{}\\|€“”’–—…🍋"
UNSEEN = "\u0301\u200d\n\x00\u202e\xad\u2028\ufe0f"


def printed_or_refused(name):
    """Return the label with this name in the middle of a sheet, or why there is none."""
    try:
        return labels_pdf([named(name)], A4, PLACE + 1, NOW)
    except (DoesNotFit, Unprintable) as fault:
        return str(fault)


def stands_inside(pdf):
    """Return whether all ink of the label keeps off the edge of its place, and of the others'."""
    page, cell = paper.picture(pdf, dpi=100), A4.cell(PLACE)
    rest = paper.without(page, A4.inside(cell), dpi=100)
    return paper.ink(paper.part(page, A4.inside(cell), dpi=100)) and paper.ink(rest) is None


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_or_strange_name_stands_inside_its_place_or_is_refused(name):
    made = printed_or_refused(name)
    if isinstance(made, str):
        assert "too long" in made or "cannot be printed" in made
    else:
        assert stands_inside(made)


@settings(max_examples=60, deadline=None)
@given(st.text(LETTERS + SIGNS + UNSEEN, max_size=80))
def test_any_name_stands_inside_its_place_or_is_refused(name):
    made = printed_or_refused(name)
    if isinstance(made, str):
        assert "too long" in made or "cannot be printed" in made
        return
    assert stands_inside(made)
    seen = unicodedata.normalize("NFKC", paper.words(made, A4.cell(PLACE)))
    wanted = unicodedata.normalize("NFKC", fonts.in_latin_1(fonts.as_printed(name)))
    spoken = {c for c in wanted if c.isalnum()}
    assert spoken <= set(fonts.in_latin_1(seen)), (name, seen)


@pytest.mark.parametrize(
    "name",
    [
        "Žluťoučký kůň",
        "Λεμόνι Ήλιος",
        "Апельсин щучий",
        "Café **1** <b>",
        "{nb} (x\\) Tj",
        "ქართული",
    ],
)
def test_letters_that_stand_side_by_side_are_printed_as_they_are(name):
    paper.needs_dejavu()
    made = printed_or_refused(name)
    assert isinstance(made, bytes), made
    assert name in paper.words(made, A4.cell(PLACE))


def test_hebrew_runs_from_right_to_left():
    paper.needs_dejavu()
    word = "לימון"
    made = printed_or_refused(word)
    pieces = [text for text, _ in paper.sizes(made)]
    assert word[::-1] in pieces or word in pieces
    backwards = printed_or_refused(word[::-1])
    assert paper.differ(paper.picture(made), paper.picture(backwards))
    assert word in paper.words(made, A4.cell(PLACE))  # poppler turns what was set from the left


@pytest.mark.parametrize(("name", "script"), [("ليمون", "Arabic"), ("नींबू", "Devanagari")])
def test_letters_that_would_have_to_be_joined_are_refused_by_name(name, script):
    assert f"letters of {script} script, which would have to be joined" in printed_or_refused(name)


@pytest.mark.parametrize("name", ["\u0301", "שָׁלוֹם", "q\u0302 tonic"])
def test_marks_that_would_have_to_be_set_on_a_letter_are_refused(name):
    assert "a mark that would have to be set on a letter" in printed_or_refused(name)


def test_a_mark_that_is_one_with_its_letter_is_printed():
    assert "Café" in paper.words(printed_or_refused("Cafe\u0301"), A4.cell(PLACE))


def test_a_letter_that_no_font_has_is_refused_with_what_to_install():
    told = printed_or_refused("Lemon \U00013000")  # an Egyptian hieroglyph
    assert "cannot be printed" in told
    assert isinstance(printed_or_refused("Lemon"), bytes)


def test_without_a_font_latin_1_is_printed_and_the_rest_refused(monkeypatch):
    fonts._found.cache_clear()
    monkeypatch.setattr(fonts, "_FOLDERS", ())
    try:
        assert isinstance(printed_or_refused("Crème brûlée ½ – “x”"), bytes)
        told = printed_or_refused("Kůň")
    finally:
        fonts._found.cache_clear()
    assert "no font here has “ů” (U+016F)" in told
    assert "fonts-dejavu-core" in told
    assert "[print] font" in told


def test_a_font_of_ones_own_prints_all_of_it():
    paper.needs_dejavu()
    (own, *_) = fonts.fonts_for(["Ž"], "")
    made = labels_pdf([named("Lemon")], A4, 1, NOW, str(own.regular))
    used = paper.reader(made).pages[0]["/Resources"]["/Font"].values()
    faces = {str(font.get_object()["/BaseFont"]) for font in used}
    assert faces
    assert all("DejaVu" in face for face in faces)


def test_a_font_under_a_strange_name_is_refused_by_it(tmp_path):
    paper.needs_dejavu()
    (own, *_) = fonts.fonts_for(["Ž"], "")
    strange = tmp_path / "own.data"
    strange.write_bytes(own.regular.read_bytes())
    with pytest.raises(FontUnusable, match=r"own\.data cannot be read as a font"):
        labels_pdf([named("Lemon")], A4, 1, NOW, str(strange))


@pytest.mark.parametrize("content", [None, b"", b"not a font"])
def test_a_font_that_is_none_is_refused_by_its_name(tmp_path, content):
    path = tmp_path / "own.ttf"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(FontUnusable, match=r"own\.ttf cannot be read as a font"):
        labels_pdf([named("Lemon")], A4, 1, NOW, str(path))
