"""What jars taught, by command."""

from __future__ import annotations

import re

import pytest

from tests.cli.running import done, value

CARAWAY = ("charge", "caraway", "40g", "300ml", "45%")


def test_learned_shows_what_jars_taught_before_and_now(tmp_path):
    assert "plans go by what is usual" in done(tmp_path, "learned")
    done(tmp_path, *CARAWAY)
    done(tmp_path, "strain", "CARA-01", "--recovered", "250ml", "--marc", "86g")
    assert "No jar of rosemary was bottled" in done(tmp_path, "learned", "rosemary")
    text = done(tmp_path, "learned", "caraway")
    assert re.search(r"beforehand +1\.30 ± 0\.40 +common practice", text)
    assert re.search(r"CARA-01 +1\.58 ± 0\.\d\d +.* 2026, marc weighed", text)
    (group,) = value(tmp_path, "learned")["held"]
    assert (group["separation"], group["per_dry_g"]) == ("pressed by hand", True)
    (plant,) = group["botanicals"]
    assert group["prior_ml_per_g"] < plant["held_ml_per_g"] < 1.58
    # 86 g wet less the 32.0 g that stay solid leaves 54 g in 36 dry grams: about 1.6 mL/g.
    assert plant["batches"][0]["held_ml_per_g"] == pytest.approx(1.58, abs=0.05)


def test_learned_says_where_its_figures_come_from(tmp_path):
    done(tmp_path, *CARAWAY)
    done(tmp_path, "strain", "CARA-01", "--recovered", "250ml", "--marc", "86g")
    text = done(tmp_path, "learned", "--why")
    assert "next batch of Caraway seed: ± " in text
    assert re.search(r"marc +86 g +measured here, to 1 g", text)
    (group,) = value(tmp_path, "learned", "--why")["held"]
    assert [one["figure"] for one in group["why"]][:2] == ["beforehand", "Caraway seed"]
    assert "why" not in value(tmp_path, "learned")["held"][0]


def test_learned_shows_what_was_dried_and_the_botanical_says_the_same(tmp_path):
    """Water and soluble part by a dried marc and a dried sample, as a page and for programs."""
    done(tmp_path, *CARAWAY)
    read = ("--recovered", "250ml", "--marc", "86g", "--dry-marc", "31g")
    done(tmp_path, "strain", "CARA-01", *read, "--dried", "10ml", "--residue", "0.28g")
    text = done(tmp_path, "learned", "caraway")
    assert re.search(r"water in Caraway seed, .*\n +beforehand +9\.9 % ± 1\.2 % +published", text)
    # By hand: tests/services/test_dry_lessons.py
    assert re.search(r"CARA-01 +5\.0 % ± \d\.\d % .* 2026, dried marc and dry residue", text)
    water, soluble = value(tmp_path, "learned", "--why")["dried"]
    assert [(one["name"], one["of"]) for one in (water, soluble)] == [
        ("Caraway seed", "water"),
        ("Caraway seed", "soluble part"),
    ]
    assert soluble["batches"][0]["fraction"] == pytest.approx(0.228, abs=0.001)
    assert water["why"][1]["figure"] == "water in Caraway seed"
    now = value(tmp_path, "botanicals", "caraway")
    for label, told, one in (("water", "moisture", water), ("dissolves", "soluble", soluble)):
        assert now[told]["value"] == pytest.approx(one["fraction"])
        assert now[told]["low"] is None
        (fact,) = [fact for fact in now["facts"] if fact["label"] == label]
        assert fact["source"] == now[told]["source"]
        assert fact["text"].startswith(f"{100 * now[told]['value']:.1f} %")
    assert done(tmp_path, "learned", "rosemary").startswith("No jar of rosemary")


def test_losses_say_where_their_figures_come_from(tmp_path):
    done(tmp_path, *CARAWAY)
    done(tmp_path, "strain", "CARA-01", "--recovered", "250ml", "--marc", "86g")
    text = done(tmp_path, "losses", "--why")
    # 250 of 300 mL
    assert re.search(r"yield: 83\.3 %\n.*\n +CARA-01 +83\.3 % +measured here: recovered 250", text)
    assert "bottled in all: 0.25 L" in text
    assert "what to change: Most is lost in the marc" in text
    (group,) = value(tmp_path, "losses", "--why")
    figures = {one["figure"] for one in group["why"]}
    head = ["jars", "poured", "bottled", "yield", "marc", "filter", "unacc.", "mL/g", "expected"]
    assert figures == {*head, "in range"}
    assert "what to change" not in done(tmp_path, "losses", "--by", "month", "--why")
