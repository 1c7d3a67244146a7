"""What to mind with a charge: cautions to be read first, dose sums, what the diary keeps."""

from __future__ import annotations

from dataclasses import replace

import pytest

from steepboard.catalogue.cautions import caution
from steepboard.catalogue.load import all_botanicals
from steepboard.domain import limits
from steepboard.domain.own import OwnBotanical
from steepboard.errors import NeedsAcknowledging, NotForDrinking
from steepboard.services import acts, cautions, material, materials, plans, views, why_cautions
from steepboard.services.details import details
from steepboard.services.plans import Wish
from steepboard.settings import load
from tests.shelves import MORNING, desk_at, order, spirit

USED = [plant for plant in all_botanicals() if "DEADLY" not in plant.cautions]  # others: refused
BINDING = [plant for plant in USED if any(
    caution(code).needs_acknowledging for code in plant.cautions
)]  # fmt: skip


def weighed(*names, mass_g=20.0, **known):
    return tuple(material.weighed(name, mass_g, f"{mass_g:g} g", **known) for name in names)


def read(botanicals):
    return tuple(found.code for found in cautions.to_read(botanicals))


def charged(desk, *names, mass_g=20.0, **changes):
    lines = weighed(*names, mass_g=mass_g)
    asked = order(botanicals=lines, acknowledged=read(lines), **changes)
    return acts.charge(desk, asked, MORNING)


@pytest.mark.parametrize("plant", BINDING, ids=lambda plant: plant.id)
def test_every_grave_caution_is_asked_for_before_a_jar_is_charged(tmp_path, plant):
    desk = desk_at(tmp_path)
    lines = weighed(plant.name)
    with pytest.raises(NeedsAcknowledging) as asked:
        acts.charge(desk, order(botanicals=lines), MORNING)
    assert views.all_jars(desk) == ()
    for code in plant.cautions:
        if caution(code).needs_acknowledging:
            assert caution(code).text in str(asked.value)
            assert caution(code).figures in str(asked.value)


@pytest.mark.parametrize("plant", [p for p in USED if p.use == "never"], ids=lambda plant: plant.id)
def test_what_is_listed_only_to_say_no_says_no_first(tmp_path, plant):
    with pytest.raises(NeedsAcknowledging, match="Leave this one out"):
        acts.charge(desk_at(tmp_path), order(botanicals=weighed(plant.name)), MORNING)


@pytest.mark.parametrize("name", ["fireweed", "a root from the meadow"])
def test_of_a_plant_that_is_not_known_it_is_said_that_nothing_is(tmp_path, name):
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(name), MORNING)  # it does not stand in the way
    assert "UNLISTED" in {found.code for found in details(desk, jar).cautions}
    materials.keep_botanical(desk, name, OwnBotanical("", "", material_class="leaf"), MORNING)
    known = acts.charge(desk, order(name), MORNING)
    assert "UNLISTED" in {found.code for found in details(desk, known).cautions}
    caraway = acts.charge(desk, order("caraway"), MORNING)
    assert "UNLISTED" not in {found.code for found in details(desk, caraway).cautions}


def test_a_jar_of_several_plants_asks_for_the_cautions_of_each_at_once(tmp_path):
    lines = weighed("quassia", "caraway", "liquorice")
    with pytest.raises(NeedsAcknowledging) as asked:
        acts.charge(desk_at(tmp_path), order(botanicals=lines), MORNING)
    assert caution("QUASSIN").text in str(asked.value)
    assert caution("GLYCYRR").text in str(asked.value)
    assert "Quassia wood, Liquorice root" in str(asked.value)
    half = order(botanicals=lines, acknowledged=("QUASSIN",))
    with pytest.raises(NeedsAcknowledging, match="Liquorice"):
        acts.charge(desk_at(tmp_path), half, MORNING)


def test_what_is_to_be_read_of_several_plants_names_the_one_that_it_is_of():
    """Angelica is mistaken for deadly plants, orange peel is not: who reads is told which."""
    (said,) = cautions.to_read(weighed("bitter orange peel", "angelica root"))
    assert said.title == "Be sure of the plant: Angelica root"
    (said,) = cautions.to_read(weighed("angelica root"))
    assert said.title == "Be sure of the plant"


def test_the_diary_keeps_what_was_read_by_whom_and_when(tmp_path):
    desk = replace(desk_at(tmp_path), initials="MB")
    jar = charged(desk, "quassia", "liquorice")
    (entry,) = views.diary(desk, jar)
    assert set(entry.acknowledged) == {"QUASSIN", "GLYCYRR"}
    assert (entry.initials, entry.at) == ("MB", MORNING)
    acts.undo(desk, jar.code, MORNING)
    first, last = views.diary(desk, jar)
    assert first.undone
    assert set(first.acknowledged) == {"QUASSIN", "GLYCYRR"}
    assert last.acknowledged == ()


def test_a_code_that_the_catalogue_no_longer_has_is_shown_as_it_is():
    assert cautions.titles(("QUASSIN", "GONE")) == f"{caution('QUASSIN').title}, GONE"


def test_the_dose_of_a_jar_goes_by_what_was_bottled(tmp_path):
    desk = desk_at(tmp_path)
    jar = charged(desk, "quassia")
    (made,) = details(desk, jar).doses
    expected_ml = details(desk, jar).expected.expected_ml
    # 20 g, up to 3 mg in each, 20 mL in a litre: 1200 mg × mL spread over what is bottled.
    assert made.mg_per_l * expected_ml == pytest.approx(1200)
    assert made.dose_ml_per_l == desk.settings.arithmetic.dose_ml_per_l == 20
    assert limits.finding(made).severity == "stop"


def test_a_plan_has_the_same_sum_as_the_jar_that_is_charged_by_it(tmp_path):
    desk = desk_at(tmp_path)
    made = plans.make(desk.settings, Wish(0.45, "quassia", have_g=20))
    asked = replace(made.order, acknowledged=read(made.order.botanicals))
    (planned,), (kept,) = made.doses, details(desk, acts.charge(desk, asked, MORNING)).doses
    assert kept.mg_per_l == pytest.approx(planned.mg_per_l, rel=0.01)


def test_a_plant_with_the_caution_but_without_a_figure_is_named(tmp_path):
    desk = desk_at(tmp_path)
    (made,) = details(desk, charged(desk, "yarrow")).doses
    assert made.mg_per_l is None
    assert "No figure for thujone in Yarrow" in limits.finding(made).text


def test_a_jar_without_limited_substances_has_no_sum(tmp_path):
    desk = desk_at(tmp_path)
    jar = charged(desk, "caraway")
    assert details(desk, jar).doses == ()
    codes = {found.code for found in details(desk, jar).cautions}
    assert not codes & {"ESSOIL", "NOTADDED"}


def test_fresh_soft_herbs_have_a_caution_and_fresh_peel_has_not():
    def codes(name, **known):
        made = plans.make(load(), Wish(0.6, name, have_g=20, **known))
        return {found.code for found in made.cautions}

    assert "FRESHSOFT" in codes("fresh mint")
    assert "FRESHSOFT" in codes("sea rocket", material_class="leaf", fresh=True)
    assert "FRESHSOFT" not in codes("lemon zest")
    assert "FRESHSOFT" not in codes("rosemary")


def test_a_poison_is_refused_wherever_a_spirit_is_named(tmp_path):
    desk = desk_at(tmp_path)
    poison = spirit(name="alcool à brûler")
    with pytest.raises(NotForDrinking):
        acts.charge(desk, order(spirits=(poison,)), MORNING)
    with pytest.raises(NotForDrinking):
        acts.plan(desk, order(spirits=(spirit(), poison)), MORNING)
    with pytest.raises(NotForDrinking):
        plans.make(desk.settings, Wish(0.45, have_g=20, spirit_name="Brennspiritus"))
    with pytest.raises(NotForDrinking):
        plans.make(desk.settings, Wish(0.45, "isopropanol", have_g=20))
    assert views.all_jars(desk) == ()


@pytest.mark.parametrize("name", ["\x1b[31mquassia\x1b[0m", "[b]$name[/b]", "x" * 80, "\u202eq"])
def test_hostile_names_go_through_the_sums_unharmed(tmp_path, name):
    desk = desk_at(tmp_path)
    line = replace(weighed("quassia")[0], name=name)
    jar = acts.charge(desk, order(botanicals=(line,), acknowledged=("QUASSIN",)), MORNING)
    assert [made.substance for made in details(desk, jar).doses] == ["quassin"]


def test_the_allergens_of_a_jar_are_named_with_what_brings_them():
    """Of several plants in one jar it is told which allergen is to be named, and whose it is."""
    lines = weighed("celery seed", "bitter orange peel", "mustard seed")
    (said,) = (c for c in cautions.own_cautions(lines) if c.code == "ALLERGEN_EU")
    assert said.title == (
        "Allergen to be named in the EU: celery (Celery seed), mustard (Mustard seed)"
    )
    (alone,) = (c for c in cautions.own_cautions(lines[:1]) if c.code == "ALLERGEN_EU")
    assert alone.title == "Allergen to be named in the EU: celery"


def test_the_answer_of_a_limited_substance_has_no_more_digits_than_its_sentence():
    """Three digits, as everywhere."""
    share = limits.Share("cinchona bark", 20.0, 30.0, "invented for the test")
    made = limits.dose_sum("quinine", [share], 250.0, 3.14015, [])
    assert "3.14 mL in a litre" in limits.finding(made).text
    (answer,) = why_cautions.of_doses([made])
    assert "the dose of 3.14 mL for each litre" in answer.rule
