"""`--why` after the commands of bottles, bench, blends and doses."""

from __future__ import annotations

import re

import pytest

from tests.cli.running import done, value
from tests.cli.test_bench import LATER, NEXT, home, stepped

__all__ = ["home"]


def figures(answers):
    return {one["figure"]: one["value"] for one in answers["why"]}


def test_a_trial_and_its_blend_say_where_their_figures_come_from(home):
    stepped(home)
    text = done(home, "bench", "show", "BENCH-01", "--why", now=LATER)
    assert re.search(r"mL to a litre: 1\.75 mL/L\n.*\n +added in all +0\.175 mL", text)
    trial = figures(value(home, "bench", "show", "BENCH-01", "--why", now=LATER))
    assert {"right at", "± of right", "over", "a drop", "the sample"} <= trial.keys()
    text = done(home, "bench", "scale", "4.5L", "--why", now=NEXT)
    # 1.75 mL to each of 4.5 litres are 7.875 mL
    assert "Caraway seed: 7.88 ± " in text
    assert "80 %: 6.3 mL CARA-01-A" in text
    assert "why" not in value(home, "bench", "scale", "4.5L", now=NEXT)


def test_a_formula_says_it_as_kept_and_as_made(home):
    stepped(home)
    done(home, "formula", "keep", "Night train", now=NEXT)
    assert "times the intensity of the batch it was tasted with" in done(home, "formula", "--why")
    (kept,) = value(home, "formula", "--why")
    assert figures(kept).keys() == {"the base", "Caraway seed"}
    made = figures(value(home, "formula", "make", "night train", "2L", "--why", now=NEXT))
    assert made["Caraway seed"] == "3.5 mL of CARA-01-A"
    assert "strength in the end" in made


def test_doses_say_it_as_settled_and_as_poured(home):
    done(home, "dose", "keep", "night sour", "2ml", "--of", "CARA-01-A", "--in", "90ml")
    assert "night sour: 2 mL of Caraway seed" in done(home, "dose", "--why")
    (poured,) = value(home, "dose", "convert", "CARA-01-A", "--why")
    assert figures(poured)["drops of night sour"] == "80"
    text = done(home, "dose", "convert", "CARA-01-A", "--why")
    assert re.search(r"a drop +0\.025 mL ± 9 % +measured here: 80 drops to 2 mL", text)


@pytest.mark.parametrize("words", [(), ("CARA-01-A",)])
def test_bottles_say_what_is_left_and_how_strong_it_is(home, words):
    text = done(home, "bottles", *words, "--why")
    assert re.search(r"mL left: 100\.0 ± \d\.\d mL\n", text)
    found = value(home, "bottles", *words, "--why")
    assert "intensity" in figures(found if words else found[0])


def test_spirits_poured_together_say_it_without_a_shelf(tmp_path):
    text = done(tmp_path, "blend", "300ml", "40%", "200ml", "96%", "--why")
    assert "Grams of ethanol and grams of water add up" in text
    assert len(value(tmp_path, "blend", "300ml", "40%", "200ml", "96%", "--why")["why"]) == 2


def test_a_jar_says_it_as_it_is_charged(tmp_path):
    text = done(tmp_path, "charge", "caraway", "40g", "300ml", "45%", "--why")
    assert re.search(r"\nratio: 1:7\.5\n.*\n +Caraway seed +40g ", text)  # 300 mL to 40 g
    found = value(tmp_path, "charge", "caraway", "40g", "300ml", "45%", "--why")
    assert {"expected", "range", "strength"} <= figures(found).keys()
