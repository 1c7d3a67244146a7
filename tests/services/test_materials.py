"""Botanicals and spirits of one's own: kept, changed, used in jars, forgotten."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.catalogue import load
from steepboard.domain.own import OwnBotanical
from steepboard.errors import (
    BadCatalogue,
    DeadlyPlant,
    NotForDrinking,
    OutOfRange,
    UnknownMaterial,
    UnknownWord,
)
from steepboard.services import acts, material, materials
from steepboard.services.acts import Order
from steepboard.services.material_facts import facts, short
from steepboard.store import own
from steepboard.text import clean
from tests.shelves import MORNING, desk_at, order

GALE = OwnBotanical(
    "",
    "",
    material_class="leaf",
    latin="Myrica gale",
    moisture=0.11,
    ratio_min=6,
    ratio_max=12,
    days_min=1,
    days_typical=4,
    days_max=8,
    taste_from_day=1,
    cautions=("PREG",),
    preparation="Crumble it.",
)


def said(**known) -> OwnBotanical:
    return OwnBotanical("", "", **known)


def test_a_botanical_of_ones_own_is_known_to_all_that_a_jar_asks(tmp_path):
    desk = desk_at(tmp_path)
    materials.keep_botanical(desk, "Sweet gale", GALE, MORNING)
    line = material.weighed("sweet GALE", 40, "40 g", library=desk.library)
    assert (line.name, line.catalogue_id, line.material_class) == (
        "Sweet gale",
        "sweet-gale",
        "leaf",
    )
    assert material.moisture_of(line, desk.library).value == 0.11
    assert material.steep_days((line,), 14, desk.library).value == 4
    assert material.usual_ratio((line,), desk.library) == (6, 12)
    assert [found.code for found in material.cautions_of(line, desk.library)] == ["PREG"]
    jar = acts.charge(desk, Order((line,), order().spirits), MORNING)
    assert (jar.strain_on - desk.day(MORNING)).days == 4
    assert jar.charge.taste_from_day == 1


def test_a_jar_does_not_steep_longer_than_the_most_days_that_were_said(tmp_path):
    """The house's 14 days are more than 8 and less than 20."""
    desk = desk_at(tmp_path)
    for most, days in ((8, 8), (0.25, 1), (20, 14)):
        materials.keep_botanical(desk, "Sweet gale", said(days_min=0.1, days_max=most), MORNING)
        line = material.weighed("sweet gale", 40, "40 g", library=desk.library)
        assert material.steep_days((line,), 14, desk.library).value == days


def test_it_is_there_for_the_next_who_opens_the_shelf_and_for_who_has_it_open(tmp_path):
    ours, theirs = desk_at(tmp_path), desk_at(tmp_path)
    assert theirs.library.find("sweet gale") is None
    materials.keep_botanical(ours, "Sweet gale", GALE, MORNING)
    assert theirs.library.find("sweet gale").latin == "Myrica gale"
    assert load.find("sweet gale") is None


def test_what_is_said_of_a_known_one_wins_and_the_rest_stays(tmp_path):
    desk = desk_at(tmp_path)
    kept = materials.keep_botanical(desk, "caraway", said(moisture=0.14), MORNING)
    shipped = load.find("caraway")
    assert kept == desk.library.find("caraway")
    assert (kept.moisture.value, kept.moisture.source) == (0.14, "given by you; range assumed")
    assert (kept.name, kept.days_typical, kept.soluble) == (
        shipped.name,
        shipped.days_typical,
        shipped.soluble,
    )
    again = materials.keep_botanical(desk, "Caraway seed", said(ratio_min=3, ratio_max=5), MORNING)
    assert (again.moisture.value, again.ratio_min) == (0.14, 3)


def test_it_wins_over_a_file_of_ones_own(tmp_path):
    (tmp_path / "catalogue").mkdir()
    (tmp_path / "catalogue" / "botanicals.csv").write_text(
        "id,water_percent,days_typical\ncaraway,20,9\n"
    )
    desk = desk_at(tmp_path)
    assert desk.library.find("caraway").moisture.value == 0.2
    kept = materials.keep_botanical(desk, "caraway", said(moisture=0.15), MORNING)
    assert (kept.moisture.value, kept.days_typical) == (0.15, 9)


def test_what_is_to_be_minded_is_added_and_taken_back_but_never_taken_from_the_program(tmp_path):
    """Almond has nuts, ALLERGEN_EU, ALLERGEN_US and OIL as shipped."""
    desk, shipped = desk_at(tmp_path), load.find("almond")
    more = said(allergens=("Milk", "sesame"), cautions=("preg", "OIL"))
    kept = materials.keep_botanical(desk, "almond", more, MORNING)
    assert kept.allergens_eu == (*shipped.allergens_eu, "milk", "sesame")
    assert kept.allergens_us == (*shipped.allergens_us, "milk", "sesame")
    assert kept.cautions == (*shipped.cautions, "PREG")
    assert kept.allergen_source == f"given by you; the rest {shipped.allergen_source}"


def test_what_is_to_be_minded_and_other_names_stay_until_they_are_forgotten(tmp_path):
    """A second allergen, caution or name is added to the first; `forget` takes both away."""
    desk, shipped = desk_at(tmp_path), load.find("almond")
    first = said(allergens=("milk",), cautions=("preg",), aliases=("yard nut",))
    materials.keep_botanical(desk, "almond", first, MORNING)
    second = said(allergens=("soy",), cautions=("daisy",), aliases=("Yard Nut", "shed nut"))
    kept = materials.keep_botanical(desk, "almond", second, MORNING)
    assert kept.allergens_eu == (*shipped.allergens_eu, "milk", "soy")
    assert kept.cautions == (*shipped.cautions, "PREG", "DAISY")
    assert kept.aliases == (*shipped.aliases, "Yard Nut", "shed nut")
    assert shipped.aliases
    kept = materials.keep_botanical(desk, "almond", said(moisture=0.05), MORNING)
    assert kept.allergens_eu == (*shipped.allergens_eu, "milk", "soy")
    materials.forget_botanical(desk, "almond", MORNING)
    assert desk.library.find("almond") == shipped


def test_names_that_together_are_longer_than_the_record_keeps_are_refused(tmp_path):
    """200 characters of names and 120 more are over 300; the first ones stay."""
    desk = desk_at(tmp_path)
    first = tuple(letter * 50 for letter in "abcd")
    materials.keep_botanical(desk, "Bog herb", said(aliases=first), MORNING)
    with pytest.raises(BadCatalogue, match="Bog herb, also called: together they are longer"):
        materials.keep_botanical(desk, "Bog herb", said(aliases=("e" * 60, "f" * 60)), MORNING)
    assert desk.library.find("Bog herb").aliases == first


def test_a_source_is_told_of_what_was_said_and_of_the_rest(tmp_path):
    desk, shipped = desk_at(tmp_path), load.find("caraway")
    kept = materials.keep_botanical(desk, "caraway", said(bitterness=3, form="smoked"), MORNING)
    assert (kept.pungency, kept.bitterness, kept.form) == (shipped.pungency, 3, "smoked")
    assert kept.taste_source == f"given by you; the rest {shipped.taste_source}"
    assert kept.identity_source == f"given by you; the rest {shipped.identity_source}"
    assert (kept.days_source, kept.use_source) == (shipped.days_source, shipped.use_source)


def test_a_range_goes_with_the_value_that_it_was_said_with(tmp_path):
    desk = desk_at(tmp_path)
    told = said(moisture=0.11, moisture_low=0.09, moisture_high=0.13)
    figure = materials.keep_botanical(desk, "caraway", told, MORNING).moisture
    assert (figure.low, figure.value, figure.high) == pytest.approx((0.09, 0.11, 0.13))
    assert figure.source == "given by you"
    figure = materials.keep_botanical(desk, "caraway", said(moisture=0.2), MORNING).moisture
    assert (figure.low, figure.value, figure.high) == pytest.approx((0.18, 0.2, 0.22))


def test_another_name_finds_it_and_is_not_taken_from_another(tmp_path):
    desk = desk_at(tmp_path)
    gale = replace(GALE, aliases=("bog myrtle; moor gale", "!", "bog myrtle"))
    kept = materials.keep_botanical(desk, "Sweet gale", gale, MORNING)
    assert kept.aliases == ("bog myrtle", "moor gale")
    assert desk.library.find("MOOR gale") == kept
    with pytest.raises(BadCatalogue, match="“moor gale” means Sweet gale already"):
        materials.keep_botanical(desk, "Heather", said(aliases=("moor gale",)), MORNING)
    for alias in ("wolfsbane", "Aconitum napellus"):
        with pytest.raises(DeadlyPlant):
            materials.keep_botanical(desk, "Heather", said(aliases=(alias,)), MORNING)
    with pytest.raises(NotForDrinking):
        materials.keep_botanical(desk, "Heather", said(aliases=("meths",)), MORNING)


@pytest.mark.parametrize(
    ("known", "told"),
    [
        ({"allergens": ("celery", "wallnut")}, "“wallnut” .* The nearest is walnut. Known are alm"),
        ({"allergens": ("s",)}, "Known are sesame, soy, sulphites"),
        ({"cautions": ("NOSUCH",)}, "“NOSUCH” is not a caution. .* Known are ALLERGEN_EU, "),
    ],
)
def test_an_unknown_allergen_or_caution_names_those_that_are_known(tmp_path, known, told):
    desk = desk_at(tmp_path)
    with pytest.raises(UnknownWord, match=told):
        materials.keep_botanical(desk, "Bog herb", said(**known), MORNING)
    assert own.botanicals(desk.store) == ()


def test_what_is_forgotten_leaves_what_was_known_before(tmp_path):
    desk = desk_at(tmp_path)
    materials.keep_botanical(desk, "caraway", said(moisture=0.14), MORNING)
    assert materials.is_own(desk, "caraway")
    assert materials.forget_botanical(desk, "CARAWAY", MORNING) == "Caraway seed"
    assert not materials.is_own(desk, "caraway")
    assert desk.library.find("caraway") == load.find("caraway")
    with pytest.raises(UnknownMaterial, match="none of your own"):
        materials.forget_botanical(desk, "caraway", MORNING)


def test_a_jar_outlives_the_botanical_that_was_forgotten(tmp_path):
    desk = desk_at(tmp_path)
    materials.keep_botanical(desk, "Sweet gale", GALE, MORNING)
    line = material.weighed("sweet gale", 40, "40 g", library=desk.library)
    materials.forget_botanical(desk, "sweet gale", MORNING)
    assert material.known(line, desk.library) is None
    assert material.moisture_of(line, desk.library).value == load.class_defaults("leaf")[0].value


@pytest.mark.parametrize(
    ("known", "told"),
    [
        ({"ratio_min": 8.0, "ratio_max": 3.0}, "ratio max"),
        ({"days_min": 8.0, "days_typical": 3.0}, "days typical"),
        ({"days_max": 500.0}, "days max"),
        ({"taste_from_day": 9.0, "days_max": 3.0}, "days max"),
        ({"material_class": "stone"}, "class"),
        ({"strength_min": 0.6, "strength_max": 0.5}, "strength max"),
        ({"pungency": 4}, "pungency"),
        ({"use": "daily"}, "use"),
        ({"aliases": ("moor gale", "juniper")}, "also called: “juniper” means Juniper berries"),
        (
            {"aliases": ("gale" * 20, "heather" * 11, "ling" * 20, "x" * 80)},
            "also called: together",
        ),
        ({"moisture": 1.0}, "water percent"),
    ],
)
def test_what_does_not_fit_together_is_refused_and_nothing_is_kept(tmp_path, known, told):
    desk = desk_at(tmp_path)
    with pytest.raises(BadCatalogue, match=f"your botanical Bog herb, {told}"):
        materials.keep_botanical(desk, "Bog herb", said(**known), MORNING)
    assert own.botanicals(desk.store) == ()


def test_poison_numbers_out_of_range_and_empty_names_are_refused(tmp_path):
    desk = desk_at(tmp_path)
    with pytest.raises(OutOfRange):
        materials.keep_botanical(desk, "Bog herb", said(soluble=-0.1), MORNING)
    with pytest.raises(NotForDrinking):
        materials.keep_spirit(desk, "Denatured alcohol", 0.9)
    with pytest.raises(OutOfRange):
        materials.keep_spirit(desk, "Cellar spirit", 1.2)
    with pytest.raises(DeadlyPlant):
        materials.keep_botanical(desk, "Henbane seed", GALE, MORNING)
    with pytest.raises(DeadlyPlant):
        materials.keep_botanical(desk, "Granny's cap", said(latin="Aconitum napellus"), MORNING)
    with pytest.raises(UnknownMaterial):
        materials.keep_botanical(desk, "…", GALE, MORNING)
    assert own.spirits(desk.store) == ()


def test_a_spirit_is_kept_changed_and_forgotten(tmp_path):
    desk = desk_at(tmp_path)
    materials.keep_spirit(desk, "Cellar spirit", 0.55, "from the third shelf")
    assert desk.library.find_spirit("cellar spirit").strength == 0.55
    materials.keep_spirit(desk, "cellar spirit", 0.54)
    materials.keep_spirit(desk, "Vodka", 0.41)
    assert [(one.id, one.strength) for one in own.spirits(desk.store)] == [
        ("cellar-spirit", 0.54),
        ("vodka-40", 0.41),
    ]
    assert desk.library.find_spirit("vodka").source == "given by you"
    assert materials.forget_spirit(desk, "vodka") == "Vodka, 40 %"
    assert desk.library.find_spirit("vodka") == load.SHIPPED.find_spirit("vodka")
    with pytest.raises(UnknownMaterial):
        materials.forget_spirit(desk, "gin")


names = (
    st.text(min_size=1, max_size=40)
    .map(clean)
    .filter(lambda name: load.code_stem(name) != "JAR" and load.find(name) is None)
)
spans = st.lists(st.floats(0.5, 90), min_size=3, max_size=3).map(sorted)
owned = st.builds(
    lambda material_class, fresh, moisture, soluble, ratio, days: said(
        material_class=material_class,
        fresh=fresh,
        moisture=moisture,
        soluble=soluble,
        ratio_min=ratio[0],
        ratio_max=ratio[2],
        days_min=days[0],
        days_typical=days[1],
        days_max=days[2],
    ),
    st.sampled_from(load.classes()) | st.none(),
    st.booleans() | st.none(),
    st.floats(0, 0.99) | st.none(),
    st.floats(0, 0.99) | st.none(),
    spans,
    spans,
)


@settings(deadline=None, max_examples=25)
@given(names, owned)
def test_whatever_fits_together_comes_back_as_it_was_said(name, one):
    with tempfile.TemporaryDirectory() as folder:
        desk = desk_at(Path(folder))
        try:
            materials.keep_botanical(desk, name, one, MORNING)
        except (DeadlyPlant, NotForDrinking):
            return
        found = desk.library.find(name)
        (kept,) = own.botanicals(desk.store)
        assert replace(kept, id="", name="") == one
        assert found.id == kept.id
        assert found.ratio_min == pytest.approx(one.ratio_min)
        assert found.days_typical == pytest.approx(one.days_typical)
        if one.moisture is not None:
            assert found.moisture.value == pytest.approx(one.moisture)
            assert found.moisture.low <= found.moisture.value <= found.moisture.high < 1
        assert all(fact.source for fact in facts(desk.library, found))
        assert short(found)
        desk.store.close()
