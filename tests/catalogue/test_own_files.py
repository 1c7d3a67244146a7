"""Files of one's own: they win cell by cell, and what is wrong in one is told in a plain line."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.catalogue import load
from steepboard.catalogue.books import Books
from steepboard.catalogue.library import Library
from steepboard.errors import BadCatalogue


def library(folder, text, name="botanicals", encoding="utf-8"):
    (folder / f"{name}.csv").write_text(text, encoding=encoding)
    found = Library(Books(folder))
    found.check()
    return found


def test_only_filled_cells_win(tmp_path):
    found = library(tmp_path, "id,name,days_typical,latin\ncaraway,,9,\n").find("caraway")
    shipped = load.find("caraway")
    assert (found.days_typical, found.days_min, found.days_max) == (9, 2, 14)
    assert (found.name, found.latin, found.moisture) == (
        shipped.name,
        shipped.latin,
        shipped.moisture,
    )
    assert found.own
    assert not shipped.own


def test_what_is_given_without_a_source_is_given_by_you(tmp_path):
    text = (
        "id,water_percent,ratio_min,ratio_max,ratio_source\ncaraway,12,3,6,measured here: 2 jars\n"
    )
    found = library(tmp_path, text).find("caraway")
    assert found.moisture.source == "given by you; range assumed"
    assert (found.moisture.value, found.moisture.low, found.moisture.high) == (0.12, 0.10, 0.14)
    assert found.ratio_source == "measured here: 2 jars"
    assert found.days_source == load.find("caraway").days_source


def test_a_range_stays_with_the_value_it_was_given_with(tmp_path):
    text = "id,water_percent,water_low_percent,water_high_percent\ncaraway,30,25,40\n"
    moisture = library(tmp_path, text).find("caraway").moisture
    assert (moisture.low, moisture.value, moisture.high) == (0.25, 0.30, 0.40)


def test_a_new_row_is_a_botanical_of_ones_own_by_its_class(tmp_path):
    text = "id,name,latin,class,aliases\nsweet-gale,Sweet gale,Myrica gale,leaf,bog myrtle; gale\n"
    found = library(tmp_path, text)
    gale = found.find("Bog Myrtle")
    assert gale is found.find("sweet-gale")
    assert gale.moisture.value == load.class_defaults("leaf")[0].value
    assert gale.moisture.source.endswith("the figure of its class, leaf")
    assert gale.ratio_min is None
    assert found.search("myrica")[0] is gale
    assert load.find("bog myrtle") is None


def test_sources_of_ones_own_can_be_named(tmp_path):
    (tmp_path / "sources.csv").write_text('code,obtained,text\nscale,measured here,"on {}"\n')
    text = "id,water_percent,water_source\ncaraway,11,scale 3 March\n"
    found = library(tmp_path, text).find("caraway")
    assert found.moisture.source == "measured here: on 3 March"


def test_a_spirit_of_ones_own_is_found_and_changed(tmp_path):
    text = "id,name,aliases,strength_percent\nvodka-40,,,41\ncellar,Cellar spirit,,55\n"
    found = library(tmp_path, text, "spirits")
    assert found.find_spirit("vodka").strength == 0.41
    assert found.find_spirit("cellar spirit").source == "given by you"
    assert load.SHIPPED.find_spirit("vodka").strength == 0.40


def test_a_file_from_a_spreadsheet_is_read(tmp_path):
    text = "id,days_typical,,\r\n# mine,,,\r\n,,,\r\ncaraway,9,,\r\n"
    assert library(tmp_path, text, encoding="utf-8-sig").find("caraway").days_typical == 9


@pytest.mark.parametrize(
    ("text", "line", "column", "told"),
    [
        ("id,wter_percent\n", 1, "wter_percent", "The nearest is water_percent"),
        ("name\nCaraway\n", 1, "id", "missing"),
        ("id,name,name\n", 1, "name", "twice"),
        ("id,name\ncaraway,a,b\n", 2, None, "more cells than columns"),
        ("# mine\nid,days_typical\n\ncaraway,soon\n", 4, "days_typical", "“soon” must be a number"),
        ("id,days_typical\ncaraway,30\n", 2, "days_max", "must not be less than the 30"),
        ("id,days_typical\ncaraway,inf\n", 2, "days_typical", "from 0 to 400"),
        ("id,water_percent\ncaraway,120\n", 2, "water_percent", "from 0 to 99.9"),
        ("id,water_percent,water_low_percent\ncaraway,9,12\n", 2, "water_low_percent", "0 to 9"),
        ("id,class\ncaraway,stone\n", 2, "class", "must be one of leaf"),
        ("id,fresh\ncaraway,perhaps\n", 2, "fresh", "yes, no"),
        ("id,pungency\ncaraway,1.5\n", 2, "pungency", "whole number from 0 to 3"),
        ("id,cautions\ncaraway,PREGNANT\n", 2, "cautions", "The nearest is PREG"),
        ("id,water_percent,water_source\ncaraway,9,usad 1\n", 2, "water_source", "usda"),
        ("id,allergens_eu\ncaraway,celeri\n", 2, "allergens_eu", "The nearest is celery"),
        ("id,allergens_us\ncaraway,lupin\n", 2, "allergens_us", "“lupin” is not on this list"),
        ("id,use\ncaraway,daily\n", 2, "use", "usual, with care"),
        ("id\ncaraway\ncaraway\n", 3, "id", "line 2 already"),
        ("id\nsweet gale\n", 2, "id", "letters, digits and hyphens"),
        ("id,name\nmine,Juniper\n", 2, "name", "means juniper already"),
        ("id,aliases\nmine,this; juniper berry\n", 2, "aliases", "means juniper already"),
        ('id,name\nmine,"open\n', 2, None, "unexpected end"),
    ],
)
def test_a_fault_names_file_line_and_column(tmp_path, text, line, column, told):
    with pytest.raises(BadCatalogue) as caught:
        library(tmp_path, text)
    assert (caught.value.line, caught.value.column) == (line, column)
    assert told in caught.value.reason
    assert str(caught.value).startswith(f"{tmp_path / 'botanicals.csv'}, line {line}")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("spirits", "id,name\nmine,Mine\n", "a spirit needs its strength"),
        ("spirits", "id,strength_percent\nmine,120\n", "from 0 to 100"),
        ("sources", "code,obtained,text\nx,heard,it\n", "it must begin with one of published"),
    ],
)
def test_the_other_files_are_checked_too(tmp_path, name, text, told):
    with pytest.raises(BadCatalogue, match=told) as caught:
        library(tmp_path, text, name)
    assert caught.value.line == 2


def test_a_file_that_is_no_text_or_cannot_be_read_is_told(tmp_path):
    (tmp_path / "botanicals.csv").write_bytes(b"id,name\ncaraway,K\xfcmmel\n")
    with pytest.raises(BadCatalogue, match="saved as UTF-8"):
        Library(Books(tmp_path)).check()
    (tmp_path / "else").mkdir()
    (tmp_path / "else" / "botanicals.csv").mkdir()
    with pytest.raises(BadCatalogue, match="directory"):
        Library(Books(tmp_path / "else")).check()


@settings(deadline=None, max_examples=60)
@given(st.binary(max_size=200))
def test_no_file_ends_in_anything_but_a_plain_fault(tmp_path_factory, content):
    folder = tmp_path_factory.mktemp("own")
    (folder / "botanicals.csv").write_bytes(content)
    told = ""
    try:
        Library(Books(folder)).check()
    except BadCatalogue as fault:
        told = str(fault)
    assert "\n" not in told


def test_text_in_a_file_is_made_plain(tmp_path):
    text = 'id,name,note\nmine,"Night\x1b[2J  bar\nherb",\u202egnirts\n'
    found = library(tmp_path, text).find("mine")
    assert (found.name, found.note) == ("Night[2J bar herb", "gnirts")
