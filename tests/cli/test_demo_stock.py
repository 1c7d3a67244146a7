"""What the demo's bar keeps of its stock: something to start soon, something late, prices."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.cli.demo import build
from steepboard.paths import Home
from tests.cli.running import done, value
from tests.shelves import MORNING, VIENNA


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    made = Home(tmp_path_factory.mktemp("demo"))
    build(made, MORNING, VIENNA)
    return made.root


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


def test_settings_that_somebody_keeps_for_the_demo_stay(home):
    (home / "settings.toml").write_text('[money]\ncurrency = "CHF"\n')
    build(Home(home), MORNING, VIENNA)
    assert "CHF" in (home / "settings.toml").read_text()
