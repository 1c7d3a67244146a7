"""Spirit that nobody may drink and plants that kill, by the names they go under."""

from __future__ import annotations

import pytest

from steepboard.catalogue.load import SHIPPED
from steepboard.errors import DeadlyPlant, NotForDrinking
from steepboard.services.poisons import DEADLY, refuse_deadly, refuse_poison

POISONS = [
    *("denatured alcohol", "Denaturated ethanol", "completely denatured", "DENAT", "denatonium"),
    *("methylated spirit", "methylated spirits", "Methelated spirit", "meths", "IMS 99"),
    *("methanol", "Methyl alcohol", "methyl-hydrate", "metanol", "wood alcohol", "Wood spirit"),
    *("isopropyl", "Isopropanol 70", "iso-propyl alcohol", "isoproply", "IPA", "IPA 99%"),
    *("2-propanol", "propan-2-ol", "n-propanol", "rubbing alcohol", "surgical spirit"),
    *("white spirit", "mineral spirits", "bioethanol", "bio-ethanol for fireplaces", "stove fuel"),
    *("lab alcohol", "laboratory ethanol", "industrial spirit", "perfumer's alcohol", "acetone"),
    *("hand gel", "hand sanitizer", "hand sanitiser", "ethylene glycol", "antifreeze"),
    *("Brennspiritus", "vergällter Alkohol", "Ethanol, vergaellt", "Isopropylalkohol"),
    *("Methylalkohol", "Holzgeist", "Desinfektionsmittel", "Franzbranntwein"),
    *("alcool à brûler", "ALCOOL A BRULER", "alcool dénaturé", "alcool ménager", "esprit de bois"),
    *("alcool méthylique", "alcool isopropylique", "alcool modifié"),
    *("alcohol desnaturalizado", "alcohol de quemar", "alcohol metílico", "alcohol isopropílico"),
    *("alcool denaturato", "alcol denaturato", "metanolo", "álcool desnaturado", "álcool gel"),
    *("gedenatureerde alcohol", "brandspiritus", "denatureret sprit", "denaturerad", "T-sprit"),
    *("rödsprit", "denaturoitu", "denaturat", "spirytus skażony", "alkohol metylowy"),
    *("izopropanol", "denaturovaný líh", "technický líh", "denaturált szesz", "spirt sanitar"),
    *("mavi ispirto", "денатурат", "метиловый спирт", "изопропиловый", "μεθανόλη"),
    *("μετουσιωμένη αλκοόλη", "メタノール", "イソプロパノール", "甲醇", "工业酒精", "變性酒精"),
    *("ｍｅｔｈａｎｏｌ", "meth\u200banol", "\u202emethanol", "me\u0301thanol"),
]

DRINKS = [
    *("neutral spirit", "white rum", "Pale ale distillate", "IPA cask ale brandy", "IPA, hopped"),
    *("Refuelled by rail, Ipanema rum", "undenatured grain spirit", "non-denatured ethanol"),
    *("unvergällter Weingeist", "Primasprit", "Kornbrand", "Spirytus rektyfikowany", "alcool pur"),
    *("alcool surfin", "alcool bon goût", "alcohol de caña", "aguardiente", "Obstler", "marc"),
    *("oakwood spirit", "cherry wood spirit", "mineral water", "mint spirit", "vermouth", "water"),
    *(
        "Williams pear",
        "spirit, rectified 96 %",
        "étanol? no: éthanol alimentaire",
        "麦焼酎",
        "白酒",
    ),
    *("водка", "τσίπουρο", "overproof rum 63 %", "", "   "),
]


@pytest.mark.parametrize("name", POISONS)
def test_a_poison_is_refused_under_each_of_its_names(name):
    with pytest.raises(NotForDrinking, match="sold for drinking"):
        refuse_poison(name)


@pytest.mark.parametrize("name", DRINKS)
def test_a_drink_is_not_taken_for_a_poison(name):
    refuse_poison(name)


@pytest.mark.parametrize(
    ("name", "plant"),
    [
        ("foxglove", "Foxglove"),
        ("Foxgloves, dried", "Foxglove"),
        ("leaf of DIGITALIS purpurea", "Foxglove"),
        ("wolf's-bane root", "Monkshood"),
        ("Aconite", "Monkshood"),
        ("yew berries", "Yew"),
        ("taxus baccata tips", "Yew"),
        ("water hemlock", "Water hemlock"),
        ("poison hemlock seed", "Hemlock"),
        ("Cicuta", "Water hemlock"),
        ("hemlock water-dropwort", "Water dropwort"),
        ("belladonna", "Deadly nightshade"),
        ("black henbane", "Henbane"),
        ("thorn apple", "Thornapple"),
        ("datura flower", "Thornapple"),
        ("oleander leaves", "Oleander"),
        ("meadow saffron", "Autumn crocus"),
        ("Lily-of-the-valley", "Lily of the valley"),
        ("laburnum pods", "Laburnum"),
        ("azaleas", "Rhododendron"),
        ("Veratrum album root", "False hellebore"),
        ("white snakeroot", "White snakeroot"),
    ],
)
def test_a_plant_that_kills_is_refused_under_each_of_its_names(name, plant):
    with pytest.raises(DeadlyPlant, match="belongs in a drink") as fault:
        refuse_deadly(name)
    assert fault.value.plant == plant


TRADE = [one for one in SHIPPED.all_botanicals() if DEADLY not in one.cautions]


def test_no_plant_of_the_trade_is_taken_for_one_that_kills():
    for one in TRADE:
        refuse_deadly(one.id, one.name, one.latin, *one.aliases)


@pytest.mark.parametrize(
    "name", ["saffron", "crocus tea", "few", "laurel leaf", "jasmine", "apple", "snakes", "gloves"]
)
def test_a_name_that_only_sounds_like_it_is_taken(name):
    refuse_deadly(name)


def test_a_plant_that_kills_has_no_figure_for_its_use():
    deadly = [one for one in SHIPPED.all_botanicals() if DEADLY in one.cautions]
    assert deadly
    for one in deadly:
        known = (one.ratio_min, one.strength_min, one.days_min, one.days_typical, one.days_max)
        assert known == (None,) * 5
        assert one.use == "never"
        assert one.cautions_source.startswith("from memory: common knowledge of toxicology")


def test_a_poison_is_found_at_the_end_of_a_very_long_name():
    with pytest.raises(NotForDrinking):
        refuse_poison("spirit " * 200 + "denatured")
