from __future__ import annotations

import subprocess
import sys
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.catalogue import load
from steepboard.catalogue.load import Botanical, Sourced
from steepboard.domain.records import Separation
from steepboard.settings import load as read_settings

ALL = load.all_botanicals()
STANDINGS = ("published", "common practice", "from memory", "assumed")


@pytest.mark.parametrize(
    ("typed", "id_"),
    [
        ("caraway", "caraway"),
        ("Caraway Seed", "caraway"),
        ("  CARAWAY\tseeds ", "caraway"),
        ("Juniper", "juniper"),
        ("seville orange peel", "bitter-orange-peel"),
        ("bitter orange", "bitter-orange-peel"),
        ("bitter-orange-peel", "bitter-orange-peel"),
        ("sour cherry, dried", "sour-cherry"),
        ("dried sour cherries", "sour-cherry"),
        ("licorice", "liquorice"),
        ("lémon zest", "lemon-zest"),
        ("Rhubarb root", "rhubarb"),
    ],
)
def test_a_botanical_is_found_by_id_name_or_alias(typed: str, id_: str) -> None:
    found = load.find(typed)
    assert found is not None
    assert found.id == id_


@pytest.mark.parametrize("typed", ["", "  ", "rose", "orange", "nettle", "fresh", "[/b]"])
def test_an_unknown_or_half_name_finds_nothing(typed: str) -> None:
    assert load.find(typed) is None


@pytest.mark.parametrize("typed", ["red", "star", "lemon peel", "orange peel", "sour"])
def test_a_name_that_can_mean_something_else_finds_nothing(typed: str) -> None:
    assert load.find(typed) is None


def test_what_is_known_of_the_other_state_only_is_not_returned() -> None:
    assert load.find("rosemary", fresh=True) is None
    assert load.find("lemon zest", fresh=False) is None
    assert load.find("rosemary", fresh=False) == load.find("rosemary")
    assert load.find("lemon zest", fresh=True) == load.find("lemon zest")
    assert load.find("nettle", fresh=True) is None


@settings(deadline=None)
@given(st.text(max_size=30))
def test_any_name_is_looked_up_and_gives_a_stem(name: str) -> None:
    load.find(name)
    stem = load.code_stem(name)
    assert 2 <= len(stem) <= 4
    assert stem.isascii()
    assert stem.isalpha()
    assert stem.isupper()


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Caraway seed", "CARA"),
        ("orange peel", "ORAN"),
        ("Épine-vinette", "EPIN"),
        ("bay leaf", "BAYL"),
        ("ño", "NO"),
        ("5 x", "JAR"),
        ("茶", "JAR"),
        ("", "JAR"),
    ],
)
def test_a_code_stem_has_letters_that_fit_on_tape(name: str, stem: str) -> None:
    assert load.code_stem(name) == stem


@pytest.mark.parametrize("botanical", ALL, ids=lambda botanical: botanical.id)
def test_every_figure_is_in_order_and_has_a_source(botanical: Botanical) -> None:
    for figure in (botanical.moisture, botanical.soluble):
        assert 0 <= figure.low < figure.value < figure.high < 1
        assert figure.source.startswith(STANDINGS)
    if botanical.use != "never":
        assert 0 < botanical.ratio_min < botanical.ratio_max
        assert 0 < botanical.strength_min < botanical.strength_max < 1
        assert 0 < botanical.days_min < botanical.days_typical < botanical.days_max
        assert 0 < botanical.taste_from_day <= botanical.days_typical
    assert botanical.material_class in load.classes()
    assert botanical.preparation.endswith(".")
    assert all(load.caution(code) for code in botanical.cautions)


def test_no_name_stands_for_two_botanicals() -> None:
    names = Counter(name.casefold() for b in ALL for name in {b.id, b.name.casefold(), *b.aliases})
    assert [name for name, times in names.items() if times > 1] == []


@pytest.mark.parametrize("botanical", ALL, ids=lambda botanical: botanical.id)
def test_a_soluble_part_of_its_own_lies_in_the_span_of_its_class(botanical: Botanical) -> None:
    if botanical.id in ("saffron", "hibiscus"):  # stigma and calyx, which are little but colour
        return
    span = load.class_defaults(botanical.material_class, botanical.fresh)[1]
    assert span.low <= botanical.soluble.low + 0.005
    assert botanical.soluble.high <= span.high + 0.005


@pytest.mark.parametrize("material_class", load.classes())
@pytest.mark.parametrize("fresh", [False, True])
def test_every_class_works_without_a_botanical(material_class: str, fresh: bool) -> None:
    for figure in load.class_defaults(material_class, fresh):
        assert 0 < figure.low < figure.value < figure.high < 1
        assert figure.source.startswith(STANDINGS)
    held = [load.absorption(material_class, way, fresh) for way in Separation]
    assert [prior.per_dry for prior in held] == [not fresh] * 3
    assert all(0 < prior.sd < prior.mean for prior in held)
    assert all(prior.source.startswith(STANDINGS) for prior in held)
    dripped, by_hand, pressed = (prior.mean for prior in held)
    assert dripped > by_hand > pressed
    assert load.class_label(material_class)


def test_the_prior_of_a_wrung_root_lies_by_the_published_weighing() -> None:
    # Moore, tincture notes: 4 oz (113.4 g) of powdered root in 20 fl oz of 60 % gave 13 to 14
    # fl oz wrung by hand, 17 pressed; 1 fl oz is 29.57 mL.
    wrung = load.absorption("powdered root", Separation.HAND)
    assert 6 * 29.57 / 113.4 < wrung.mean < 7 * 29.57 / 113.4
    pressed = load.absorption("powdered root", Separation.PRESS)
    assert pressed.mean == pytest.approx(3 * 29.57 / 113.4, abs=pressed.sd)


@pytest.mark.parametrize("kind", ["leaf", "flower", "root", "fruit", "peel", "other"])
def test_what_is_known_fresh_is_not_called_dried(kind: str) -> None:
    label = load.class_label(kind, fresh=True)
    assert "fresh" in label
    assert "dried" not in label


def test_unknown_material_counts_as_other() -> None:
    assert load.class_defaults("moss") == load.class_defaults("other")
    assert load.absorption("sources", Separation.DRIP) == load.absorption("other", Separation.DRIP)
    assert load.classes()[-1] == "other"


def test_uncertainty_of_a_range_is_that_of_the_gum() -> None:
    # JCGM 100:2008, 4.3.7, example 2: 16.52 within 0.40 has a standard uncertainty of 0.23.
    assert load.uniform_u(16.52, 16.12, 16.92) == pytest.approx(0.23, abs=0.002)
    assert Sourced(16.52, 16.12, 16.92, "published").u == pytest.approx(0.23, abs=0.002)


def test_a_value_off_the_middle_is_the_less_certain() -> None:
    # By hand: from 0 to 6 around 1 the mean square of what may be wrong is (125 + 1) / 3 / 6 = 7.
    assert load.uniform_u(1.0, 0.0, 6.0) == pytest.approx(7**0.5)
    assert load.uniform_u(5.0, 0.0, 6.0) == pytest.approx(7**0.5)
    # At the end of a range that is the width over the root of 3.
    assert load.uniform_u(0.0, 0.0, 6.0) == pytest.approx(6 / 3**0.5)


@pytest.mark.parametrize("code", ["QUININE", "THUJONE", "MISID", "STARANISE"])
def test_a_limit_or_a_poison_needs_acknowledging(code: str) -> None:
    assert load.caution(code).needs_acknowledging


@pytest.mark.parametrize("code", ["PUNGENT", "PREG", "FLAM", "NONPOT", "HEAT"])
def test_a_hint_or_a_rule_for_every_jar_needs_no_acknowledging(code: str) -> None:
    assert not load.caution(code).needs_acknowledging


def test_an_unknown_caution_is_an_error() -> None:
    with pytest.raises(KeyError):
        load.caution("NOSUCH")


def codes(strength: float, fresh: bool, end: float | None, keeps: float = 0.2) -> list[str]:
    return [found.code for found in load.situation_cautions(strength, fresh, end, keeps)]


def test_every_situation_warns_of_poison_first_and_names_local_rules() -> None:
    found = codes(0.0, False, None)
    assert found[:2] == ["NONPOT", "GRADE"]
    assert "LICENCE" in found
    assert "FLAM" not in found


@pytest.mark.parametrize(
    ("strength", "burns"),
    # Published: GHS/CLP counts a flash point up to 60 °C as flammable; the list of flash points has
    # 62 °C at 5 % and 49 °C at 10 %.
    [(0.0, False), (0.05, False), (0.06, True), (0.1, True), (0.15, True), (0.45, True)],
)
def test_a_spirit_that_can_catch_fire_has_its_cautions(strength: float, burns: bool) -> None:
    found = codes(strength, False, None)
    assert ("FLAM" in found, "HEAT" in found) == (burns, burns)


def test_water_from_the_plant_is_told_only_of_fresh_material() -> None:
    assert "LOWABV" in codes(0.5, True, None)
    assert "LOWABV" in codes(0.5, True, 0.45)
    assert "LOWABV" not in codes(0.15, False, 0.15)


@pytest.mark.parametrize(
    ("end", "keeps", "weak"),
    [(0.19, 0.2, True), (0.2, 0.2, False), (0.24, 0.25, True), (0.19, 0.18, False)],
)
def test_a_weak_end_is_told_by_the_figure_of_the_house(
    end: float, keeps: float, weak: bool
) -> None:
    found = codes(0.4, False, end, keeps)
    assert ("WEAK" in found, "PRESSURE" in found) == (weak, weak)


def test_the_house_keeps_what_is_published_to_keep() -> None:
    # Gini and Vaughn 1962: a wine bacterium bore 20 % by volume.
    assert read_settings().arithmetic.keeps_strength == 0.2
    assert codes(0.4, False, 0.199) == codes(0.4, False, 0.199, 0.2)
    assert load.situation_cautions(0.4, False, 0.199) != load.situation_cautions(0.4, False, 0.2)


def test_cautions_come_gravest_first() -> None:
    order = ["stop", "limit", "warn", "note"]
    found = [order.index(found.severity) for found in load.situation_cautions(0.5, True, 0.1)]
    assert found == sorted(found)


def test_the_catalogue_loads_without_the_slow_libraries() -> None:
    code = (
        "import sys; from steepboard.catalogue import load; load.find('caraway')\n"
        "slow = {'pint', 'textual', 'apscheduler', 'sqlite_utils', 'uncertainties'}\n"
        "assert not slow & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
