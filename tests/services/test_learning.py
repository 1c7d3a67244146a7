"""What the shelf taught enters plans and reviews, and only once it was known."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.own import OwnBotanical
from steepboard.domain.records import Measure, Reading, Separation
from steepboard.services import (
    acts,
    history,
    learning,
    lessons,
    losses,
    material,
    materials,
    plans,
)
from steepboard.services.details import details
from steepboard.services.material_facts import facts
from steepboard.services.plans import Wish
from steepboard.store import jars, strains
from steepboard.store.rows import stamp
from tests.shelves import MORNING, desk_at, order

DAY = timedelta(days=1)
SEED, HAND = "caraway", Separation.HAND
# Invented: 40 g of caraway in 300 mL of 45 % whose marc weighs 100 g, so that it holds about 2 mL
# per dry gram where 1.3 is usual (absorption.csv, ground seed pressed by hand).
HEAVY_G = 100.0


def bottle(desk, name=SEED, marc_g=HEAVY_G, bottled_ml=None, charged=MORNING, **changes):
    """Charge a jar, strain it after a fortnight and bottle what its marc left; return its code."""
    jar = acts.charge(desk, order(name, **changes), charged)
    at = charged + 14 * DAY
    read = {
        Measure.MARC: marc_g,
        Measure.RECOVERED: bottled_ml or 290.0 + 40.0 - 1.05 * (marc_g or HEAVY_G),
    }
    kept = tuple(Reading(m, v, f"{v}", 1.0, at) for m, v in read.items() if v is not None)
    acts.strain(desk, jar.code, kept, at, separation=HAND, bottled=True)
    return jar.code


def held(desk, name=SEED, separation=HAND):
    line = material.weighed(name, 40.0, "40g", library=desk.library)
    return material.held_of(line, separation, None, desk.library)[1]


def learn_by(desk, count, **changes):
    return [bottle(desk, charged=MORNING + n * 20 * DAY, **changes) for n in range(count)]


def test_an_empty_shelf_plans_by_what_is_usual(tmp_path):
    known = held(desk_at(tmp_path))
    assert known.value == pytest.approx(1.3)
    assert "measured here" not in known.source


def test_what_past_jars_held_enters_the_next_plan(tmp_path):
    desk = desk_at(tmp_path)
    wish = Wish(0.45, SEED, have_g=40.0, ratio=7.5, separation=HAND)
    before = plans.make(desk.settings, wish, desk.library).plan
    learn_by(desk, 5)
    after = plans.make(desk.settings, wish, desk.library).plan
    # 0.7 mL more in each of 36 dry grams.
    assert before.expected_ml - after.expected_ml == pytest.approx(0.7 * 36, abs=3)
    assert after.high_ml - after.low_ml < 0.8 * (before.high_ml - before.low_ml)


def test_the_source_names_the_jars_and_what_was_usual(tmp_path):
    desk = desk_at(tmp_path)
    codes = learn_by(desk, 4)
    source = held(desk).source
    assert source.startswith(f"measured here ({codes[3]}, {codes[2]}, {codes[1]} and 1 more), ")
    assert "common practice" in source


def test_what_a_person_gives_goes_before_what_was_learned(tmp_path):
    desk = desk_at(tmp_path)
    learn_by(desk, 2)
    line = material.weighed(SEED, 40.0, "40g")
    known = material.held_of(line, HAND, 0.9, desk.library)[1]
    assert (known.value, known.source) == (0.9, "given by you")


def test_kin_learns_a_little_and_other_ways_of_straining_nothing(tmp_path):
    desk = desk_at(tmp_path)
    usual = held(desk, separation=Separation.PRESS)
    learn_by(desk, 4)
    kin = held(desk, "coriander")
    assert 1.35 < kin.value < held(desk).value - 0.2
    assert "measured here on others of its kind (CARA-04" in kin.source
    assert held(desk, separation=Separation.PRESS) == usual


def test_an_undo_and_a_corrected_reading_teach_again(tmp_path):
    desk = desk_at(tmp_path)
    learn_by(desk, 2)
    two = held(desk)
    code = bottle(desk, charged=MORNING + 60 * DAY, marc_g=80.0)
    assert held(desk).value < two.value - 0.1
    wrong = Reading(Measure.MARC, HEAVY_G, "100 g", 1.0, MORNING + 75 * DAY)
    bottled = Reading(Measure.RECOVERED, 225.0, "225 ml", 1.0, MORNING + 75 * DAY)
    acts.strain(desk, code, (wrong, bottled), MORNING + 75 * DAY)
    assert held(desk).value == pytest.approx(two.value, abs=0.05)
    acts.undo(desk, code, MORNING + 76 * DAY)
    acts.undo(desk, code, MORNING + 76 * DAY)
    assert held(desk) == two


def test_what_was_taught_under_a_name_stays_when_the_name_is_kept(tmp_path):
    desk = desk_at(tmp_path)
    codes = learn_by(desk, 2, name="Moor gale")
    before = held(desk, "Moor gale")
    materials.keep_botanical(
        desk, "moor gale", OwnBotanical("", "", material_class="other"), MORNING
    )
    after = held(desk, "moor gale")
    assert all(code in after.source for code in codes)
    assert after.value == pytest.approx(before.value)


def test_another_connection_is_heard(tmp_path):
    desk, other = desk_at(tmp_path), desk_at(tmp_path)
    assert "measured" not in held(desk).source
    learn_by(other, 1)
    assert "measured here (CARA-01)" in held(desk).source


def test_a_jar_is_held_to_what_was_known_when_it_was_charged(tmp_path):
    desk = desk_at(tmp_path)
    first = jars.by_code(desk.store, bottle(desk))
    expected = details(desk, first).expected
    learn_by(desk, 4)
    assert details(desk, first).expected == expected
    later = acts.charge(desk, order(), MORNING + 90 * DAY)
    assert details(desk, later).expected.expected_ml < expected.expected_ml - 10


def test_only_what_was_bottled_before_counts_as_known(tmp_path):
    desk = desk_at(tmp_path)
    bottle(desk)
    line = material.weighed(SEED, 40.0, "40g")
    at = MORNING + 14 * DAY
    usual, learned = (
        desk.library.before(moment).absorption(line, HAND) for moment in (at, at + DAY)
    )
    assert usual.mean == pytest.approx(1.3)
    assert learned.mean > 1.5


def test_a_marc_not_weighed_teaches_less(tmp_path):
    weighed, not_weighed = desk_at(tmp_path / "one"), desk_at(tmp_path / "two")
    bottle(weighed)
    bottle(not_weighed, marc_g=None)
    assert held(not_weighed).value > 1.4
    assert 0.4 > held(not_weighed).u > held(weighed).u


def test_dried_samples_teach_what_dissolves(tmp_path):
    desk = desk_at(tmp_path)
    line = material.weighed(SEED, 40.0, "40g")
    usual = material.soluble_of(line, desk.library)
    for n in range(4):
        code = bottle(desk, charged=MORNING + n * 20 * DAY)
        at = MORNING + (n * 20 + 15) * DAY
        # 20 mg/mL in some 300 mL are about 6 g of 36 dry grams.
        residue = Reading(Measure.RESIDUE, 0.2, "0.2 g", 0.001, at)
        sample = Reading(Measure.RESIDUE_VOLUME, 10.0, "10 ml", 0.1, at)
        acts.strain(desk, code, (residue, sample), at)
    known = material.soluble_of(line, desk.library)
    assert abs(known.value - 6.1 / 36.4) < abs(usual.value - 6.1 / 36.4)
    assert known.value == pytest.approx(6.1 / 36.4, abs=0.012)
    assert known.source.startswith("measured here (CARA-04")
    told = {fact.label: fact for fact in facts(desk.library, desk.library.find(SEED))}
    assert told["dissolves"].text.startswith(f"{100 * known.value:.1f} % ± {100 * known.u:.1f} %")
    assert told["dissolves"].source == known.source
    assert told["water"].text.endswith(")")  # nothing told of it: the range that is usual
    assert material.moisture_of(line, desk.library).source == (material.moisture_of(line).source)


def test_several_botanicals_in_a_jar_teach_each_its_share(tmp_path):
    desk = desk_at(tmp_path)
    two = (*order(SEED, 20.0).botanicals, *order("angelica root", 20.0).botanicals)
    bottle(desk, botanicals=two, acknowledged=("MISID",))
    assert held(desk).value > 1.3
    assert "measured here (CARA-01)" in held(desk, "angelica root").source


def test_the_quick_reading_of_bottled_jars_is_that_of_the_diary(tmp_path):
    desk = desk_at(tmp_path)
    bottle(desk)
    planned = acts.plan(desk, order("coriander"), MORNING)
    acts.charge_planned(desk, planned.code, MORNING + DAY)
    acts.strain(desk, planned.code, (), MORNING + 9 * DAY, separation=Separation.PRESS)
    late = Reading(Measure.MARC, 66.0, "66 g", 1.0, MORNING + 10 * DAY)
    acts.strain(desk, planned.code, (late,), MORNING + 10 * DAY)
    acts.strain(desk, planned.code, (), MORNING + 16 * DAY, bottled=True)
    undone = bottle(desk, "fennel")
    acts.undo(desk, undone, MORNING + 20 * DAY)
    gone = acts.charge(desk, order("anise"), MORNING)
    acts.discard(desk, gone.code, "dropped", MORNING + 21 * DAY)
    read = [
        (
            jar.code,
            stamp(jar.charged_at),
            stamp(jar.bottled_at),
            jar.charge.separation,
            jar.charge.botanicals,
            jar.charge.spirits,
            {r.measure: (r.value, r.resolution) for r in jar.readings},
        )
        for jar in jars.ended(desk.store)
        if jar.bottled_at and jar.state.value == "bottled"
    ]
    quick = [
        (
            one.code,
            one.charged_at,
            one.bottled_at,
            one.separation,
            one.botanicals,
            one.spirits,
            {measure: (r.value, r.resolution) for measure, r in one.readings.items()},
        )
        for one in strains.strains(desk.store)
    ]
    assert sorted(quick) == sorted(read)
    assert len(quick) == 2


def test_the_review_shows_before_now_and_each_batch(tmp_path):
    desk = desk_at(tmp_path)
    learn_by(desk, 3)
    bottle(desk, charged=MORNING + 80 * DAY, marc_g=260.0, bottled_ml=225.0)
    bottle(desk, "rosemary", marc_g=None, bottled_ml=200.0, charged=MORNING + 90 * DAY)
    found = list(losses.strained(desk))
    leaf, seed = lessons.lessons(desk, found)
    assert seed.usual.mean == pytest.approx(1.3)
    (caraway,) = seed.plants
    assert caraway.learned.batches == 4
    assert [batch.code for batch in caraway.batches] == ["CARA-04", "CARA-03", "CARA-02", "CARA-01"]
    assert caraway.batches[0].counted_u > 10 * caraway.batches[1].counted_u
    assert caraway.as_expected == sum(one.as_expected for one in found if one.jar.code[0] == "C")
    assert [batch.marc_weighed for batch in (caraway.batches[1], leaf.plants[0].batches[0])] == [
        True,
        False,
    ]
    assert lessons.lessons(desk, found, "rosem") == (leaf,)


def test_a_jar_of_which_only_the_marc_was_read_is_not_judged(tmp_path):
    desk = desk_at(tmp_path)
    learn_by(desk, 1)
    jar = acts.charge(desk, order(), MORNING + 40 * DAY)
    marc = Reading(Measure.MARC, 98.0, "98 g", 1.0, MORNING + 54 * DAY)
    acts.strain(desk, jar.code, (marc,), MORNING + 54 * DAY, separation=HAND, bottled=True)
    ((plant,),) = [group.plants for group in lessons.lessons(desk, losses.strained(desk))]
    assert (len(plant.batches), plant.judged) == (2, 1)
    assert plant.batches[0].as_expected is None


def test_the_review_is_told_in_lines(tmp_path):
    desk = desk_at(tmp_path)
    learn_by(desk, 10)
    (group,) = lessons.lessons(desk, losses.strained(desk))
    assert lessons.heading(group).endswith("pressed by hand: mL held by each dry gram")
    lines = list(lessons.told(group))
    assert lines[0][:2] == ("beforehand", "1.30 ± 0.40")
    assert "of 10 bottled as expected" in lines[1][2]
    assert lines[2][0] == "  CARA-10"
    assert lines[2][2].endswith("marc weighed")
    assert lines[-1] == ("  earlier", "", "2 more")


def test_groups_part_dried_from_fresh_and_each_way_of_straining(tmp_path):
    desk = desk_at(tmp_path)
    bottle(desk)
    found = learning.library(desk.store, desk.settings).groups()
    assert found == (history.Group("seed", False, HAND),)


def test_what_was_dried_later_changes_what_is_known_now_and_not_what_was_known(tmp_path):
    desk = desk_at(tmp_path)
    codes = learn_by(desk, 3)
    line = material.weighed(SEED, 40.0, "40g")
    then = MORNING + 30 * DAY
    known = desk.library.before(then).absorption(line, HAND)
    at = MORNING + 60 * DAY
    # Invented: 30 g of 36 dry grams are left, a little of it dried from what the marc held.
    dry = Reading(Measure.DRY_MARC, 30.0, "30 g", 0.1, at)
    before = desk.library.absorption(line, HAND)
    acts.strain(desk, codes[2], (dry,), at)
    assert desk.library.absorption(line, HAND).mean != pytest.approx(before.mean, abs=1e-4)
    assert desk.library.before(then).absorption(line, HAND) == known


def test_what_a_person_says_of_a_botanical_holds_from_then_on(tmp_path):
    desk = desk_at(tmp_path)
    codes = learn_by(desk, 2)
    first = jars.by_code(desk.store, codes[0])
    expected, reviewed = details(desk, first).expected, list(losses.strained(desk))
    wet, line = OwnBotanical("", "", moisture=0.4), material.weighed(SEED, 40.0, "40g")
    for at, act in (
        (60 * DAY, lambda at: materials.keep_botanical(desk, SEED, wet, at)),
        (70 * DAY, lambda at: materials.forget_botanical(desk, SEED, at)),
    ):
        act(MORNING + at)
        assert details(desk, first).expected == expected
        assert list(losses.strained(desk)) == reviewed
    moistures = [
        material.moisture_of(line, desk.library.before(MORNING + day * DAY)).value
        for day in (59, 60, 69, 70)
    ]
    assert moistures[1:3] == [0.4, 0.4]
    assert moistures[0] == moistures[3] == material.moisture_of(line).value


def test_a_plant_of_ones_own_that_was_forgotten_is_as_dry_in_old_jars(tmp_path):
    desk = desk_at(tmp_path)
    gale = OwnBotanical("", "", material_class="leaf", moisture=0.3)
    materials.keep_botanical(desk, "Sweet gale", gale, MORNING)
    line = material.weighed("Sweet gale", 40.0, "40g", library=desk.library)
    jar = acts.charge(desk, order(botanicals=(line,)), MORNING + DAY)
    expected = details(desk, jar).expected
    materials.forget_botanical(desk, "Sweet gale", MORNING + 2 * DAY)
    assert details(desk, jar).expected == expected
