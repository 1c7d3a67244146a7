"""The lists as CSV: a spreadsheet reads in them what the shelf holds, and works nothing out."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from decimal import Decimal

import pytest

from steepboard.domain.base import Base
from steepboard.domain.bottles import Purpose
from steepboard.domain.costs import Ware
from steepboard.services import acts, bottle_shelf, bottles, costs, doses, losses, stock, views
from steepboard.services.bottling import fill
from steepboard.services.exchange import cells, document, lists
from steepboard.settings import Money
from steepboard.store.exchange_parts import LISTS
from tests.bottled import LATER, NEXT, drawn, full, strained
from tests.shelves import MORNING, desk_at, order
from tests.whole_shelf import whole


def read(desk, name):
    text = "".join(lists.csv_lines(desk, name, NEXT))
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
    asked = {
        "jars",
        "strainings",
        "readings",
        "bottles",
        "draws",
        "diary",
        "bottle_diary",
        "stock",
        "doses",
        "prices",
    }
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


def test_stock_doses_and_prices_say_what_was_kept_and_what_follows(desk):
    """Of 100 mL 12.5 were drawn; a first day counts for a week, so a week uses as much at least."""
    jar = strained(desk)
    fill(desk, jar.code, [full(100.0)], LATER)
    drink = Base("sour", 95.0, 0.17, 68.0)
    doses.keep(desk, "night sour", 1.5, "CARA-01-A", "a bitter edge", LATER, drink=drink)
    bottles.draw(desk, "CARA-01-A", drawn(12.5, 0.5), Purpose.DOSE, LATER)
    stock.set_par(desk, "caraway", 30.0, LATER)
    euros = replace(desk, settings=replace(desk.settings, money=Money("EUR")))
    costs.keep_price(euros, Ware.SPIRIT, "neutral spirit", Decimal("18.40"), LATER)
    costs.keep_price(euros, Ware.BOTANICAL, "caraway", Decimal("11.40"), LATER)
    (told,) = read(desk, "stock")
    assert (float(told["left_ml"]), float(told["least_ml"])) == (87.5, 30.0)
    assert float(told["used_ml_per_week"]) > 12.5
    one = stock.one(desk, "caraway", NEXT)
    assert told["start_by"] == f"{one.start.day}"
    assert told["gone_days"] == f"{one.run_out.middle}"
    (told,) = read(desk, "doses")
    assert (told["name"], told["of"], told["drink"]) == ("night sour", jar.name, "sour")
    assert (float(told["volume_ml"]), float(told["drink_strength"])) == (1.5, 0.17)
    told = [[row["ware"], row["amount"], row["currency"]] for row in read(desk, "prices")]
    assert told == [["spirit", "18.40", "EUR"], ["botanical", "11.40", "EUR"]]


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
    assert cells.line([-1.5, 3, True, None, "-1.5"]) == "-1.5,3,yes,,'-1.5\r\n"


@pytest.mark.parametrize("name", lists.names())
def test_each_list_has_rows_as_wide_as_its_heads_and_nothing_that_acts(everything, name):
    text = "".join(lists.csv_lines(everything, name, NEXT))
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
        assert len("".join(lists.csv_lines(desk, name, NEXT)).splitlines()) == 1
    assert views.all_jars(desk) == ()
