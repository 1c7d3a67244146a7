"""Bottles to be filled, and amounts drawn from them, as people type them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from steepboard import amounts
from steepboard.domain.dosing import Tool
from steepboard.domain.readings import Measured
from steepboard.errors import BadAmount
from steepboard.numerals import quoted, read_number
from steepboard.services.bottles import Drawn
from steepboard.services.bottling import MOST_BOTTLES, Fill, Part

if TYPE_CHECKING:
    from collections.abc import Callable

    from steepboard.amounts import Amount
    from steepboard.domain.dosing import Portion
    from steepboard.services.desk import Desk

_FILL = re.compile(r"(?:(?P<count>[0-9]{1,9})\s*[x×*]\s*)?(?P<size>[^:]+)(?::(?P<filled>[^:]+))?")
_APART = re.compile(r"\s*[,;]\s*|(?<=[a-wyz])\s+(?=[0-9])", re.IGNORECASE)
_EXAMPLE = "3x100ml"
TOOLS = {"drop": Tool.DROP, "drops": Tool.DROP, "gtt": Tool.DROP}
TOOLS |= {"dash": Tool.DASH, "dashes": Tool.DASH}
"""By what word which tool is meant."""
# ± of a tool's size where the liquid is not known. Assumed: 20 drops of water to the mL are the
# pharmacist's, and strong spirit falls in twice as many; a bar's dashers differ by a third.
_UNKNOWN_U = {Tool.DROP: 0.5, Tool.DASH: 0.3}


def read_fills(text: str) -> tuple[Fill, ...]:
    """Read `3x100ml`, or `2x100ml:96ml` for what goes into each. Raises BadAmount."""
    found = _FILL.fullmatch(text.strip())
    if found is None:
        reason = f"{quoted(text)} is not a number of bottles and their size."
        raise BadAmount(text, reason, _EXAMPLE)
    count = int(found["count"] or 1)
    if not 1 <= count <= MOST_BOTTLES:
        reason = f"{count} bottles are not filled at once: from 1 to {MOST_BOTTLES} are."
        raise BadAmount(text, reason, _EXAMPLE)
    size = amounts.parse_volume(found["size"])
    filled = amounts.parse_volume(found["filled"]) if found["filled"] else None
    volume = Measured(filled.value, filled.resolution) if filled else None
    return (Fill(size.value, volume, (filled or size).typed),) * count


def read_all_fills(text: str) -> tuple[Fill, ...]:
    """Read `2x100ml 1x50ml:48ml`, apart by spaces or commas. Raises BadAmount."""
    return tuple(fill for part in _APART.split(text.strip()) for fill in read_fills(part))


def read_drawn(text: str, size: Callable[[Tool], Portion] | None = None) -> Drawn:
    """Read `30ml`, `12 drops` or `2 dashes` as drawn. Raises BadAmount.

    `size` says what a drop or dash of the liquid holds (`droppers.sizes`); without it a drop is
    that of water.
    """
    amount = amounts.parse_volume(text)
    number = read_number(text, "30 mL")
    tool = TOOLS.get(number.rest.strip(" .").casefold())
    if tool is None:
        return Drawn(Measured(amount.value, amount.resolution), amount.typed)
    # Drops are counted; what is unsure is their size.
    if size is None:
        return Drawn(Measured(amount.value, 0.0), amount.typed, tool.value, _UNKNOWN_U[tool])
    own = size(tool)
    return Drawn(Measured(number.value * own.each_ml, 0.0), amount.typed, own.name, own.u)


def read_part(source: str, amount: Amount) -> Part:
    """Return what is poured: water, a spirit by its strength, of a jar or of a bottle."""
    volume = Measured(amount.value, amount.resolution)
    if source.strip().casefold() == "water":
        return Part(volume, "water", 0.0, amount.typed)
    try:
        strength = amounts.parse_strength(source)
    except BadAmount:
        return Part(volume, source, None, amount.typed)
    return Part(volume, "spirit", strength.value, amount.typed)


def on_scale(desk: Desk, amount: Amount) -> Measured:
    """Return a mass as the house's scale shows it."""
    step = desk.settings.instruments.mass_step_g(amount.value)
    return Measured(amount.value, max(amount.resolution, step))
