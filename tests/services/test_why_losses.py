"""Every figure of past strainings can say where it comes from."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from steepboard.domain.costs import Ware
from steepboard.services import costs, losses, why_losses
from steepboard.services.losses import By
from steepboard.settings import Money
from tests.services.test_losses import rinsed, strain
from tests.services.test_why import assert_answered
from tests.shelves import MORNING, desk_at


def reviewed(desk, by=By.BOTANICAL):
    return losses.grouped(losses.strained(desk), by, desk)


def by_figure(answers):
    return {answer.figure: answer for answer in answers}


def test_each_jar_stands_beside_the_sum_or_mean_that_it_went_into(tmp_path):
    """40 g in 300 mL twice: 250 mL with a marc of 86 g, then 240 mL without one."""
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 250, 86)
    strain(desk, "caraway", 40, 240)
    (group,) = reviewed(desk)
    answers = why_losses.of_line(desk, group, By.BOTANICAL)
    assert_answered(answers)
    found = by_figure(answers)
    assert found["jars"].value == "2 of Caraway seed"
    assert found["poured"].value == "600 mL"
    assert {one.value for one in found["poured"].inputs} == {"300 mL"}
    assert found["bottled"].value == "490 mL"
    bottled = {one.name: (one.value, one.source) for one in found["bottled"].inputs}
    assert bottled == {
        "CARA-01": ("250 mL", "measured here: recovered 250 mL"),
        "CARA-02": ("240 mL", "measured here: recovered 240 mL"),
    }
    # 250 / 300 is 83.3 %, 240 / 300 is 80.0 %; half of both together 81.7 %.
    assert {one.value for one in found["yield"].inputs} == {"83.3 %", "80.0 %"}
    assert found["yield"].value == "81.7 %"
    # 86 g wet less the 32.0 g that stay solid: 54 g, at 0.95 g/mL 56.8 mL, in 36 dry grams.
    assert found["mL/g"].value == "1.58 mL"
    assert [one.name for one in found["mL/g"].inputs] == ["CARA-01"]


def test_a_rinse_counts_in_what_was_poured_and_expected_of_its_jar(tmp_path):
    """Two jars of 300 mL, one of them rinsed with 80 mL that bring 78: the inputs add up."""
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 250, 86)
    rinsed(desk)
    found = by_figure(why_losses.of_line(desk, *reviewed(desk), By.BOTANICAL))
    assert found["poured"].value == "680 mL"
    poured = {one.name: (one.value, one.source) for one in found["poured"].inputs}
    assert poured == {
        "CARA-01": ("300 mL", "written down for this jar"),
        "CARA-02": ("380 mL", "written down for this jar"),
    }
    assert "rinses" in found["poured"].rule
    expected = {one.name: float(one.value.split()[0]) for one in found["expected"].inputs}
    assert expected["CARA-02"] - expected["CARA-01"] == 78
    assert float(found["expected"].value.split()[0]) == pytest.approx(sum(expected.values()), abs=1)


def test_what_was_not_weighed_names_what_stood_in_for_it(tmp_path):
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 240)
    (group,) = reviewed(desk)
    found = by_figure(why_losses.of_line(desk, group, By.BOTANICAL))
    (marc,), (kept,) = found["marc"].inputs, found["filter"].inputs
    assert marc.source.startswith("assumed, not weighed: common practice")
    assert kept.source == "assumed, not weighed: house setting"
    assert found["mL/g"].value == "not measured"
    assert found["mL/g"].rule == "No marc of it was weighed."


def test_jars_that_are_too_many_to_name_are_told_together(tmp_path):
    """Ten jars of 230 to 239 mL: the eight last are named, the two first brought 461 mL."""
    desk = desk_at(tmp_path)
    for number in range(10):
        strain(desk, "caraway", 40, 230 + number, after=14 + number)
    (group,) = reviewed(desk)
    found = by_figure(why_losses.of_line(desk, group, By.BOTANICAL))
    *named, rest = found["bottled"].inputs
    assert [one.name for one in named] == [f"CARA-{n:02}" for n in range(10, 2, -1)]
    assert (rest.name, rest.value) == ("2 more", "461 mL")
    # 461 of 600 mL
    assert found["yield"].inputs[-1].value == "76.8 %"


def test_the_range_names_what_each_jar_bottled_and_was_held_to(tmp_path):
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 250)
    strain(desk, "caraway", 40, 100)
    (group,) = reviewed(desk)
    in_range = by_figure(why_losses.of_line(desk, group, By.BOTANICAL))["in range"]
    assert in_range.value == "1 of 2"
    told = {one.name: one.value for one in in_range.inputs}
    assert told["CARA-01"].startswith("250 mL, within ")
    assert told["CARA-02"].startswith("100 mL, outside ")


def test_sums_over_all_lines_name_the_lines(tmp_path):
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 250)
    strain(desk, "chamomile", 40, 160)
    answers = why_losses.of_all(reviewed(desk))
    assert_answered(answers)
    bottled = by_figure(answers)["bottled in all"]
    assert bottled.value == "0.41 L"
    assert {one.name: one.value for one in bottled.inputs} == {
        "Caraway seed": "250 mL",
        "Chamomile": "160 mL",
    }
    assert by_figure(answers)["what to change"].value.startswith("Most is lost in the marc")
    unsaid = by_figure(why_losses.of_all(reviewed(desk), advised=False))
    assert "what to change" not in unsaid


def test_the_money_in_marc_names_each_jar_with_its_share(tmp_path, monkeypatch):
    monkeypatch.setenv("LC_ALL", "en_US.UTF-8")
    desk = desk_at(tmp_path)
    strain(desk, "caraway", 40, 250, 86)
    assert why_losses.of_money(desk, losses.strained(desk), MORNING) is None
    desk = replace(desk, settings=replace(desk.settings, money=Money("EUR")))
    assert why_losses.of_money(desk, losses.strained(desk), MORNING) is None
    costs.keep_price(desk, Ware.SPIRIT, "neutral spirit", Decimal("18.40"), MORNING)
    found = why_losses.of_money(desk, losses.strained(desk), MORNING)
    # 300 mL at 18.40 a litre are 5.52. 300 mL of 45 % weigh 282 g (0.9394 g/mL), and 4 g each of
    # water and of what dissolves of the seed join them: 54 of 290 g are 18.6 %, or 1.03.
    assert found.value == "€1.03"
    (jar,) = found.inputs
    assert (jar.name, jar.value) == ("CARA-01", "€1.03, 18.6 % of €5.52")
    assert_answered([found])
