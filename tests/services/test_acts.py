"""What people do to jars, and what the diary then says."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from steepboard.domain.own import OwnBotanical
from steepboard.domain.records import Kind, Measure, Separation, Source, State
from steepboard.errors import (
    DeadlyPlant,
    NeedsAcknowledging,
    NotForDrinking,
    NothingToUndo,
    NothingWeighed,
    OutOfRange,
    UnknownJar,
    WrongState,
)
from steepboard.services import acts, material, materials, straining, views
from steepboard.store import jars, own
from tests.shelves import MORNING, desk_at, order, spirit

DAY = timedelta(days=1)


def kinds(desk, jar):
    return [(entry.kind, entry.undone) for entry in views.diary(desk, jar)]


def read(desk, measure, value, at=MORNING):
    return straining.reading(desk, measure, value, f"{value:g}", 1.0, at)


def test_a_charge_is_kept_as_it_was_typed_with_who_when_and_from_where(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    found = views.jar(desk_at(tmp_path), made.code)
    assert (found.code, found.state, found.charged_at) == ("CARA-01", State.STEEPING, MORNING)
    assert [(b.typed, b.mass_g) for b in found.charge.botanicals] == [("40g", 40.0)]
    assert [(s.typed_volume, s.typed_strength) for s in found.charge.spirits] == [("300ml", "45%")]
    assert found.strain_on == date(2026, 3, 16)
    (entry,) = views.diary(desk, found)
    assert (entry.kind, entry.at, entry.source, entry.initials) == (
        Kind.CHARGE,
        MORNING,
        Source.COMMAND,
        "KL",
    )


def test_codes_count_on_for_each_botanical_and_are_never_used_twice(tmp_path):
    desk = desk_at(tmp_path)
    codes = [acts.charge(desk, order(), MORNING).code for _ in range(2)]
    codes.append(acts.charge(desk, order("coriander seed"), MORNING).code)
    acts.undo(desk, "CARA-02", MORNING)
    codes.append(acts.charge(desk, order(), MORNING).code)
    assert codes == ["CARA-01", "CARA-02", "CORI-01", "CARA-03"]


def test_several_botanicals_and_spirits_share_a_jar_in_their_order(tmp_path):
    desk = desk_at(tmp_path)
    lines = tuple(
        material.weighed(name, grams, f"{grams} g")
        for name, grams in (("caraway", 20), ("lavender", 3.5), ("coriander seed", 9))
    )
    pours = (spirit(250, 0.5), spirit(80, 0.0, name="water"))
    asked = acts.Order(lines, pours, name="Dining car")
    made = acts.charge(desk, asked, MORNING)
    assert [line.mass_g for line in made.charge.botanicals] == [20, 3.5, 9]
    assert [(line.name, line.strength) for line in made.charge.spirits] == [
        ("neutral spirit", 0.5),
        ("water", 0.0),
    ]
    assert made.name == "Dining car"


def test_the_local_day_of_charging_decides_the_strain_day(tmp_path):
    desk = desk_at(tmp_path)
    late = MORNING.replace(hour=22, minute=59)  # 23:59 in Vienna
    assert acts.charge(desk, order(), late).strain_on == date(2026, 3, 16)
    assert acts.charge(desk, order(), late + timedelta(minutes=1)).strain_on == date(2026, 3, 17)


@pytest.mark.parametrize(
    "name",
    [
        "Denatured alcohol",
        "METHYLATED spirit",
        "iso-propyl 70",
        "IPA",
        "Methanol 99",
        "rubbing alcohol",
    ],
)
def test_spirit_that_nobody_may_drink_is_refused_and_nothing_is_written(tmp_path, name):
    desk = desk_at(tmp_path)
    with pytest.raises(NotForDrinking, match="sold for drinking"):
        acts.charge(desk, order(spirits=(spirit(name=name),)), MORNING)
    assert views.all_jars(desk) == ()


@pytest.mark.parametrize("act", [acts.plan, acts.charge])
@pytest.mark.parametrize("name", ["foxglove", "dried belladonna", "Taxus baccata", "Yew"])
def test_a_plant_that_kills_is_refused_and_nothing_is_written(tmp_path, act, name):
    desk = desk_at(tmp_path)
    with pytest.raises(DeadlyPlant, match="no amount of it belongs in a drink"):
        act(desk, order(name, acknowledged=("DEADLY", "NEVER")), MORNING)
    assert views.all_jars(desk) == ()


def test_a_plant_that_the_shelf_itself_calls_deadly_is_refused(tmp_path):
    desk = desk_at(tmp_path)
    said = OwnBotanical("", "", cautions=("DEADLY",))
    materials.keep_botanical(desk, "Bog herb", said, MORNING)
    line = material.weighed("bog herb", 40.0, "40g", library=desk.library)
    with pytest.raises(DeadlyPlant, match="Bog herb kills"):
        acts.charge(desk, order(botanicals=(line,)), MORNING)


def test_a_deadly_name_among_its_other_names_is_refused_too(tmp_path):
    """As it may come in with an import: the record itself does not know of plants."""
    desk = desk_at(tmp_path)
    with desk.store.writing() as db:
        own.keep_botanical(db, OwnBotanical("bells", "Garden bells", aliases=("foxglove leaf",)))
    line = material.weighed("garden bells", 40.0, "40g", library=desk.library)
    with pytest.raises(DeadlyPlant, match="“foxglove leaf” is refused"):
        acts.charge(desk, order(botanicals=(line,)), MORNING)


def test_no_file_of_ones_own_makes_a_deadly_plant_harmless(tmp_path):
    (tmp_path / "catalogue").mkdir()
    own = "id,name,latin,cautions\nfoxglove,Garden bells,Campanula,PREG\n"
    (tmp_path / "catalogue" / "botanicals.csv").write_text(own)
    desk = desk_at(tmp_path)
    line = material.weighed("garden bells", 40.0, "40g", library=desk.library)
    with pytest.raises(DeadlyPlant):
        acts.charge(desk, order(botanicals=(line,)), MORNING)


def test_a_charge_needs_something_weighed_and_something_poured(tmp_path):
    desk = desk_at(tmp_path)
    with pytest.raises(NothingWeighed, match="botanical"):
        acts.charge(desk, order(botanicals=()), MORNING)
    with pytest.raises(NothingWeighed, match="spirit"):
        acts.charge(desk, order(spirits=()), MORNING)


def test_a_plant_with_a_limit_wants_its_caution_read_and_keeps_that_with_the_jar(tmp_path):
    desk = desk_at(tmp_path)
    asked = order("liquorice")
    with pytest.raises(NeedsAcknowledging, match="Liquorice"):
        acts.charge(desk, asked, MORNING)
    codes = tuple(
        c.code for c in material.cautions_of(asked.botanicals[0]) if c.needs_acknowledging
    )
    made = acts.charge(desk, order("liquorice", acknowledged=codes), MORNING)
    assert jars.acknowledged(desk.store, made.id) == codes
    assert "GLYCYRR" in codes


@pytest.mark.parametrize("days", [-1, 401])
def test_a_strain_day_in_the_past_or_far_off_is_refused(tmp_path, days):
    desk = desk_at(tmp_path)
    with pytest.raises(OutOfRange, match="0 to 400"):
        acts.charge(desk, order(strain_on=date(2026, 3, 2) + days * DAY), MORNING)


def test_a_planned_jar_is_charged_as_planned_and_its_days_count_from_then(tmp_path):
    desk = desk_at(tmp_path)
    planned = acts.plan(desk, order(), MORNING)
    assert planned.state is State.PLANNED
    charged = acts.charge_planned(desk, planned.code, MORNING + 3 * DAY)
    assert (charged.code, charged.state) == (planned.code, State.STEEPING)
    assert charged.strain_on == planned.strain_on + 3 * DAY
    assert charged.charge.botanicals == planned.charge.botanicals


def test_stirring_several_writes_all_or_none(tmp_path):
    desk = desk_at(tmp_path)
    first, second = (acts.charge(desk, order(), MORNING) for _ in range(2))
    acts.stir(desk, (first.code, second.code), MORNING + DAY)
    acts.strain(desk, second.code, (), MORNING + 2 * DAY)
    with pytest.raises(WrongState, match=r"CARA-02 is settling: it cannot be stirred"):
        acts.stir(desk, (first.code, second.code), MORNING + 3 * DAY)
    assert views.jar(desk, first.code).stirred_at == (MORNING + DAY,)


def test_moving_the_strain_day_keeps_the_reason(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    moved = acts.move(desk, made.code, date(2026, 3, 20), "still weak\x1b[31m", MORNING + DAY)
    assert moved.strain_on == date(2026, 3, 20)
    assert views.diary(desk, moved)[-1].note == "still weak[31m"
    acts.undo(desk, made.code, MORNING + DAY)
    assert views.jar(desk, made.code).strain_on == date(2026, 3, 16)


def test_one_reading_is_enough_to_strain_and_more_may_follow(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    at = MORNING + 14 * DAY
    done = acts.strain(desk, made.code, (read(desk, Measure.RECOVERED, 251, at),), at, bottled=True)
    assert (done.state, done.strained_at, done.bottled_at) == (State.BOTTLED, at, at)
    later = acts.strain(desk, made.code, (read(desk, Measure.MARC, 86, at),), at + DAY)
    assert later.state is State.BOTTLED
    assert later.reading(Measure.MARC).value == 86
    assert later.reading(Measure.RECOVERED).value == 251


def test_the_last_reading_of_a_measure_counts_and_undo_brings_the_former_back(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    acts.strain(desk, made.code, (read(desk, Measure.MARC, 86),), MORNING + DAY)
    acts.strain(desk, made.code, (read(desk, Measure.MARC, 68),), MORNING + DAY)
    assert views.jar(desk, made.code).reading(Measure.MARC).value == 68
    acts.undo(desk, made.code, MORNING + DAY)
    assert views.jar(desk, made.code).reading(Measure.MARC).value == 86


def test_the_way_of_straining_may_differ_from_what_was_planned(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    done = acts.strain(desk, made.code, (), MORNING + DAY, separation=Separation.PRESS)
    assert done.charge.separation is Separation.PRESS


def test_undo_takes_back_one_act_after_another_and_is_an_entry_itself(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    acts.stir(desk, (made.code,), MORNING + DAY)
    at = MORNING + 14 * DAY
    acts.strain(desk, made.code, (read(desk, Measure.RECOVERED, 251, at),), at, bottled=True)
    undone = acts.undo(desk, None, at)
    assert (undone.code, undone.kinds) == (made.code, (Kind.STRAIN, Kind.BOTTLE))
    back = views.jar(desk, made.code)
    assert (back.state, back.readings, back.stirred_at) == (State.STEEPING, (), (MORNING + DAY,))
    assert kinds(desk, back) == [
        (Kind.CHARGE, False),
        (Kind.STIR, False),
        (Kind.STRAIN, True),
        (Kind.BOTTLE, True),
        (Kind.UNDO, False),
    ]
    acts.undo(desk, made.code, at)
    acts.undo(desk, made.code, at)
    with pytest.raises(UnknownJar):
        views.jar(desk, made.code)
    with pytest.raises(NothingToUndo, match="CARA-01"):
        acts.undo(desk, made.code, at)


def test_discarding_ends_a_jar_and_keeps_why(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    assert acts.discard(desk, made.code, "mould on top", MORNING).state is State.DISCARDED
    with pytest.raises(WrongState, match="discarded"):
        acts.stir(desk, (made.code,), MORNING)


def test_an_unknown_code_is_said_to_be_unknown(tmp_path):
    with pytest.raises(UnknownJar, match="FENN-09"):
        acts.stir(desk_at(tmp_path), ("FENN-09",), MORNING)


def test_a_name_that_tries_to_act_on_the_terminal_is_kept_as_plain_text(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order("ro\x1b]0;x\x07se [b]x[/b] [/oops]"), MORNING)
    assert made.name == "ro]0;xse [b]x[/b] [/oops]"
    assert made.code == "ROXS-01"


@pytest.mark.parametrize(
    ("changes", "quantity"),
    [
        ({"spirits": (spirit(temperature_c=80),)}, "temperature"),
        ({"spirits": (spirit(volume_ml=0),)}, "volume"),
        ({"spirits": (spirit(strength=1.2),)}, "strength"),
        ({"held_ml_per_g": -1}, "held liquid"),
        ({"kept_ml": float("nan")}, "kept"),
        ({"vessel_ml": -500}, "jar"),
        ({"botanicals": (material.weighed("caraway", 0, "0 g"),)}, "mass"),
        ({"botanicals": (material.weighed("caraway", 40, "40 g", moisture=1.4),)}, "moisture"),
    ],
)
def test_what_cannot_be_is_refused_before_it_reaches_the_record(tmp_path, changes, quantity):
    desk = desk_at(tmp_path)
    with pytest.raises(OutOfRange, match=quantity):
        acts.charge(desk, order(**changes), MORNING)
    assert views.all_jars(desk) == ()


def test_a_caution_named_twice_is_kept_once(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(acknowledged=("FLAM", "FLAM")), MORNING)
    assert jars.acknowledged(desk.store, made.id) == ("FLAM",)


def test_a_name_that_only_holds_such_letters_is_no_poison(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(
        desk, order(spirits=(spirit(name="Refuelled by rail, Ipanema rum"),)), MORNING
    )
    assert made.state is State.STEEPING


def test_a_draft_of_a_straining_does_not_outlive_the_undo_of_its_charge(tmp_path):
    desk = desk_at(tmp_path)
    planned = acts.plan(desk, order(), MORNING)
    jar = acts.charge_planned(desk, planned.code, MORNING)
    straining.leave(desk, jar, "marc", {"marc": "999 g"})
    acts.undo(desk, jar.code, MORNING)
    again = acts.charge_planned(desk, planned.code, MORNING + DAY)
    assert straining.draft(desk, again) is None


def test_an_undo_tells_what_it_took_back_when_and_by_whom(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    undone = acts.undo(desk, made.code, MORNING + DAY)
    assert (undone.kinds, undone.at, undone.initials) == ((Kind.CHARGE,), MORNING, "KL")


def test_a_move_keeps_the_day_it_moved_to(tmp_path):
    desk = desk_at(tmp_path)
    made = acts.charge(desk, order(), MORNING)
    acts.move(desk, made.code, date(2026, 3, 20), "", MORNING)
    assert views.diary(desk, made)[-1].strain_on == date(2026, 3, 20)
