"""What the board asks of a botanical of one's own beside its name and kind, in groups."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from steepboard.amounts import (
    Amount,
    parse_days,
    parse_fraction,
    parse_ratio,
    parse_span,
    parse_strength,
)
from steepboard.catalogue.allergens import allergen
from steepboard.catalogue.botanicals import USES
from steepboard.catalogue.cautions import caution_code
from steepboard.domain.figures import one_to, percent
from steepboard.services.cautions import titles
from steepboard.services.material_facts import STRENGTHS, lasting
from steepboard.services.materials import LONGEST
from steepboard.text import clean
from steepboard.tui.answers import words
from steepboard.tui.screens.ask_form import Line, Pick

_AS_KNOWN = ("", "as known")


def _span(
    name: str,
    label: str,
    read: Callable[[str], Amount | float],
    show: Callable[[float], str],
    hint: str,
) -> Line:
    def shown(span: tuple[float, float]) -> str:
        return " to ".join(dict.fromkeys(map(show, span)))

    return Line(name, label, lambda text: parse_span(text, read), shown, hint=hint)


def _several(
    name: str, label: str, read: Callable[[str], str], show: Callable[[Any], str], hint: str
) -> Line:
    def parted(text: str) -> tuple[str, ...]:
        return tuple(read(one) for one in map(str.strip, re.split("[,;]", text)) if one)

    return Line(name, label, parted, show, hint=hint)


def _words(name: str, label: str, hint: str = "") -> Line:
    return Line(name, label, words, hint=hint)


def _sentence(name: str, label: str) -> Line:
    return Line(name, label, lambda text: clean(text, LONGEST))


def _pick(name: str, label: str, *options: tuple[str, str]) -> Pick:
    return Pick(name, label, (_AS_KNOWN, *options))


_SCORES = tuple((str(score), word) for score, word in enumerate(STRENGTHS))

GROUPS = (
    (
        "The plant",
        (
            _words("latin", "Latin name", "if you know it"),
            _several("aliases", "Also called", words, ", ".join, "say bog myrtle, moor gale"),
            _words("part", "Part", "of the plant, say leaf"),
            _words("form", "Bought as", "say dried, cut"),
        ),
    ),
    (
        "How it steeps",
        (
            _sentence("preparation", "Prepare"),
            _span("ratio", "Ratio", parse_ratio, one_to, "g to mL, say 1:5 to 1:10"),
            _span("strength", "Spirit", parse_strength, percent, "say 45 to 60 %"),
            _span("days", "Days", parse_days, lasting, "least and most, 2 to 12"),
            Line("days_typical", "Usual days", parse_days, lasting, hint="say 7, or 6 h"),
            Line("taste_from_day", "Taste from", parse_days, lasting, hint="the day, say 2"),
        ),
    ),
    (
        "What is in it",
        (
            _span("moisture", "Water in it", parse_fraction, percent, "say 11 %, or 9 to 13 %"),
            _span("soluble", "Soluble part", parse_fraction, percent, "of its dry mass, say 20 %"),
            _pick("pungency", "Heat", *_SCORES),
            _pick("bitterness", "Bitterness", *_SCORES),
        ),
    ),
    (
        "To mind",
        (
            _several("allergens", "Allergens", allergen, ", ".join, "on the label, say celery"),
            _several("cautions", "Cautions", caution_code, titles, "by their codes, say daisy"),
            _pick("use", "Use", *zip(USES, USES, strict=True)),
            _pick("fresh_soft", "Fresh, it", ("yes", "tires quickly"), ("no", "keeps a while")),
            _sentence("fresh_note", "When fresh"),
            _sentence("note", "Remark"),
        ),
    ),
)
"""Titles, and below each the answers by the names that `own.said` has."""

CHOSEN: dict[str, Callable[[str], object]] = {
    "pungency": int,
    "bitterness": int,
    "use": str,
    "fresh_soft": lambda word: word == "yes",
}
"""What a chosen word stands for, by the answer."""
