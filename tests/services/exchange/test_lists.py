"""The lists as CSV: a spreadsheet reads in them what the shelf holds, and works nothing out."""

from __future__ import annotations

import csv
import io
import json

import pytest

from steepboard.domain.bottles import Purpose
from steepboard.services import acts, bottle_shelf, bottles, losses, views
from steepboard.services.bottling import fill
from steepboard.services.exchange import document, lists
from steepboard.store.exchange_parts import LISTS
from tests.bottled import LATER, NEXT, drawn, full, strained
from tests.shelves import MORNING, desk_at, order
from tests.whole_shelf import whole


def read(desk, name):
    text = "".join(lists.csv_lines(desk, name))
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


@pytest.fixture
def desk(tmp_path):
    return desk_at(tmp_path)


@pytest.fixture(scope="module")
def everything(tmp_path_factory):
    made = desk_at(tmp_path_factory.mktemp("whole"))
    whole(made)
    yield made
    made.store.close()


def test_the_lists_that_people_ask_for_are_there():
    asked = {"jars", "strainings", "readings", "bottles", "draws", "diary", "bottle_diary"}
    assert asked <= set(lists.names())
    assert {part.name for part in LISTS} <= set(lists.names())


def test_jars_strainings_bottles_and_draws_say_what_the_screens_say(desk):
    jar = strained(desk)
    fill(desk, jar.code, [full(100.0), full(50.0)], LATER)
    bottles.draw(desk, "CARA-01-A", drawn(12.5, 0.5), Purpose.BLEND, NEXT, note="for the party")
    (told,) = read(desk, "jars")
    assert (told["code"], told["state"], told["charged_on"]) == ("CARA-01", "bottled", "2026-03-02")
    assert (float(told["botanical_g"]), float(told["poured_ml"])) == (40.0, 300.0)
    (told,) = read(desk, "strainings")
    (one,) = losses.strained(desk)
    assert float(told["recovered_ml"]) == one.recovered_ml == pytest.approx(222.0)
    told = {row["code"]: row for row in read(desk, "bottles")}
    assert float(told["CARA-01-A"]["left_ml"]) == 87.5
    assert float(told["CARA-01-B"]["left_ml"]) == bottle_shelf.bottle(desk, "CARA-01-B").left_ml
    (told,) = read(desk, "draws")
    assert (told["bottle"], told["purpose"], told["volume_ml"]) == ("CARA-01-A", "blend", "12.5")
    assert (told["at"], told["note"]) == ("2026-03-18T12:00:00+01:00", "for the party")


def test_readings_and_botanicals_name_the_jar_and_the_entry_they_belong_to(desk):
    strained(desk)
    (told,) = read(desk, "readings")
    assert (told["jar"], told["measure"], told["value"]) == ("CARA-01", "recovered", "222.0")
    (told,) = read(desk, "botanicals")
    assert (told["jar"], told["number"], told["mass_g"]) == ("CARA-01", "1", "40.0")


def test_the_diary_has_what_was_taken_back_and_what_was_charged(desk):
    from steepboard.services import undoing

    acts.charge(desk, order(), MORNING)
    acts.stir(desk, ("CARA-01",), MORNING)
    undoing.undo(desk, None, MORNING)
    told = read(desk, "diary")
    assert [row["kind"] for row in told] == ["charge", "stir", "undo"]
    assert [row["undoes"] for row in told] == ["", "", "2"]
    assert told[0]["charge.strain_on"] == "2026-03-16"


# Published: OWASP, CSV Injection, on what begins a formula; the commands are invented.
@pytest.mark.parametrize(
    "note",
    [
        '=HYPERLINK("http://x.example","y")',
        "=1+1",
        "+1",
        "-2+3",
        "@SUM(A1)",
        "＝1+1",
        "-",
        "+49 30",
    ],
)
def test_what_a_spreadsheet_would_work_out_begins_with_an_apostrophe(desk, note):
    acts.charge(desk, order(), MORNING)
    acts.taste(desk, "CARA-01", note, MORNING)
    assert read(desk, "diary")[1]["note"] == f"'{note}"
    assert f'"note": {json.dumps(note)}' in "".join(document.written(desk))


def test_numbers_stay_numbers_and_plain_text_as_it_is(desk):
    acts.charge(desk, order(), MORNING)
    note = 'quite "dry", 3-4 drops; a line, and more = less'
    acts.taste(desk, "CARA-01", note, MORNING)
    assert read(desk, "diary")[1]["note"] == note
    assert lists._line([-1.5, 3, True, None, "-1.5"]) == "-1.5,3,yes,,'-1.5\r\n"


@pytest.mark.parametrize("name", lists.names())
def test_each_list_has_rows_as_wide_as_its_heads_and_nothing_that_acts(everything, name):
    text = "".join(lists.csv_lines(everything, name))
    assert text.count("\r\n") == text.count("\n")  # RFC 4180, 2.1
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert len(rows) > 1, name
    assert {len(row) for row in rows} == {len(rows[0])}
    assert len(set(rows[0])) == len(rows[0])
    for cell in (cell for row in rows[1:] for cell in row):
        try:
            float(cell)
        except ValueError:
            assert not cell.startswith(("=", "+", "-", "@", "\t", "\r")), cell


def test_an_empty_list_has_its_heads(desk):
    for name in lists.names():
        assert read(desk, name) == []
        assert len("".join(lists.csv_lines(desk, name)).splitlines()) == 1
    assert views.all_jars(desk) == ()
