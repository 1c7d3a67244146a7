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

ALL = load.all_botanicals()
STANDINGS = ("published", "common practice", "from memory", "assumed")


@pytest.mark.parametrize(
    ("typed", "id_"),
    [
        ("caraway", "caraway"),
        ("Caraway Seed", "caraway"),
        ("  CARAWAY\tseeds ", "caraway"),
        ("Juniper", "juniper"),
        ("orange peel", "bitter-orange-peel"),
        ("bitter orange", "bitter-orange-peel"),
        ("bitter-orange-peel", "bitter-orange-peel"),
        ("sour cherry, dried", "sour-cherry"),
        ("dried sour cherries", "sour-cherry"),
        ("licorice", "liquorice"),
        ("lémon zest", "lemon-zest"),
        ("star", "star-anise"),
    ],
)
def test_a_botanical_is_found_by_id_name_alias_or_first_words(typed: str, id_: str) -> None:
    found = load.find(typed)
    assert found is not None
    assert found.id == id_


@pytest.mark.parametrize("typed", ["", "  ", "rose", "orange", "nettle", "fresh", "[/b]"])
def test_an_unknown_half_or_ambiguous_name_finds_nothing(typed: str) -> None:
    assert load.find(typed) is None


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


@pytest.mark.parametrize(
    ("id_", "percent"),
    [  # USDA National Nutrient Database, Standard Reference 26 (2013), water in g per 100 g
        ("caraway", 9.87),
        ("coriander", 8.86),
        ("fennel", 8.81),
        ("celery-seed", 6.04),
        ("black-pepper", 12.46),
        ("allspice", 8.46),
        ("clove", 9.87),
        ("bay", 5.44),
        ("rosemary", 9.31),
        ("lemon-zest", 81.60),
        ("orange-zest", 72.50),
    ],
)
def test_moistures_are_the_published_ones(id_: str, percent: float) -> None:
    botanical = load.find(id_)
    assert botanical is not None
    assert botanical.moisture.value == pytest.approx(percent / 100)
    assert botanical.moisture.source.startswith("published: USDA")


@pytest.mark.parametrize("botanical", ALL, ids=lambda botanical: botanical.id)
def test_every_figure_is_in_order_and_has_a_source(botanical: Botanical) -> None:
    for figure in (botanical.moisture, botanical.soluble):
        assert 0 <= figure.low < figure.value < figure.high < 1
        assert figure.source.startswith(STANDINGS)
    assert 0 < botanical.ratio_min < botanical.ratio_max
    assert 0 < botanical.days_min < botanical.days_typical < botanical.days_max
    assert 0 < botanical.taste_from_day <= botanical.days_typical
    assert botanical.ratio_source.startswith(STANDINGS)
    assert botanical.days_source.startswith(STANDINGS)
    assert botanical.material_class in load.classes()
    assert botanical.preparation.endswith(".")
    assert all(load.caution(code) for code in botanical.cautions)


def test_no_name_stands_for_two_botanicals() -> None:
    names = Counter(name.casefold() for b in ALL for name in {b.id, b.name.casefold(), *b.aliases})
    assert [name for name, times in names.items() if times > 1] == []


@pytest.mark.parametrize("botanical", ALL, ids=lambda botanical: botanical.id)
def test_a_soluble_part_of_its_own_lies_in_the_span_of_its_class(botanical: Botanical) -> None:
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


def test_unknown_material_counts_as_other() -> None:
    assert load.class_defaults("moss") == load.class_defaults("other")
    assert load.absorption("sources", Separation.DRIP) == load.absorption("other", Separation.DRIP)
    assert load.classes()[-1] == "other"


def test_uncertainty_of_a_range_is_that_of_the_gum() -> None:
    # JCGM 100:2008, 4.3.7, example 2: 16.52 within 0.40 has a standard uncertainty of 0.23.
    assert load.uniform_u(16.12, 16.92) == pytest.approx(0.23, abs=0.002)
    assert Sourced(16.52, 16.12, 16.92, "published").u == pytest.approx(0.23, abs=0.002)


@pytest.mark.parametrize("code", ["QUININE", "THUJONE", "MISID", "STARANISE"])
def test_a_limit_or_a_poison_needs_acknowledging(code: str) -> None:
    assert load.caution(code).needs_acknowledging


@pytest.mark.parametrize("code", ["PUNGENT", "PREG", "FLAM", "NONPOT", "HEAT"])
def test_a_hint_or_a_rule_for_every_jar_needs_no_acknowledging(code: str) -> None:
    assert not load.caution(code).needs_acknowledging


def test_an_unknown_caution_is_an_error() -> None:
    with pytest.raises(KeyError):
        load.caution("NOSUCH")


def codes(strength: float, fresh: bool, end_strength: float | None) -> list[str]:
    return [found.code for found in load.situation_cautions(strength, fresh, end_strength)]


def test_every_situation_warns_of_poison_first_and_names_local_rules() -> None:
    found = codes(0.0, False, None)
    assert found[0] == "NONPOT"
    assert "LICENCE" in found
    assert "FLAM" not in found


def test_spirit_fresh_material_and_a_weak_end_each_add_their_caution() -> None:
    assert {"FLAM", "HEAT"} <= set(codes(0.45, False, 0.43))
    assert "LOWABV" not in codes(0.45, False, 0.43)
    assert "LOWABV" in codes(0.5, True, None)
    assert "LOWABV" in codes(0.4, False, 0.29)
    assert "PRESSURE" not in codes(0.4, True, 0.29)
    assert "PRESSURE" in codes(0.4, True, 0.19)


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
