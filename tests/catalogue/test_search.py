"""Names are found by a part, by Latin, and in spite of a slip; what is near is only offered."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.catalogue import load
from steepboard.catalogue.books import Books
from steepboard.catalogue.load import SHIPPED, Library
from steepboard.domain.own import OwnBotanical

ALL = load.all_botanicals()


def first(text: str) -> str | None:
    found = SHIPPED.search(text, 1)
    return found[0].id if found else None


@pytest.mark.parametrize(
    ("typed", "id_"),
    [
        ("jiniper", "juniper"),
        ("junper", "juniper"),
        ("juinper", "juniper"),
        ("carraway", "caraway"),
        ("corriander seed", "coriander"),
        ("licorise", "liquorice"),
        ("camomille", "chamomile"),
        ("lavendar", "lavender"),
        ("rosmary", "rosemary"),
        ("vanila", "vanilla"),
        ("sasparilla", "sarsaparilla"),
        ("Carum carvi", "caraway"),
        ("humulus", "hops"),
        ("lupulus", "hops"),
        ("Iris germanica", "orris"),
        ("Picrasma", "quassia"),
        ("celery", "celery-seed"),
        ("elder flower", "elderflower"),
    ],
)
def test_a_slip_a_part_or_the_latin_name_is_enough(typed: str, id_: str) -> None:
    assert first(typed) == id_


@pytest.mark.parametrize("botanical", ALL, ids=lambda botanical: botanical.id)
def test_each_is_found_first_by_its_name_and_with_one_letter_missing(botanical) -> None:
    assert first(botanical.name) == botanical.id
    short = botanical.name[:2] + botanical.name[3:]
    if len(short) > 3:  # of less, nothing can be told
        assert botanical.id in {one.id for one in SHIPPED.search(short, 5)}
    if botanical.latin != "several":
        assert botanical.id in {one.id for one in SHIPPED.search(botanical.latin.split(",")[0], 9)}


@pytest.mark.parametrize("typed", ["lemon", "jiniper", "Carum carvi", "pepper", "gentia"])
def test_what_is_only_near_is_offered_and_not_taken(typed: str) -> None:
    assert load.find(typed) is None
    assert SHIPPED.near(typed)


@pytest.mark.parametrize("typed", ["", "  ", "xy", "qwertz", "[/b]", "茶"])
def test_nothing_is_offered_for_what_is_near_nothing(typed: str) -> None:
    assert SHIPPED.near(typed) == ()


def test_without_a_text_the_first_by_name_are_listed() -> None:
    assert SHIPPED.search("", 3) == ALL[:3]
    assert len(SHIPPED.search("e", 500)) > 50


def test_one_without_a_latin_name_is_searched_too() -> None:
    gale = OwnBotanical("sweet-gale", "Sweet gale", material_class="leaf")
    library = Library(Books(own_botanicals=(gale,)))
    assert library.search("jiniper", 1)[0].id == "juniper"
    assert library.search("sweat gale", 1)[0].id == "sweet-gale"


def test_a_spirit_is_found_in_the_same_way() -> None:
    assert SHIPPED.find_spirit("Vodka").id == "vodka-40"
    assert SHIPPED.find_spirit("rum") is None
    assert {one.id for one in SHIPPED.search_spirits("rum")} >= {"white-rum-40", "dark-rum-40"}
    assert SHIPPED.search_spirits("wiskey")[0].id.startswith(("whisky", "rye", "bourbon"))


@settings(deadline=None, max_examples=50)
@given(st.text(max_size=30))
def test_any_text_can_be_searched(text: str) -> None:
    found = SHIPPED.search(text, 7)
    assert len(found) == len(set(found)) <= 7
