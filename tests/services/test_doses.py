"""House doses and droppers, on a shelf with bottles."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.cli.minding import to_acknowledge
from steepboard.domain.base import Base
from steepboard.domain.bottles import BottleKind, Purpose
from steepboard.domain.dosing import Tool
from steepboard.domain.mixing import Liquid
from steepboard.domain.readings import Measured
from steepboard.domain.records import Measure, Reading
from steepboard.errors import (
    NotEnough,
    NothingToUndo,
    NotKept,
    OtherTincture,
    OutOfRange,
    UnknownBottle,
    WrongState,
)
from steepboard.services import (
    acts,
    bottle_shelf,
    bottles,
    bottling,
    doses,
    droppers,
    house,
    limited,
)
from steepboard.services.bottling import Fill, Part
from tests.shelves import MORNING, desk_at, order

LATER = MORNING + timedelta(days=16)
SOUR = Base("sour", 90.0, 0.18, 70.0)


@pytest.fixture
def desk(tmp_path):
    """Give a shelf where CARA-01-A and QUAS-01-A stand, 100 mL each."""
    made = desk_at(tmp_path)
    bottled(made, "caraway", 240.0)
    bottled(made, "quassia", 240.0)
    return made


def bottled(desk, name, recovered_ml, size_ml=100.0):
    """Charge, strain and bottle a jar; return its first bottle."""
    read = to_acknowledge(order(name).botanicals)
    jar = acts.charge(desk, order(name, acknowledged=read), MORNING)
    read = Reading(Measure.RECOVERED, recovered_ml, f"{recovered_ml:g} mL", 1.0, LATER)
    acts.strain(desk, jar.code, (read,), LATER, bottled=True)
    fill = Fill(size_ml, Measured(size_ml, 1.0), f"{size_ml:g}ml")
    return bottling.fill(desk, jar.code, [fill], LATER).bottles[0]


def kept(desk, name="caraway sour", volume_ml=2.0, code="CARA-01-A", **more):
    return doses.keep(desk, name, volume_ml, code, "plain syrup and 2 mL", LATER, **more)


def test_a_dose_is_kept_at_the_intensity_of_its_bottle_and_converted_for_another(desk):
    kept(desk)
    # twice the recovered volume of the same charge: half the grams to the mL, twice the dose
    bottled(desk, "caraway", 480.0)
    (made,) = doses.for_bottle(desk, "CARA-02-A")
    assert made.volume_ml == pytest.approx(4.0)
    assert doses.one_for(desk, "Caraway SOUR", "CARA-01-A").volume_ml == pytest.approx(2.0)


def test_a_dose_of_one_tincture_is_not_poured_of_another(desk):
    kept(desk)
    assert doses.for_bottle(desk, "QUAS-01-A") == ()
    with pytest.raises(OtherTincture):
        doses.one_for(desk, "caraway sour", "QUAS-01-A")
    with pytest.raises(OtherTincture):
        doses.draw(desk, "caraway sour", "QUAS-01-A", LATER)


def test_a_dose_that_is_kept_anew_counts_and_can_be_taken_back(desk):
    kept(desk)
    kept(desk, "CARAWAY sour", 3.0)
    assert [(one.name, one.volume_ml) for one in doses.doses(desk)] == [("caraway sour", 3.0)]
    house.undo(desk, "dose", "caraway sour", LATER)
    assert doses.dose(desk, "caraway sour").volume_ml == 2.0
    house.forget(desk, "dose", "caraway sour", LATER)
    assert doses.doses(desk) == ()
    with pytest.raises(NotKept):
        house.forget(desk, "dose", "caraway sour", LATER)
    house.undo(desk, "dose", "caraway sour", LATER)
    house.undo(desk, "dose", "caraway sour", LATER)
    with pytest.raises(NothingToUndo):
        house.undo(desk, "dose", "caraway sour", LATER)
    with pytest.raises(NotKept):
        house.undo(desk, "dose", "fennel fizz", LATER)


def test_a_dose_is_drawn_by_volume_or_in_whole_drops(desk):
    kept(desk)
    one = doses.draw(desk, "caraway sour", "CARA-01-A", LATER, times=3)
    assert one.left_ml == pytest.approx(94.0)
    (entry,) = bottle_shelf.draws(desk, LATER)
    assert (entry.purpose, entry.typed) == (Purpose.DOSE, "3 × caraway sour, 2 mL")
    assert entry.tool_u == pytest.approx(0.1)
    droppers.count(desk, "blue bulb", Tool.DROP, 80, Measured(2.0, 0.1), 0.45, LATER)
    one = doses.draw(desk, "caraway sour", "CARA-01-A", LATER, by=Tool.DROP)
    assert one.left_ml == pytest.approx(92.0)
    entry = bottle_shelf.draws(desk, LATER)[-1]
    assert (entry.tool, entry.typed) == ("blue bulb", "1 × caraway sour, 80 drops")


def test_more_than_there_is_cannot_be_drawn_and_nothing_is_written(desk):
    kept(desk, volume_ml=40.0)
    with pytest.raises(NotEnough):
        doses.draw(desk, "caraway sour", "CARA-01-A", LATER, times=4)
    assert bottle_shelf.draws(desk, LATER) == ()


def test_what_a_dose_brings_of_a_limited_substance_is_told_for_a_litre(desk):
    made = kept(desk, "bitter", 1.0, "QUAS-01-A", drink=SOUR)
    (quassin,) = [one for one in made.limits if one.substance == "quassin"]
    # 1 mL in some 91 mL, 10.99 mL in a litre; 40 g in 240 mL, 1.832 g of quassia in those
    assert quassin.dose_ml_per_l == pytest.approx(1000 / 91, abs=0.02)
    assert sum(share.mass_g for share in quassin.shares) == pytest.approx(
        40 / 240 * 1000 / 91, abs=0.005
    )
    mg_per_g = quassin.shares[0].mg_per_g
    assert quassin.mg_per_l == pytest.approx(mg_per_g * 40 / 240 * 1000 / 91, rel=2e-3)
    assert kept(desk, "bitter", 1.0, "QUAS-01-A").limits == ()


def test_a_dose_that_no_whole_dash_meets_says_so(desk):
    """By hand: 80 drops to 2 mL, 16 drops are 0.4 mL; a dash of 8 mL in 11 is 82 % over."""
    droppers.count(desk, "blue bulb", Tool.DROP, 80, Measured(2.0, 0.1), 0.45, LATER)
    droppers.count(desk, "shaker", Tool.DASH, 11, Measured(8.0, 0.1), 0.45, LATER)
    (found,) = kept(desk, "line edge", 0.4).findings
    assert "1 would be 82 % more than the dose" in found.text
    assert "Whole dashes" in found.text


def test_a_blend_brings_its_part_of_each_batch(desk):
    parts = [Part(Measured(30.0, 1.0), "CARA-01-A"), Part(Measured(10.0, 1.0), "QUAS-01-A")]
    both = bottling.combine(desk, parts, 50.0, LATER, name="Tender")
    (quassin,) = [x for x in limited.limited(desk, [(both, 20.0)]) if x.substance == "quassin"]
    # a quarter of 20 mL/L is of quassia, 40 g in 240 mL: 0.8333 g in a litre
    assert sum(share.mass_g for share in quassin.shares) == pytest.approx(5 * 40 / 240)


def test_a_dropper_is_calibrated_by_count_and_by_weight(desk):
    counted = droppers.count(desk, "Blue bulb", Tool.DROP, 80, Measured(2.0, 0.1), 0.45, LATER)
    assert (counted.each_ml, counted.how) == (0.025, "80 drops to 2 mL")
    # 50 drops of 45 % by mass, 0.92472 g/mL (US Bureau of Standards): 1.06 g, 0.022926 mL each
    liquid = Liquid(0.45 * 0.92472 / 0.78924)
    weighed = droppers.weigh(desk, "blue BULB", Tool.DROP, 50, Measured(1.06, 0.01), liquid, LATER)
    assert weighed.name == "Blue bulb"
    assert weighed.each_ml == pytest.approx(0.022926, rel=2e-4)
    assert droppers.droppers(desk) == (weighed,)
    house.undo(desk, "dropper", "blue bulb", LATER)
    assert droppers.droppers(desk) == (counted,)


def test_the_dropper_that_was_calibrated_with_such_a_liquid_serves(desk):
    assert droppers.portion(desk, Tool.DROP, 0.45).source.startswith("common practice")
    droppers.count(desk, "water", Tool.DROP, 20, Measured(1.0, 0.1), 0.0, LATER)
    droppers.count(desk, "spirit", Tool.DROP, 90, Measured(2.0, 0.1), 0.45, LATER)
    droppers.count(desk, "shaker", Tool.DASH, 12, Measured(9.0, 0.1), 0.45, LATER)
    assert droppers.portion(desk, Tool.DROP, 0.5).name == "spirit"
    assert droppers.portion(desk, Tool.DROP, 0.0).name == "water"
    assert droppers.portion(desk, Tool.DASH, 0.2).each_ml == pytest.approx(0.75, rel=0.5)
    assert "reckoned" in droppers.portion(desk, Tool.DROP, 0.5, "WATER").source
    with pytest.raises(NotKept):
        droppers.portion(desk, Tool.DROP, 0.5, "red bulb")


def test_what_cannot_be_kept_is_refused_and_leaves_nothing(desk):
    with pytest.raises(UnknownBottle):
        kept(desk, code="NONE-01-A")
    with pytest.raises(OutOfRange):
        kept(desk, volume_ml=-2.0)
    with pytest.raises(OutOfRange, match="at most 60 mL"):
        kept(desk, volume_ml=500.0)
    with pytest.raises(NotKept):
        kept(desk, name=" \x1b ")
    with pytest.raises(OutOfRange):
        droppers.count(desk, "x", Tool.DROP, 0, Measured(1.0, 0.1), 0.45, LATER)
    with pytest.raises(OutOfRange):
        droppers.weigh(desk, "x", Tool.DROP, 50, Measured(0.0, 0.1), Liquid(0.45), LATER)
    assert desk.store.rows("select * from house_entry") == []


def test_a_bottle_that_is_gone_is_not_drawn_from(desk):
    kept(desk)
    bottles.end(desk, "CARA-01-A", BottleKind.USE_UP, "", LATER)
    with pytest.raises(WrongState):
        doses.draw(desk, "caraway sour", "CARA-01-A", LATER)


@pytest.mark.parametrize(("tool", "number"), [(Tool.DROP, 2), (Tool.DROP, 2000), (Tool.DASH, 60)])
def test_a_drop_that_no_dropper_gives_is_a_slip_of_the_count(desk, tool, number):
    with pytest.raises(OutOfRange, match="look at the count"):
        droppers.count(desk, "nib", tool, number, Measured(2.0, 0.1), 0.45, LATER)
