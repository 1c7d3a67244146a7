"""Bottles on the command line."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.cli.running import done, refused, run, value
from tests.shelves import MORNING

LATER = MORNING + timedelta(days=15)


@pytest.fixture
def home(tmp_path):
    """Give a shelf with a bottled jar of which 240 mL were recovered."""
    done(tmp_path, "charge", "caraway", "40g", "300ml", "45%")
    done(tmp_path, "strain", "CARA-01", "--recovered", "240ml", "--sure", now=LATER)
    return tmp_path


def test_a_bar_fills_draws_counts_and_looks(home):
    told = done(home, "bottle", "CARA-01", "2x100ml", "30ml:28ml", now=LATER)
    assert "CARA-01-C  28.0 ± 0.3 of 30 mL" in told
    assert "Of CARA-01 12.0 ±" in told
    assert "70.0 ±" in done(home, "draw", "cara-01-a", "30ml", now=LATER)
    assert "agrees" in done(home, "count", "CARA-01-A", "155g", "--empty", "89g", now=LATER)
    shown = done(home, "bottles", now=LATER + timedelta(days=4))
    assert shown.splitlines()[0].split("  ")[1] == "CARA-01-A"
    assert "4 days" in shown
    one = done(home, "bottles", "CARA-01-A", now=LATER)
    assert "for dose; 30ml" in one
    assert "155 g, empty 89 g" in one


def test_json_names_its_units(home):
    made = value(home, "bottle", "CARA-01", "100ml:96ml", now=LATER)
    assert made["left_over_ml"] == pytest.approx(144)
    (one,) = made["bottles"]
    assert (one["code"], one["size_ml"], one["left_ml"]) == ("CARA-01-A", 100, 96)
    assert one["left_ml_u"] == pytest.approx(0.2887, abs=1e-4)  # 1 mL step: 0.5 / sqrt(3)
    assert one["batches"] == [{"code": "CARA-01", "share": 1.0}]
    assert value(home, "bottles", now=LATER) == [one]
    drawn = value(home, "draw", "CARA-01-A", "10 drops", "--for", "tasting", now=LATER)
    assert 10 / 60 < 96 - drawn["left_ml"] < 10 / 45  # 45 to 60 drops to the mL until calibrated
    entry = value(home, "bottles", "CARA-01-A", now=LATER)["diary"][-1]
    assert (entry["kind"], entry["purpose"], entry["typed"]) == ("draw", "tasting", "10 drops")
    done(home, "dropper", "count", "nib", "80", "2.0ml", "--of", "CARA-01-A", now=LATER)
    calibrated = value(home, "draw", "CARA-01-A", "10 drops", now=LATER)
    assert drawn["left_ml"] - calibrated["left_ml"] == pytest.approx(0.25)
    undone = value(home, "undo", now=LATER)
    assert (undone["code"], undone["undone"]) == ("CARA-01-A", ["draw"])


def test_batches_are_poured_together_and_topped_up(home):
    done(home, "charge", "fennel", "40g", "300ml", "60%")
    done(home, "strain", "FENN-01", "--recovered", "230ml", "--sure", now=LATER)
    done(home, "bottle", "CARA-01", "100ml", now=LATER)
    words = ["CARA-01-A", "60ml", "FENN-01", "30ml", "--into", "100ml", "--name", "Night train"]
    assert done(home, "combine", *words, now=LATER).startswith("NIGH-01-A, Night train:")
    assert value(home, "bottles", "NIGH-01-A", now=LATER)["batches"][0]["code"] == "CARA-01"
    thinner = value(home, "topup", "NIGH-01-A", "8ml", "--from", "water", now=LATER)
    topped = value(home, "topup", "CARA-01-A", "20ml", "--from", "45%", now=LATER)
    assert thinner["strength"] < 0.50
    assert topped["batches"][0]["share"] == pytest.approx(40 / 60)


def test_a_bottle_leaves_the_shelf_with_its_reason(home):
    done(home, "bottle", "CARA-01", "3x50ml", now=LATER)
    assert "used up" in done(home, "empty", "CARA-01-A", now=LATER)
    assert "broken" in done(home, "empty", "CARA-01-B", "--broken", "fell", now=LATER)
    assert [one["code"] for one in value(home, "bottles", now=LATER)] == ["CARA-01-C"]
    assert len(value(home, "bottles", "--all", now=LATER)) == 3
    assert "reason" in refused(home, "empty", "CARA-01-C", "--discarded", " ", code=1)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (["bottle", "CARA-01"], 2, "Missing argument"),
        (["bottle", "CARA-01", "0x50ml"], 2, "0 bottles"),
        (["bottle", "CARA-01", "9999x50ml"], 2, "9999 bottles"),
        (["bottle", "CARA-01", "100000x1ml"], 2, "100000 bottles"),
        (["bottle", "CARA-01", "::"], 2, "not a number of bottles"),
        (["bottle", "CARA-01", "3x100g"], 2, "a mass"),
        (["bottle", "CARA-01", "9x100ml"], 1, "--sure"),
        (["bottle", "NONE-01", "50ml"], 1, "No jar"),
        (["draw", "CARA-01-A", "0ml"], 2, "more than 0"),
        (["draw", "CARA-01-A", "300ml"], 1, "cannot be taken"),
        (["draw", "CARA-01-A", "3ml", "--for", "fun"], 2, "dose"),
        (["draw", "CARA-01-Q", "3ml"], 1, "No bottle"),
        (["count", "CARA-01-A"], 2, "what it weighs"),
        (["count", "CARA-01-A", "150g"], 1, "empty"),
        (["count", "CARA-01-A", "--holds", "40ml"], 1, "why"),
        (["combine", "CARA-01-A", "--into", "50ml"], 2, "a volume for each"),
        (["combine", "CARA-01-A", "5ml", "CARA-01-A", "5ml", "--into", "50ml"], 1, "once"),
        (["topup", "CARA-01-A", "5ml", "--from", "methanol"], 1, "No jar"),
        (["bottles", "\x1b[2J"], 1, "No bottle"),
    ],
)
def test_what_cannot_be_done_is_refused_in_a_line_and_loses_nothing(home, words, code, told):
    done(home, "bottle", "CARA-01", "50ml", now=LATER)
    before = value(home, "bottles", now=LATER)
    assert told.casefold() in refused(home, *words, code=code, now=LATER).casefold()
    assert value(home, "bottles", now=LATER) == before


def test_an_empty_shelf_says_what_to_do(tmp_path):
    assert "steepboard bottle CARA-01" in done(tmp_path, "bottles")
    assert value(tmp_path, "bottles") == []


def test_text_of_people_acts_on_no_terminal(home):
    done(home, "bottle", "CARA-01", "50ml", "--note", "\x1b[31mred\nline", now=LATER)
    shown = run(home, "bottles", "CARA-01-A", now=LATER).stdout
    assert "\x1b" not in shown
    assert "[31mred line" in shown
