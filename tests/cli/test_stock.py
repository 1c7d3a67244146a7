"""Stock, plan, lists of drinks, prices and costs from the command line."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from tests.bottled import LATER, NEXT
from tests.cli.running import done, refused, run, value

NOW = NEXT + timedelta(days=14)


@pytest.fixture
def home(tmp_path):
    """Give a shelf with euros, 200 mL of caraway in bottles, and two weeks of draws."""
    (tmp_path / "settings.toml").write_text('[money]\ncurrency = "EUR"\n')
    done(tmp_path, "charge", "caraway", "40g", "300ml", "45%")
    done(tmp_path, "strain", "CARA-01", "--recovered", "222ml", now=LATER)
    done(tmp_path, "bottle", "CARA-01", "2x100ml", now=NEXT)
    for day in range(14):
        at = NEXT + timedelta(days=day, hours=8)
        done(tmp_path, "draw", "CARA-01-A", "6ml", now=at)
    return tmp_path


def test_stock_tells_what_stands_and_a_name_gives_the_reasons(home):
    heads, row, _ = done(home, "stock", now=NOW).splitlines()
    assert "Caraway seed  116.0 ± " in row
    assert heads.endswith("start by")
    told = done(home, "stock", "caraway", now=NOW)
    assert "Start by " in told
    assert "may be gone" in told
    assert "as CARA-01 did" in told
    assert "stock.margin_days" in told
    (one,) = value(home, "stock", now=NOW)
    assert one["left_ml"] == 116
    low, middle, high = one["run_out_days"]
    assert low < middle < high
    assert one["start_by"]
    assert sum(reason["days"] for reason in one["reasons"][1:]) < 0


def test_par_is_kept_turned_off_and_forgotten(home):
    assert "60 mL are to stand" in done(home, "par", "caraway", "60ml", now=NOW)
    assert "Not made again." in done(home, "par", "caraway", "off", now=NOW)
    assert value(home, "stock", "caraway", now=NOW)["start_by"] is None
    told = done(home, "par", "caraway", "--undo", now=NOW)
    assert "least of Caraway seed, not made again" in told
    assert value(home, "stock", "caraway", now=NOW)["par_ml"] == 60
    done(home, "par", "caraway", "forget", now=NOW)
    assert value(home, "stock", "caraway", now=NOW)["par_ml"] is None


def test_what_is_no_par_is_refused(home):
    refused(home, "par", "caraway", "much", code=2, now=NOW)
    refused(home, "par", "60ml", code=2, now=NOW)
    refused(home, "par", "hops", "60ml", code=1, now=NOW)
    refused(home, "stock", "hops", code=1, now=NOW)


def test_ahead_tells_what_to_charge_and_to_buy(home):
    told = done(home, "ahead", now=NOW)
    assert re.search(r"by .* 2026: Caraway seed, like CARA-01", told)
    done(home, "par", "caraway", "110ml", now=NOW)
    late = done(home, "ahead", now=NOW)
    assert re.search(r"now, it was due \d+ days? ago: Caraway seed, like CARA-01", late)
    assert "40 g Caraway seed" in told
    assert "neutral" not in told or "45 %" in told
    plan = value(home, "ahead", now=NOW)
    assert plan["botanicals"][0]["mass_g"] == 40 * len(plan["begins"])
    assert plan["jars_most"] >= 1


def test_a_shelf_without_bottles_says_what_to_do(tmp_path):
    assert "steepboard bottle" in done(tmp_path, "stock")
    assert "Nothing has to be started" in done(tmp_path, "ahead")


def test_drinks_sold_are_drawn_once_and_bad_rows_told_by_line(home, tmp_path):
    done(home, "dose", "keep", "edge", "2ml", "--of", "CARA-01-A", now=NOW)
    day = f"{NOW:%Y-%m-%d}"
    file = tmp_path / "friday.csv"
    file.write_text(f"date,drink,count\n{day},edge,5\n")
    assert "5 drinks were counted." in done(home, "sold", file, now=NOW)
    assert value(home, "stock", "caraway", now=NOW)["left_ml"] == pytest.approx(106)
    assert "counted on" in refused(home, "sold", file, code=1, now=NOW)
    file.write_text(f"date,drink,count\n{day},edge,x\n{day},beer,2\n")
    bad = run(home, "sold", file, now=NOW)
    assert (bad.exit_code, bad.stdout) == (1, "")
    lines = bad.stderr.splitlines()
    assert lines[0].startswith("line 2: “x”")
    assert lines[1] == "line 3: “beer” has no house dose"
    assert lines[2] == "friday.csv: 2 faults. Nothing was drawn."
    refused(home, "sold", tmp_path / "none.csv", code=1, now=NOW)
    told = refused(home, "sold", file, "--undo", code=1, now=NOW)
    assert "Another list of that name was counted on" in told
    file.unlink()
    told = done(home, "sold", file, "--undo", now=NOW)
    assert "Taken back: drawn by friday.csv: 10 mL from CARA-01-A (" in told
    assert value(home, "stock", "caraway", now=NOW)["left_ml"] == 116
    refused(home, "sold", file, "--undo", code=1, now=NOW)


def test_prices_are_kept_listed_and_make_costs(home):
    done(home, "price", "spirit", "spirit", "18.40", "--from", "2026-01-01", now=NOW)
    told = done(home, "price", "botanical", "caraway", "seed", "12,50", now=NOW)
    assert "a kilogram" in told
    assert [one["amount"] for one in value(home, "price", now=NOW)] == ["18.40", "12.50"]
    found = value(home, "costs", now=NOW)
    assert found["currency"] == "EUR"
    assert found["bottles"][0]["per_ml"].startswith("0.02711")  # 6.02 / 222
    assert "a mL" in done(home, "costs", now=NOW)
    assert "cost " in done(home, "jar", "CARA-01", now=NOW)
    assert "The marc of a year held spirit for " in done(home, "losses", now=NOW)
    done(home, "price", "spirit", "neutral", "spirit", "184", now=NOW)
    told = value(home, "price", "spirit", "neutral", "spirit", "--undo", now=NOW)
    assert told["what"].startswith("price of spirit, ")
    assert [one["amount"] for one in value(home, "price", now=NOW)] == ["18.40", "12.50"]
    done(home, "price", "spirit", "spirit", "--forget", now=NOW)
    assert "No price is kept of spirit" in done(home, "costs", now=NOW)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("price", "spirit", "rye", "cheap"), 2),
        (("price", "spirit", "18.40"), 2),
        (("price", "spirit", "rye", "18.40", "--from", "May"), 2),
        (("price", "spirit", "rye", "18.40", "--from", "2027-01-01"), 1),
        (("price", "spirit", "rye", "--forget"), 1),
    ],
)
def test_what_is_no_price_is_refused(home, words, code):
    refused(home, *words, code=code, now=NOW)
    assert value(home, "price", now=NOW) == []


def test_without_a_currency_costs_say_how_to_set_one(tmp_path):
    assert "currency" in refused(tmp_path, "costs", code=1)
    assert "currency" in refused(tmp_path, "price", "spirit", "rye", "20", code=1)
