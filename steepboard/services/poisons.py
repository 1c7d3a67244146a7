"""Names of spirit that nobody may drink, and of plants that kill."""

from __future__ import annotations

import functools
import re
import unicodedata
from collections.abc import Mapping
from typing import TYPE_CHECKING

from steepboard.catalogue.load import SHIPPED
from steepboard.catalogue.names import key
from steepboard.errors import DeadlyPlant, NotForDrinking
from steepboard.text import clean

if TYPE_CHECKING:
    from steepboard.catalogue.load import Botanical, Library
    from steepboard.domain.records import BotanicalLine

# Names, in the languages of most labels, under which ethanol unfit to drink, or no ethanol at all,
# is sold; from memory. Accents, case and punctuation are taken out before these are looked for.
_WORDS = (
    # made unfit to drink
    r"(?<!non )(?<!not )(?:ge)?denat\w*", r"desnatur\w*", r"(?<!nicht )vergae?llt\w*",
    r"skazon\w*", r"technick\w* lih", r"alko?hol techniczny",
    r"(?:industrial|technical|lab(?:oratory)?|cleaning|perfumer ?s?) (?:alcohol|spirits?|ethanol)",
    r"meths", r"ims", r"surgical spirits?",
    r"rubbing alcohol", r"brennspiritus", r"putzspiritus", r"brandspiritus", r"franzbranntwein",
    r"rod ?sprit", r"t sprit", r"husholdningss?prit", r"tekninen sprii",
    r"alcool (?:a bruler|modifie|menager|camphre|a friction|rosa)", r"alcool de limpeza",
    r"alcohol (?:de quemar|de curar|de farmacia|sanitario|desinfectante|industrial)",
    r"spirt (?:medicinal|sanitar|tehnic)", r"mavi ispirto",
    # other alcohols and solvents
    r"meth?[yi]l\w*", r"meth[ea]lat\w*", r"meth?anol\w*", r"carbinol", r"wood alcohol",
    r"wood naphtha", r"^wood spirits?", r"holzgeist", r"esprit de bois", r"trasprit",
    r"i[sz]o ?prop\w*", r"propanol\w*", r"propan \d ol", r"ipa", r"butanol", r"aceton[ae]?",
    r"ethylene glycol", r"antifreeze", r"white spirits?", r"mineral spirits?", r"turpentine",
    # for burning, cleaning, disinfecting
    r"fuel", r"bio ?[ae]th?anol", r"etanol combustivel", r"lamp oil", r"hand gel", r"alcool gel",
    r"hand saniti[sz]er", r"saniti[sz]er", r"disinfect\w*", r"desinfe[ck]\w*",
)  # fmt: skip
_POISONS = re.compile(rf"\b(?:{'|'.join(_WORDS)})\b")
_UNSPACED = (
    "денатур", "метанол", "метилов", "изопропил", "технический спирт", "μεθανολ", "μετουσιωμεν",
    "ισοπροπυλ", "φωτιστικο οινοπνευμα", "メタノール", "変性アルコール", "イソプロ",
    "燃料用アルコール", "甲醇", "变性", "變性", "异丙醇", "異丙醇", "工业酒精", "工業酒精",
)  # fmt: skip
DEADLY = "DEADLY"
"""The caution of plants that are refused."""
_BEER = frozenset({"ale", "beer", "hop", "hops", "hopped", "malt"})
"""Beside one of these, IPA is a beer."""


def refuse_poison(name: str) -> None:
    """Raise `NotForDrinking` where a name is one of spirit that nobody may drink."""
    words = _plain(clean(name, len(name)))
    for found in _POISONS.finditer(words):
        if found[0] != "ipa" or _BEER.isdisjoint(words.split()):
            raise NotForDrinking(name, found[0])
    for word in _UNSPACED:
        if _plain(word) in words:
            raise NotForDrinking(name, word)


def refuse_deadly(*names: str) -> None:
    """Raise `DeadlyPlant` where the name of a plant that kills stands in one of these.

    Plants are those that are shipped with the caution DEADLY: a file of one's own adds to them by
    that caution alone, and takes none away.
    """
    known, wanted = _deadly()
    for name in names:
        if found := wanted.search(key(clean(name, len(name)))):
            plant = known[found[1]]
            raise DeadlyPlant(name, plant.name, plant.latin)


def refuse_plant(line: BotanicalLine, library: Library) -> None:
    """Raise `DeadlyPlant` where a botanical kills, by its name or by what the shelf says of it."""
    found = library.find(line.catalogue_id) if line.catalogue_id else None
    called = (found.id, found.name, found.latin, *found.aliases) if found else ()
    refuse_deadly(line.name, *called)
    if found and DEADLY in found.cautions:
        raise DeadlyPlant(line.name, found.name, found.latin)


@functools.cache
def _deadly() -> tuple[Mapping[str, Botanical], re.Pattern[str]]:
    """Return each name of a plant that kills, and what finds them, one or many, in a text."""
    books = SHIPPED.books
    known = {
        key(name): plant
        for id_, plant in books.botanicals.items()
        if DEADLY in plant.cautions
        for name in books.called[id_]
    }
    longest_first = sorted(known, key=len, reverse=True)
    return known, re.compile(rf"\b({'|'.join(longest_first)})(?:e?s)?\b")


def _plain(text: str) -> str:
    """Return the words of a text, without case, accents and punctuation."""
    letters = unicodedata.normalize("NFKD", text.casefold())
    return " ".join(re.findall(r"[^\W_]+", "".join(c for c in letters if not _is_accent(c))))


def _is_accent(character: str) -> bool:
    return unicodedata.combining(character) > 0
