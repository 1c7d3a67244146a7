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
    (group,) = value(tmp_path, "learned")
    assert (group["separation"], group["per_dry_g"]) == ("pressed by hand", True)
    (plant,) = group["botanicals"]
    assert group["prior_ml_per_g"] < plant["held_ml_per_g"] < 1.58
    # 86 g wet less the 32.0 g that stay solid leaves 54 g in 36 dry grams: about 1.6 mL/g.
    assert plant["batches"][0]["held_ml_per_g"] == pytest.approx(1.58, abs=0.05)
