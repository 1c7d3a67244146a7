"""The batch record: one jar from charge to last bottle, as it stands on paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from steepboard.domain.bottles import BottleKind, Purpose
from steepboard.domain.readings import Measured
from steepboard.domain.records import Measure, Reading
from steepboard.errors import NotOurs, UnknownJar
from steepboard.services import acts, bottles, bottling, views
from steepboard.services.batch_record import print_record, record_text
from steepboard.services.bottles import Drawn
from steepboard.services.bottling import Fill
from steepboard.services.reconciling import reconciliation
from tests.printing import paper
from tests.shelves import MORNING, desk_at, order, spirit

STRAINED = MORNING + timedelta(days=14)
BOTTLED = STRAINED + timedelta(days=2)
LATER = BOTTLED + timedelta(days=9)


@pytest.fixture
def desk(tmp_path):
    return desk_at(tmp_path)


def read(measure, value, at=STRAINED):
    return Reading(measure, value, f"{value:g} {measure.unit}", 1.0, at)


def worked_order():
    """The jar worked by hand in the design: 58.07 g at 11 % water and 18 % soluble, 326.66 mL."""
    made = order(mass_g=58.07)
    line = replace(made.botanicals[0], moisture=0.11, soluble=0.18)
    return replace(made, botanicals=(line,), spirits=(spirit(326.66),))


def batch(desk, wanted):
    """Charge, strain in stages and bottle a jar."""
    jar = acts.charge(desk, wanted, MORNING)
    acts.stir(desk, (jar.code,), MORNING + timedelta(days=1))
    stages = (read(Measure.DRAINED, 200.0), read(Measure.PRESSED, 60.0))
    rest = (read(Measure.FILTERED, 254.0), read(Measure.MARC, 130.0))
    acts.strain(desk, jar.code, stages + rest, STRAINED)
    acts.strain(desk, jar.code, (read(Measure.RECOVERED, 250.0, BOTTLED),), BOTTLED, bottled=True)
    fills = [Fill(100.0, Measured(100.0, 2.0)), Fill(100.0, Measured(98.0, 2.0)), Fill(50.0)]
    made = bottling.fill(desk, jar.code, fills, BOTTLED)
    return views.jar(desk, jar.code), [one.code for one in made.bottles]


def test_each_stage_is_held_to_what_the_charge_would_give_with_nothing_lost(desk):
    """By hand: 338.70 mL in the jar (design, 3.4); 200/338.7, 260/338.7, 254/338.7 and so on."""
    jar, _ = batch(desk, worked_order())
    stages = reconciliation(desk, jar)
    assert [stage.name for stage in stages] == [
        "charged: liquor in the jar",
        "drained",
        "drained and pressed",
        "filtered",
        "settled and recovered",
        "in bottles",
    ]
    shares = [stage.found_ml / stage.theoretical_ml for stage in stages]
    assert stages[0].theoretical_ml == pytest.approx(338.70, abs=0.02)
    assert shares == pytest.approx([1.0, 0.5905, 0.7676, 0.7499, 0.7381, 0.7322], abs=2e-4)
    passed_on = [s.found_ml / s.before_ml for s in stages if s.before_ml]
    assert passed_on == pytest.approx([0.5905, 0.9769, 0.9843, 0.9920], abs=2e-4)


def test_a_stage_that_was_weighed_is_taken_at_the_density_of_the_liquor(desk):
    """By hand: 0.95249 g/mL (design, 3.4), so 190.5 g are 200.0 mL."""
    jar = acts.charge(desk, worked_order(), MORNING)
    acts.strain(desk, jar.code, (read(Measure.DRAINED_MASS, 190.5),), STRAINED)
    _, drained = reconciliation(desk, views.jar(desk, jar.code))
    assert drained.found_ml == pytest.approx(200.0, abs=0.02)
    assert drained.found_u_ml == pytest.approx(1.0 / 12**0.5 / 0.95249, rel=1e-3)


def test_from_the_rinse_on_what_was_poured_on_the_solids_counts_too(desk):
    jar = acts.charge(desk, worked_order(), MORNING)
    rinsed = (read(Measure.WASH, 50.0), read(Measure.WASHED_OUT, 45.0))
    recovered = read(Measure.RECOVERED, 240.0)
    acts.strain(desk, jar.code, (read(Measure.DRAINED, 200.0), *rinsed, recovered), STRAINED)
    _, drained, washed, last = reconciliation(desk, views.jar(desk, jar.code))
    assert (washed.name, washed.found_ml, washed.before_ml) == ("rinsed", 245.0, None)
    assert washed.theoretical_ml - drained.theoretical_ml == pytest.approx(50.0, abs=0.1)
    assert last.theoretical_ml == washed.theoretical_ml


def test_the_record_has_all_from_charge_to_last_bottle(desk, tmp_path):
    jar, codes = batch(desk, replace(worked_order(), name="First floor"))
    for day in (1, 2):
        drop = Drawn(Measured(5.0, 0.5), "5 mL")
        bottles.draw(desk, codes[0], drop, Purpose.DOSE, BOTTLED + timedelta(days=day))
    bottles.end(desk, codes[1], BottleKind.BREAK, "slipped off the shelf", LATER)
    path = tmp_path / "record.pdf"
    assert print_record(desk, jar.code, path, LATER) == jar.code
    said = paper.all_words(path.read_bytes())
    for told in (
        "Batch record FIRS-01",
        "Carum carvi",
        "58.07 g",
        "326.7 mL",
        "given by you",
        "Yield at each stage",
        "254.0 ± 0.3 mL",
        "338.7 mL",
        "75.0 %",
        "21 CFR 211.103",
        "held in the marc",
        "±: one standard uncertainty",
        "Spirit burns",
        "10.0 mL for dose; holds 90.0 ±",
        "broken 2026-03-27, slipped off the shelf",
        "Of FIRS-01 2.0 ±",  # 250 less 100, 98 and 50
        "drained 200 mL, pressed 60 mL, filtered 254 mL, marc 130 g",
        "2026-03-03 09:00 stir KL command",
        "checked by a second person",
        "not a medicine",
        "local law and licensed practice",
    ):
        assert told in said, told


def test_a_caution_that_was_acknowledged_says_by_whom_and_when(desk):
    wanted = order("cinchona bark", acknowledged=("QUININE",))
    jar = acts.charge(desk, wanted, MORNING)
    record = record_text(desk, views.jar(desk, jar.code), LATER)
    (cautions,) = (table for table in record.tables if table.title == "Cautions")
    read_by = {row[0].split(".")[0]: row[2] for row in cautions.rows}
    assert read_by["Cinchona and quinine"] == "KL, 2026-03-02 09:00"
    assert read_by["Spirit burns: 45 % from about 25 °C"] == "shown, not asked for"


def test_a_caution_that_is_still_to_be_read_says_so(desk):
    jar = acts.plan(desk, order("cinchona bark"), MORNING)
    record = record_text(desk, views.jar(desk, jar.code), MORNING)
    (cautions,) = (table for table in record.tables if table.title == "Cautions")
    assert "not yet" in [row[2] for row in cautions.rows]


def test_a_jar_that_has_only_begun_has_a_record_too(desk, tmp_path):
    acts.charge(desk, order(), MORNING)
    path = tmp_path / "record.pdf"
    print_record(desk, "CARA-01", path, MORNING)
    said = paper.all_words(path.read_bytes())
    assert "Nothing of this batch stands in bottles." in said
    assert "charged: liquor in the jar" in said


def test_a_long_diary_runs_over_as_many_pages_as_it_takes(desk, tmp_path):
    jar = acts.charge(desk, order(), MORNING)
    notes = [f"Note {n}: " + "bright and sharp, " * 25 for n in range(60)]
    for n, note in enumerate(notes):
        acts.taste(desk, jar.code, note, MORNING + timedelta(hours=n + 1))
    path = tmp_path / "record.pdf"
    print_record(desk, jar.code, path, LATER)
    pdf = path.read_bytes()
    pages = [paper.words(pdf, page=n + 1) for n in range(len(paper.reader(pdf).pages))]
    assert len(pages) > 5
    for number, page in enumerate(pages, 1):
        assert page.startswith(f"Batch record CARA-01 page {number} of {len(pages)}")
        assert "not a medicine" in page
    assert all(f"Note {n}:" in " ".join(pages) for n in range(60))
    whole = paper.picture(pdf, page=3, dpi=100)
    left, top, right, bottom = paper.ink_mm(whole, dpi=100)
    assert left >= 17.5
    assert top >= 17.5
    assert right <= 210 - 17.5
    assert bottom <= 297 - 8


def test_markup_and_control_characters_are_printed_as_text_or_not_at_all(desk, tmp_path):
    jar = acts.charge(desk, replace(order(), name="**b** <i>x</i> {nb} (x\\)"), MORNING)
    with desk.store.writing() as db:
        db.execute("update entry set note = ?", ["\x1b[31m__u__\u202e ) Tj <a href=x>"])
    path = tmp_path / "record.pdf"
    print_record(desk, jar.code, path, MORNING)
    said = paper.all_words(path.read_bytes())
    assert "**b** <i>x</i> {nb} (x\\)" in said
    assert "[31m__u__ ) Tj <a href=x>" in said


@pytest.mark.parametrize(("paper_name", "mm"), [("a4", (210, 297)), ("letter", (215.9, 279.4))])
def test_the_paper_is_that_of_the_house(desk, tmp_path, paper_name, mm):
    acts.charge(desk, order(), MORNING)
    house = replace(desk.settings, print=replace(desk.settings.print, paper=paper_name))
    path = tmp_path / "record.pdf"
    print_record(replace(desk, settings=house), "CARA-01", path, MORNING)
    for page in paper.reader(path.read_bytes()).pages:
        assert [float(side) * 25.4 / 72 for side in page.mediabox[2:]] == pytest.approx(
            mm, abs=0.01
        )


def test_a_record_of_no_jar_or_over_another_file_is_refused(desk, tmp_path):
    acts.charge(desk, order(), MORNING)
    path = tmp_path / "notes.pdf"
    path.write_bytes(b"%PDF-1.4 not ours")
    with pytest.raises(NotOurs):
        print_record(desk, "CARA-01", path, MORNING)
    with pytest.raises(UnknownJar):
        print_record(desk, "CARA-02", path, MORNING)
    assert path.read_bytes() == b"%PDF-1.4 not ours"
