"""Names of spirit that nobody may drink."""

from __future__ import annotations

import re
import unicodedata

from steepboard.errors import NotForDrinking
from steepboard.text import clean

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


def _plain(text: str) -> str:
    """Return the words of a text, without case, accents and punctuation."""
    letters = unicodedata.normalize("NFKD", text.casefold())
    return " ".join(re.findall(r"[^\W_]+", "".join(c for c in letters if not _is_accent(c))))


def _is_accent(character: str) -> bool:
    return unicodedata.combining(character) > 0
