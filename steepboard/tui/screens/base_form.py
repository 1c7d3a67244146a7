"""A liquid that a tincture goes into, as it is asked for: a drink, a sample, a whole blend."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from steepboard import amounts
from steepboard.domain.base import Base
from steepboard.errors import BadAmount, NothingWeighed
from steepboard.text import clean
from steepboard.tui.screens.ask_form import Line

if TYPE_CHECKING:
    from steepboard.tui.screens.ask_form import Given

_SUGAR = re.compile(r"([0-9]{1,3}(?:[.,][0-9]{1,2})?)(?: ?g ?/ ?l)?", re.IGNORECASE)


def base_lines(what: str, *, needed: bool = False) -> tuple[Line, ...]:
    """Return the lines that ask for volume, strength and sugar."""
    return (
        Line("volume", f"{what}, volume", amounts.parse_volume, lambda one: one.echo,
             hint="say 100 mL", needed="Say how much, like 100 mL." if needed else ""),
        Line("strength", "Its strength", amounts.parse_strength, lambda one: one.echo,
             hint="say 28 %", needed="Say how strong, like 28 %; 0 % for none." if needed else ""),
        Line("sugar", "Its sugar", _sugar, lambda g_l: f"{g_l:g} g in a litre",
             hint="say 90 g/L; empty for none"),
    )  # fmt: skip


def read_base(given: Given, name: str) -> Base:
    """Return what was answered. Raises `NothingWeighed` and `OutOfRange`."""
    volume, strength = given["volume"], given["strength"]
    if volume is None or strength is None:
        raise NothingWeighed("drink", "say its volume and its strength")
    return Base(name, volume.value, strength.value, given["sugar"] or 0.0)


def _sugar(text: str) -> float:
    found = _SUGAR.fullmatch(clean(text))
    if found is None:
        raise BadAmount(text, f"“{clean(text, 40)}” is not so many g in a litre.", "90 g/L")
    return float(found[1].replace(",", "."))
