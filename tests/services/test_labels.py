"""From records to the words of labels and tape, and onto the disk."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from steepboard.catalogue.load import SHIPPED, caution
from steepboard.domain import own
from steepboard.domain.bottles import BottleKind
from steepboard.domain.dosing import Tool
from steepboard.domain.readings import Measured
from steepboard.domain.records import Measure, Reading
from steepboard.errors import DoesNotFit, NotOurs, UnknownBottle, UnknownJar, UnknownSheet
from steepboard.printing.labels import labels_pdf
from steepboard.printing.sheets import sheet
from steepboard.services import (
    acts,
    bottles,
    bottling,
    droppers,
    labels,
    material,
    materials,
    views,
)
from steepboard.services.bottling import Fill, Part
from tests.printing import paper
from tests.shelves import MORNING, desk_at, order, spirit

LATER = MORNING + timedelta(days=16)


@pytest.fixture
def desk(tmp_path):
    return desk_at(tmp_path)


def bottled(desk, name="caraway", sizes=(100.0,), at=LATER, **changes):
    """Charge, strain and bottle a jar; return its bottles."""
    plant = SHIPPED.find(name)
    read_them = plant.cautions if plant else ()
    wanted = replace(order(name, acknowledged=read_them), **changes)
    jar = acts.charge(desk, wanted, at - timedelta(days=16))
    read = Reading(Measure.RECOVERED, 222.0, "222 mL", 1.0, at)
    acts.strain(desk, jar.code, (read,), at, bottled=True)
    return bottling.fill(desk, jar.code, [Fill(size) for size in sizes], at).bottles


def said(desk, name, **more):
    return labels.label_text(desk, bottled(desk, name, **more)[0])


def first_floor(desk):
    jar = acts.charge(desk, replace(order(), name="First floor"), MORNING)
    read = Reading(Measure.RECOVERED, 222.0, "222 mL", 1.0, LATER)
    acts.strain(desk, jar.code, (read,), LATER, bottled=True)
    return bottling.fill(desk, jar.code, [Fill(100.0)], LATER).bottles[0]


def test_a_label_tells_what_is_in_the_bottle(desk):
    text = labels.label_text(desk, first_floor(desk))
    assert (text.code, text.name) == ("FIRS-01-A", "First floor")
    assert text.botanicals == "Caraway seed (Carum carvi)"
    assert text.spirit == "neutral spirit at 45.0 %"
    assert text.ratio == "1:7.5"  # 300 mL on 40 g
    assert text.bottled_on == date(2026, 3, 18)
    assert (text.best_before, text.allergens, text.hot) == (None, (), False)


def test_drops_are_those_of_the_house_s_dropper_or_about_as_many_as_usual(desk):
    """By hand: 90 drops to 2 mL are 45 to the mL, counted with the same strength."""
    one = bottled(desk)[0]
    assert re.fullmatch(r"about \d\d drops/mL", labels.label_text(desk, one).drops)
    two_ml = Measured(2.0, 0.02)
    droppers.count(desk, "Red top", Tool.DROP, 90, two_ml, one.liquid.strength, LATER)
    assert labels.label_text(desk, one).drops == "45 drops/mL (Red top)"


def test_what_fades_has_a_date_until_which_it_is_at_its_best(desk):
    """Peel a year, blossom six months, to the last day of a shorter month."""
    assert said(desk, "bitter orange peel").best_before == date(2027, 3, 18)
    august = MORNING.replace(month=8, day=31)
    assert said(desk, "elderflower", at=august).best_before == date(2027, 2, 28)


def test_old_liquid_in_a_new_bottle_keeps_its_date(desk):
    """Bottled on 18 March 2026 and filled or poured together 350 days later: a year from March."""
    late = LATER + timedelta(days=350)
    old = bottled(desk, "bitter orange peel")[0]
    rest = bottling.fill(desk, "BITT-01", [Fill(50.0)], late).bottles[0]
    young = bottled(desk, "caraway", at=late)[0]
    parts = [Part(Measured(30.0, 1.0), code, typed="30 mL") for code in (old.code, young.code)]
    made = bottling.combine(desk, parts, 100.0, late, name="Both")
    for one in (old, rest, made):
        assert labels.label_text(desk, one).best_before == date(2027, 3, 18)


def test_what_is_too_weak_to_keep_has_weeks(desk):
    text = said(desk, "caraway", spirits=(spirit(strength=0.12),))
    assert text.best_before == date(2026, 3, 18) + timedelta(days=21)


def test_weeks_count_from_the_day_on_which_it_was_weak(desk):
    """Weak from its jar on: from there. Let down with water later: from the letting down."""
    late = LATER + timedelta(days=14)
    bottled(desk, "caraway", spirits=(spirit(strength=0.12),))
    weak = bottling.fill(desk, "CARA-01", [Fill(50.0)], late).bottles[0]
    assert labels.label_text(desk, weak).best_before == date(2026, 3, 18) + timedelta(days=21)
    strong = bottled(desk, "fennel")[0]
    thin = [Part(Measured(20.0, 1.0), strong.code), Part(Measured(80.0, 1.0), "water", 0.0)]
    made = bottling.combine(desk, thin, 110.0, late)
    assert labels.label_text(desk, made).best_before == date(2026, 4, 1) + timedelta(days=21)


def test_an_allergen_that_two_laws_name_is_named_once(desk):
    assert said(desk, "celery seed").allergens == ("celery",)
    assert said(desk, "walnut").allergens == ("nuts (walnut)",)


@pytest.mark.parametrize("fresh", [None, True], ids=["as it was kept", "fresh"])
def test_a_botanical_of_ones_own_brings_its_allergens_and_cautions(desk, tmp_path, fresh):
    """Dried or fresh: both lists are named, what is hot is marked, what is grave is told."""
    known = own.said(
        material_class="seed",
        latin="Semaphora viatica",
        allergens=("celery", "pine nut"),
        cautions=("MISID",),
        pungency=2,
    )
    materials.keep_botanical(desk, "embankment seed", known, MORNING)
    line = material.weighed("Embankment seed", 40.0, "40g", library=desk.library, fresh=fresh)
    one = bottled(desk, botanicals=(line,), acknowledged=("MISID",))[0]
    text = labels.label_text(desk, one)
    assert text.allergens == ("celery", "tree nuts (pine nut)")
    assert text.hot
    assert text.cautions == (caution("MISID").title, caution("UNLISTED").title)
    path = tmp_path / "labels.pdf"
    labels.print_labels(desk, [one.code], path, LATER)
    words = paper.words(path.read_bytes())
    assert "Contains celery, tree nuts (pine nut)" in words
    assert "HOT" in words.upper()


def test_what_is_hot_is_marked_and_what_is_grave_is_named(desk):
    text = said(desk, "black pepper")
    assert text.hot
    quinine = said(desk, "cinchona bark")
    assert quinine.cautions[0] == "Cinchona and quinine"
    assert quinine.marks == "!"


def test_a_blend_names_its_batches_and_minds_for_both(desk):
    one, other = bottled(desk, "caraway")[0], bottled(desk, "celery seed")[0]
    parts = [
        Part(Measured(30.0, 1.0), one.code, typed="30 mL"),
        Part(Measured(10.0, 1.0), other.code, typed="10 mL"),
    ]
    made = bottling.combine(desk, parts, 50.0, LATER, name="Both")
    text = labels.label_text(desk, made)
    assert text.ratio == ""
    assert text.spirit == "blended: CARA-01 75 %, CELE-01 25 %"
    assert text.allergens == ("celery",)
    assert "Carum carvi" in text.botanicals
    assert "Apium graveolens" in text.botanicals


def test_every_botanical_of_the_catalogue_has_a_label_that_fits_the_usual_sheet(desk):
    texts = [said(desk, one.id) for one in SHIPPED.all_botanicals() if one.use != "never"]
    assert len(texts) > 100
    for name in ("a4-3x8", "roll-62x40"):
        assert labels_pdf(texts, sheet(name), 1, LATER)


def test_the_code_of_a_jar_stands_for_its_bottles_on_the_shelf(desk, tmp_path):
    made = bottled(desk, sizes=(100.0, 50.0, 50.0))
    bottles.end(desk, made[1].code, BottleKind.BREAK, "slipped", LATER)
    path = tmp_path / "labels.pdf"
    printed = labels.print_labels(desk, ["CARA-01", made[0].code], path, LATER)
    assert printed.codes == ("CARA-01-A", "CARA-01-C", "CARA-01-A")
    page = paper.picture(path.read_bytes(), dpi=300)
    assert paper.codes(page) == ["CARA-01-A", "CARA-01-A", "CARA-01-C"]


def test_the_sheet_of_the_house_is_taken_unless_another_is_named(desk, tmp_path):
    bottled(desk)
    house = replace(desk.settings, print=replace(desk.settings.print, sheet="roll-90x50"))
    path = tmp_path / "labels.pdf"
    own = replace(desk, settings=house)
    assert labels.print_labels(own, ["CARA-01"], path, LATER).sheet.startswith("roll-90x50")
    chosen = labels.print_labels(own, ["CARA-01"], path, LATER, on="a4-2x4").sheet
    assert chosen.startswith("a4-2x4")


def test_a_print_replaces_a_print_and_nothing_else(desk, tmp_path):
    bottled(desk)
    path = tmp_path / "labels.pdf"
    labels.print_labels(desk, ["CARA-01"], path, LATER)
    first = path.read_bytes()
    labels.print_labels(desk, ["CARA-01"], path, LATER, start=2)
    assert path.read_bytes() != first
    path.write_text("my own notes", encoding="utf-8")
    with pytest.raises(NotOurs, match="is not a print of this program"):
        labels.print_labels(desk, ["CARA-01"], path, LATER)
    assert path.read_text(encoding="utf-8") == "my own notes"


def test_what_is_refused_leaves_the_former_print_as_it_was(desk, tmp_path):
    bottled(desk, name="caraway")
    path = tmp_path / "labels.pdf"
    labels.print_labels(desk, ["CARA-01"], path, LATER)
    before = path.read_bytes()
    with desk.store.writing() as db:
        db.execute("update bottle set name = ?", ["x" * 80])
    for codes, on, fault in (
        (["CARA-01"], "", DoesNotFit),
        (["CARA-01"], "a5", UnknownSheet),
        (["CARA-09"], "", UnknownBottle),
        (["CARA-01-Z"], "", UnknownBottle),
    ):
        with pytest.raises(fault):
            labels.print_labels(desk, codes, path, LATER, on=on)
        assert path.read_bytes() == before
    assert sorted(file.name for file in tmp_path.glob("*labels*")) == ["labels.pdf"]


def test_a_jar_without_bottles_has_no_labels(desk, tmp_path):
    acts.charge(desk, order(), MORNING)
    with pytest.raises(UnknownBottle):
        labels.print_labels(desk, ["CARA-01"], tmp_path / "labels.pdf", LATER)


def test_tape_tells_code_what_is_in_it_and_both_days(desk, tmp_path):
    acts.charge(desk, order(), MORNING)
    acts.plan(desk, order(name="caraway"), MORNING)
    path = tmp_path / "tape.pdf"
    labels.print_tape(desk, ["CARA-01", "CARA-02"], path, MORNING)
    first, second = (paper.words(path.read_bytes(), page=number) for number in (1, 2))
    assert first == (
        "CARA-01 Caraway seed 40 g in 300 mL of neutral spirit at 45.0 % "
        "Charged 2 Mar 2026 · Strain 16 Mar 2026"
    )
    assert "CARA-02" in second
    assert "Not charged yet · Strain after 14 days" in second
    assert "Not charged yet" in second
    with pytest.raises(UnknownJar):
        labels.print_tape(desk, ["CARA-09"], path, MORNING)


def test_a_name_of_its_own_stands_on_the_tape_too(desk):
    jar = acts.charge(desk, replace(order(), name="First floor"), MORNING)
    assert labels.tape_text(desk, views.jar(desk, jar.code)).what.startswith("First floor: Caraway")
