"""What follows from a jar's charge: by the strongest pour, the house's figures, the plant's own."""

from __future__ import annotations

from dataclasses import replace

import pytest

from steepboard.services import acts, material, plans
from steepboard.services.details import Details, details
from steepboard.services.plans import Wish
from tests.shelves import MORNING, desk_at, order, spirit


def keeping(desk, strength):
    """Return a desk of a house that counts liquors under `strength` as perishable."""
    house = replace(desk.settings.arithmetic, keeps_strength=strength)
    return replace(desk, settings=replace(desk.settings, arithmetic=house))


def charged(desk, **changes):
    """Return a jar of the order in `order`, with all its cautions read."""
    made = order(**changes)
    read = tuple(c.code for line in made.botanicals for c in material.cautions_of(line))
    return acts.charge(desk, replace(made, acknowledged=read), MORNING)


def findings(made: Details) -> set[str]:
    return {finding.code for finding in made.findings}


def cautions(made) -> list[str]:
    return [caution.code for caution in made.cautions]


def test_a_little_of_a_strong_spirit_is_a_fire_hazard_however_thin_the_jar(tmp_path):
    # 13 mL of 96 % in 300 mL are 4 % together: under 5 % the list of flash points has nothing.
    desk = desk_at(tmp_path)
    pours = (spirit(13, 0.96), spirit(287, 0.0, name="water"))
    made = details(desk, charged(desk, spirits=pours))
    assert made.solvent_strength < 0.05
    assert {"FLAM", "HEAT"} <= set(cautions(made))
    # Published in the trade table of cautions: 13 to 14 °C; told once, by the caution alone.
    assert [c.title for c in made.cautions if "°C" in c.title] == [
        "Spirit burns: 96 % from about 13 °C"
    ]
    assert not [f.text for f in made.findings if "°C" in f.text]


@pytest.mark.parametrize(("keeps", "weak"), [(0.20, False), (0.50, True)])
def test_what_keeps_is_for_the_house_to_say(tmp_path, keeps, weak):
    desk = keeping(desk_at(tmp_path), keeps)
    jar = details(desk, charged(desk))
    planned = plans.make(desk.settings, Wish(0.45, "caraway", have_g=40))
    backwards = plans.make(desk.settings, Wish(0.45, "caraway", want_ml=200))
    assert ("ends_weak" in findings(jar)) == weak
    for plan in (planned.plan, backwards.plan):
        assert ("ends_weak" in {f.code for f in plan.findings}) == weak
    for made in (jar, planned, backwards):
        assert ("WEAK" in cautions(made)) == weak


def test_a_plant_that_is_always_taken_weak_is_judged_so(tmp_path):
    # Quassia is usually taken at 1:10 to 1:20 (botanicals.csv, common practice).
    desk = desk_at(tmp_path)
    made = details(desk, charged(desk, name="quassia", mass_g=30.0))
    assert made.ratio == pytest.approx(10)
    assert not {"ratio_strong", "ratio_weak"} & findings(made)
    plan = plans.make(desk.settings, Wish(0.45, "quassia", have_g=30)).plan
    assert "ratio_strong" in {f.code for f in plan.findings}  # 1:5.625 by the house rule


def test_each_caution_is_told_once(tmp_path):
    # Quassia and liquorice both warn of PREG, and so does every jar.
    desk = desk_at(tmp_path)
    lines = order("quassia").botanicals + order("liquorice").botanicals
    told = cautions(details(desk, charged(desk, botanicals=lines)))
    assert told.count("PREG") == 1
    assert len(told) == len(set(told))
