"""Doses, droppers, the bench and formulas on the command line."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.cli.running import done, refused, run, value
from tests.shelves import MORNING

LATER = MORNING + timedelta(days=15)
NEXT = LATER + timedelta(days=1)
KEEP = ["dose", "keep", "x", "2ml", "--of", "CARA-01-A"]
BASE = ["--base", "platform sour", "--strength", "28%", "--sugar", "90"]


@pytest.fixture
def home(tmp_path):
    """Give a shelf where CARA-01-A and FENN-01-A stand, 100 mL each, and a dropper."""
    for name, code in (("caraway", "CARA-01"), ("fennel", "FENN-01")):
        done(tmp_path, "charge", name, "40g", "300ml", "45%")
        done(tmp_path, "strain", code, "--recovered", "240ml", "--sure", now=LATER)
        done(tmp_path, "bottle", code, "100ml", now=LATER)
    told = done(tmp_path, "dropper", "count", "blue bulb", "80", "2.0ml", "--of", "CARA-01-A")
    assert "40 drops to the mL" in told
    return tmp_path


def stepped(home, code="CARA-01-A"):
    done(home, "bench", "start", code, "100ml", *BASE, now=LATER)
    done(home, "bench", "add", "3 drops", "little", "still", "thin", now=LATER)
    done(home, "bench", "add", "2 drops", "little", now=LATER + timedelta(minutes=3))
    return done(home, "bench", "add", "2 drops", "right", now=LATER + timedelta(minutes=6))


def test_a_dose_is_kept_converted_and_drawn(home):
    drink = ["--drink", "sour", "--in", "90ml", "--strength", "18%", "--sugar", "70"]
    told = done(home, "dose", "keep", "night sour", "2ml", "--of", "CARA-01-A", *drink)
    assert "80 drops (40 to the mL" in told
    assert "the drink goes from 18.0 % to 18.6 %" in told
    assert "night sour" in done(home, "dose")
    (made,) = value(home, "dose", "convert", "CARA-01-A")
    assert (made["take_ml"], made["drops"]["whole"]) == (pytest.approx(2.0), 80)
    # 2 mL of 44.1 % hold 0.882 mL of ethanol, at 0.78924 g/mL (OIML R 22) 0.696 g
    assert made["ethanol_ml"] == pytest.approx(0.882, abs=0.002)
    assert made["ethanol_g"] == pytest.approx(0.696, abs=0.002)
    words = ("dose", "draw", "night sour", "CARA-01-A", "--times", "3")
    assert "94.0 ±" in done(home, *words, now=LATER)
    assert "for dose; 3 × night sour" in done(home, "bottles", "CARA-01-A", now=LATER)
    done(home, "dose", "forget", "night sour")
    assert value(home, "dose") == []
    done(home, "dose", "undo", "night sour")
    assert value(home, "dose")[0]["name"] == "night sour"
    assert "No house dose is of" in done(home, "dose", "convert", "FENN-01-A")


def test_droppers_are_listed_with_the_usual_figures_and_their_sources(home):
    listed = done(home, "dropper")
    assert "blue bulb" in listed
    assert "45 to 60 drops to the mL" in listed
    assert "USP 32" in listed
    words = ("weigh", "blue bulb", "50", "1.06g", "--strength", "52.73%")
    weighed = value(home, "dropper", *words)
    # 45 % by mass, 0.92472 g/mL (US Bureau of Standards): 0.022926 mL each
    assert weighed["each_ml"] == pytest.approx(0.022926, rel=3e-4)
    dasher = value(
        home, "dropper", "count", "shaker", "12", "9.0ml", "--strength", "45%", "--dasher"
    )
    assert (dasher["tool"], dasher["each_ml"]) == ("dash", 0.75)


def test_a_bitter_is_benched_scaled_and_drawn(home):
    shown = stepped(home)
    assert ":06  + 2 drops  1.75 mL/L  right" in shown
    assert "Right at 1.75 ± " in shown
    assert "Next: Stop here." in shown
    scaled = done(home, "bench", "scale", "4.5L", now=NEXT)
    assert "7.88 ± " in scaled
    assert "first 6.3 mL" in scaled
    assert "then 0.79 mL, 0.39 mL, 0.39 mL" in scaled
    drawn = done(home, "bench", "scale", "4.5L", "--draw", "80", now=NEXT)
    assert "Drawn from CARA-01-A: 93.7 ±" in drawn
    again = refused(home, "bench", "scale", "4.5L", "--draw", "80", code=1, now=NEXT)
    assert "4.5 L of platform sour (BENCH-01): 80 % of it are drawn already" in again
    assert "80 % of it; the next addition leads to 90 %" in done(
        home, "bench", "scale", "4.5L", now=NEXT
    )
    done(home, "undo", now=NEXT)
    assert value(home, "bottles", now=NEXT)[0]["left_ml"] == 100


def test_blends_and_doses_fit_into_eighty_columns(home, monkeypatch):
    """Long names, sources and findings go on below themselves."""
    monkeypatch.setenv("COLUMNS", "80")
    stepped(home)
    gives = "plain syrup and so many millilitres for a syrup of roasted caraway seed and rye"
    done(home, "dose", "keep", "caraway sour of the night", "2ml", "--of", "CARA-01-A",
         "--gives", gives, "--in", "90ml", "--strength", "18%")  # fmt: skip
    done(home, "formula", "keep", "Last train bitters of the long platform", now=NEXT)
    for words in (
        ("bench", "scale", "60ml"), ("bench", "scale", "4.5L", "--draw", "80"),
        ("dose", "convert", "CARA-01-A"),
        ("formula", "make", "Last train bitters of the long platform", "60ml"),
    ):  # fmt: skip
        told = done(home, *words, now=NEXT)
        assert max(map(len, told.splitlines())) <= 80, words


def test_a_trial_is_tasted_again_taken_back_shown_and_ended(home):
    stepped(home)
    again = value(home, "bench", "again", "3", "much", "it grew", now=NEXT)
    assert again["steps"][2]["later_verdict"] == "too_much"
    assert again["mark_ml_per_l"] == pytest.approx(1.5)
    done(home, "bench", "undo", "BENCH-01", now=NEXT)
    (trial,) = value(home, "bench", now=NEXT)
    assert trial["mark_ml_per_l"] == pytest.approx(1.75)
    assert trial["next"].startswith("Stop here")
    assert "Ended." in done(home, "bench", "end", now=NEXT)
    assert "No trial is open" in done(home, "bench", now=NEXT)
    assert "BENCH-01" in done(home, "bench", "show", "bench-01", now=NEXT)


def test_drops_wait_for_a_verdict_over_several_calls(home):
    """An amount without a verdict is kept, shown, and tasted later."""
    done(home, "bench", "start", "CARA-01-A", "100ml", *BASE, now=LATER)
    done(home, "bench", "add", "2 drops", now=LATER)
    shown = done(home, "bench", "add", "1 drop", now=LATER)
    assert "+ 3 drops  0.75 mL/L  not tasted" in shown
    assert "Next: 3 drops went in since" in done(home, "bench", "show", now=LATER)
    (waiting,) = value(home, "bench", now=LATER)
    assert (waiting["untasted"], waiting["steps"]) == ("3 drops", [])
    told = value(home, "bench", "taste", "right", "round", now=LATER)
    assert [(s["typed"], s["remark"]) for s in told["steps"]] == [("3 drops", "round")]
    assert "say what was added" in refused(home, "bench", "taste", "right", code=1)


def test_a_trial_is_ended_by_its_code_and_its_drops_are_drawn(home):
    """Seven drops of 0.025 mL: 0.175 mL; an undo brings them back."""
    stepped(home)
    told = done(home, "bench", "end", "bench-01", now=NEXT)
    assert "Ended." in told
    assert "Drawn from CARA-01-A for tasting: 0.175 mL." in told
    assert "for tasting; 7 drops; BENCH-01" in done(home, "bottles", "CARA-01-A", now=NEXT)
    undone = done(home, "bench", "undo", "BENCH-01", now=NEXT)
    assert "0.175 mL from CARA-01-A" in undone
    assert value(home, "bottles", now=NEXT)[0]["left_ml"] == 100
    assert value(home, "bench", "end", now=NEXT)["drawn_ml"] == pytest.approx(0.175)
    assert "BENCH-01: taken back" in done(home, "bench", "undo", now=NEXT)
    assert value(home, "bottles", now=NEXT)[0]["left_ml"] == 100


def test_a_blend_of_several_is_kept_as_a_formula_and_made_again(home):
    stepped(home)
    stepped(home, "FENN-01-A")
    both = ("--trial", "BENCH-01", "--trial", "BENCH-02")
    assert "Night train" in done(home, "formula", "keep", "Night train", *both, now=NEXT)
    made = value(home, "formula", "make", "night train", "2L", "--draw", "80", now=NEXT)
    assert [pour["total_ml"] for pour in made["pours"]] == pytest.approx([3.5, 3.5])
    assert [one["left_ml"] for one in made["drawn_from"]] == pytest.approx([97.2, 97.2])
    # 2000 mL of 28 % and 7 mL of 44.1 %: a little over 2007 mL of 28.06 %
    assert made["whole"]["volume_ml"] == pytest.approx(2007, abs=0.5)
    assert made["whole"]["strength"] == pytest.approx((560 + 7 * 0.441) / 2007, abs=2e-4)
    (listed,) = value(home, "formula", now=NEXT)
    assert [part["of"] for part in listed["ingredients"]] == ["Caraway seed", "Fennel seed"]
    done(home, "formula", "forget", "Night train", now=NEXT)
    assert "steepboard formula keep" in done(home, "formula", now=NEXT)


def test_a_blend_names_the_allergens_it_contains(home):
    """Said with the blend, whether it is scaled from a trial or made by a formula."""
    done(home, "charge", "celery seed", "40g", "300ml", "45%", "--acknowledge")
    done(home, "strain", "CELE-01", "--recovered", "240ml", "--sure", now=LATER)
    done(home, "bottle", "CELE-01", "100ml", now=LATER)
    stepped(home, "CELE-01-A")
    assert "\nContains celery.\n" in done(home, "bench", "scale", "2L", now=NEXT)
    done(home, "formula", "keep", "Night train", now=NEXT)
    assert "\nContains celery.\n" in done(home, "formula", "make", "night train", "2L", now=NEXT)
    assert value(home, "formula", "make", "night train", "2L", now=NEXT)["allergens"] == ["celery"]


def test_a_formula_kept_anew_with_less_tells_what_is_in_all_the_same(home):
    """1.75 mL/L in 2 L are 3.5 mL, 80 % of them 2.8: of both, and the fennel is taken no more."""
    stepped(home)
    stepped(home, "FENN-01-A")
    both = ("--trial", "BENCH-01", "--trial", "BENCH-02")
    done(home, "formula", "keep", "Night train", *both, now=NEXT)
    done(home, "formula", "make", "Night train", "2L", "--draw", "80", now=NEXT)
    done(home, "formula", "keep", "Night train", *both[:2], now=NEXT)
    told = done(home, "formula", "make", "Night train", "2L", now=NEXT)
    assert "no more of FENN-01-A" in told
    assert "2.8 mL more of FENN-01-A are in than it takes now" in told
    done(home, "formula", "make", "Night train", "2L", "--draw", "20", now=NEXT)
    assert "all of it" in done(home, "formula", "make", "Night train", "2L", now=NEXT)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (["dose", "keep", "x", "2ml", "--of", "NONE-01-A"], 1, "No bottle"),
        (["dose", "keep", "x", "2g", "--of", "CARA-01-A"], 2, "a mass"),
        (["dose", "keep", " ", "2ml", "--of", "CARA-01-A"], 2, "a letter"),
        (["dose", "keep", "x", "2ml"], 2, "--of"),
        (
            ["dose", "keep", "x", "2ml", "--of", "CARA-01-A", "--in", "9cl", "--sugar", "nan"],
            1,
            "sugar",
        ),
        (["dose", "convert", "CARA-01-A", "none"], 1, "No dose"),
        (["dose", "draw", "none", "CARA-01-A"], 1, "No dose"),
        (["dose", "forget", "none"], 1, "No dose"),
        (["dose", "undo", "none"], 1, "No dose"),
        (["dose", "frobnicate"], 2, "No such command"),
        (["dropper", "count", "x", "0", "2ml", "--strength", "45%"], 1, "number of drops"),
        (["dropper", "count", "x", "80", "2ml"], 2, "which liquid"),
        (["dropper", "weigh", "x", "50", "1ml", "--strength", "45%"], 2, "a volume"),
        (
            ["dropper", "weigh", "x", "50", "1g", "--of", "CARA-01-A", "--strength", "9%"],
            2,
            "which",
        ),
        (["bench", "add", "2 drops", "right"], 1, "No trial is open"),
        (["bench", "scale", "4.5L"], 1, "No trial is open"),
        (["bench", "show", "BENCH-09"], 1, "No trial is called BENCH-09"),
        (["bench", "start", "CARA-01-A", "100ml", "--base", "x"], 2, "--strength"),
        (["bench", "start", "CARA-01-A", "100ml", *BASE, "--thinned", "0"], 1, "thinned"),
        (["bench", "start", "CARA-01-A", "100ml", *BASE, "--sip", "50ml"], 1, "sip"),
        (["formula", "make", "none", "1L"], 1, "No formula"),
        (["formula", "keep", "x"], 1, "No trial is open"),
    ],
)
def test_what_cannot_be_done_is_refused_in_a_line_and_loses_nothing(home, words, code, told):
    before = [value(home, name) for name in ("dose", "dropper", "bench", "formula", "bottles")]
    assert told.casefold() in refused(home, *words, code=code).casefold()
    after = [value(home, name) for name in ("dose", "dropper", "bench", "formula", "bottles")]
    assert after == before


def test_an_empty_shelf_says_what_to_do(tmp_path):
    assert "steepboard dose keep" in done(tmp_path, "dose")
    assert "steepboard bench start" in done(tmp_path, "bench")
    assert "steepboard formula keep" in done(tmp_path, "formula")
    assert "Until one is calibrated" in done(tmp_path, "dropper")
    for name in ("dose", "dropper", "bench", "formula"):
        assert value(tmp_path, name) == []


def test_text_of_people_acts_on_no_terminal(home):
    wild = "\x1b[31mred\nline"
    done(home, "dose", "keep", wild, "2ml", "--of", "CARA-01-A", "--gives", wild)
    done(home, "bench", "start", "CARA-01-A", "100ml", "--base", wild, "--strength", "28%")
    done(home, "bench", "add", "7 drops", "right", wild)
    done(home, "formula", "keep", wild, "--note", wild)
    done(home, "dropper", "count", wild, "80", "2ml", "--strength", "45%")
    for name in ("dose", "dropper", "bench", "formula"):
        shown = run(home, name).stdout
        assert "\x1b" not in shown
        assert "[31mred line" in shown


def test_what_was_typed_in_ounces_is_told_in_ml_with_one_decimal(home):
    """3.5 US fl oz are 103.507 mL, 1.5 of them 44.36 mL: neither is told with six digits."""
    words = ("bench", "start", "CARA-01-A", "3.5oz", "--base", "platform sour", "--strength", "28%")
    assert "in 103.5 mL of platform sour (28.0 %)." in done(home, *words, now=LATER)
    assert "Measure 103.5 mL of platform sour" in done(home, "bench", "show", now=LATER)
    assert "the sample: 103.5 mL of platform sour" in done(home, "bench", "show", "--why")
    done(home, "bottle", "CARA-01", "1.5oz", now=LATER)
    assert "44.4 mL" in done(home, "bottles", now=LATER)
    done(home, "par", "caraway", "1.5oz", now=LATER)
    assert "44.4 mL are to stand" in done(home, "stock", "caraway", now=LATER)
