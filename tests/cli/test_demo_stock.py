"""What the demo's bar keeps of its stock: something to start soon, something late, prices."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from steepboard.cli.demo import build
from steepboard.paths import Home
from tests.cli.running import done, value
from tests.shelves import MORNING, VIENNA

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
EXAMPLE = EXAMPLES / "drinks-sold.csv"


pytestmark = pytest.mark.xdist_group("demo")


@pytest.fixture
def home(demo):
    return demo.root


def test_a_start_by_date_falls_within_the_next_weeks_and_one_is_late(home):
    today = MORNING.date()
    soon = f"{today + timedelta(weeks=4)}"
    days = [one["start_by"] for one in value(home, "stock") if one["start_by"]]
    assert any(f"{today}" <= day <= soon for day in days)
    assert any(day < f"{today}" for day in days)
    assert "start the next" in done(home, "today")
    assert len(value(home, "ahead")["begins"]) >= 2


def test_some_kind_is_not_made_again(home):
    assert any(one["par_ml"] == 0 for one in value(home, "stock"))


def test_every_bottle_has_a_price_but_for_what_is_missing_in_it(home):
    found = value(home, "costs")
    assert found["currency"] == "EUR"
    assert all(float(one["per_ml"]) > 0 for one in found["bottles"])
    assert any(one["unpriced"] for one in found["bottles"])
    assert any(one["doses"] for one in found["bottles"])


def test_the_example_of_drinks_sold_is_drawn_from_its_bottles(home):
    """4 + 6 sours of 1.5 mL, 9 highballs of 0.4 mL, 3 + 2 dry highballs of 1.2 mL.

    Each is of the intensity that its dose was settled with, within a third.
    """
    found = value(home, "sold", EXAMPLE)
    assert found["drinks"] == 24
    assert found["left_out"] == []
    taken = {}
    for one in found["taken"]:
        taken[one["name"]] = taken.get(one["name"], 0.0) + one["volume_ml"]
    assert taken["Juniper berries"] == pytest.approx(15.0, rel=0.33)
    assert taken["Bitter orange peel"] == pytest.approx(3.6, rel=0.33)
    assert taken["Waiting room bitters"] == pytest.approx(6.0, rel=0.33)


def test_the_example_prices_come_in_and_go_again(home):
    before = done(home, "price")
    told = done(home, "import", "--csv", "prices", EXAMPLES / "prices.csv")
    assert told.endswith("prices.csv: 4 new, 0 the same, 0 replaced.\n")
    assert "€18.90" in done(home, "price")
    assert "and 3 more of one list" in done(home, "undo")
    assert done(home, "price") == before


def test_settings_that_somebody_keeps_for_the_demo_stay(home):
    (home / "settings.toml").write_text('[money]\ncurrency = "CHF"\n')
    build(Home(home), MORNING, VIENNA)
    assert "CHF" in (home / "settings.toml").read_text()
