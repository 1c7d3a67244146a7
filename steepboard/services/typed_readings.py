"""A reading as people type it: an amount, and perhaps at what temperature and with what."""

from __future__ import annotations

import contextlib
import re
from dataclasses import dataclass

from steepboard import amounts
from steepboard.domain import guards
from steepboard.domain.records import Instrument, Measure
from steepboard.errors import BadAmount
from steepboard.numerals import LONGEST
from steepboard.text import clean

_TAIL = re.compile(
    r"(?P<amount>.*?)"
    r"(?:\s*(?:\bat\b|@)\s*(?P<temperature>[-−]?\s*[0-9.,]+\s*(?:°\s*)?[CF]\b))?"
    r"(?:\s+(?:on|in|with)\s+(?:an?\s+|the\s+|my\s+)?(?P<tool>[^0-9]+))?\s*",
    re.IGNORECASE,
)
_TOOLS = {
    "kitchen": Instrument.KITCHEN_SCALE,
    "jeweller": Instrument.FINE_SCALE,
    "jeweler": Instrument.FINE_SCALE,
    "pocket": Instrument.FINE_SCALE,
    "fine": Instrument.FINE_SCALE,
    "cylinder": Instrument.CYLINDER,
    "measuring": Instrument.CYLINDER,
    "hydrometer": Instrument.HYDROMETER,
}
_FITS = {
    "g": (Instrument.KITCHEN_SCALE, Instrument.FINE_SCALE),
    "mL": (Instrument.CYLINDER,),
    "fraction": (Instrument.HYDROMETER,),
}
_NEEDED = frozenset({Measure.RECOVERED, Measure.RECOVERED_MASS})  # of nothing, nothing is bottled


@dataclass(frozen=True, slots=True)
class Typed:
    """A reading that was understood."""

    measure: Measure
    value: float
    """In the unit of its measure."""
    typed: str
    resolution: float
    echo: str
    """What was understood, for people."""
    instrument: Instrument | None = None
    temperature_c: float | None = None


def read_typed(text: str, measure: Measure, otherwise: Measure | None = None) -> Typed:
    """Read `121.1 g`, `812 g on kitchen` or `37 % at 18 °C`; the unit tells which of two measures.

    Raises BadAmount or OutOfRange.
    """
    try:
        return _read(measure, text)
    except BadAmount:
        if otherwise is None:
            raise
        with contextlib.suppress(BadAmount):
            return _read(otherwise, text)
        raise


def _read(measure: Measure, text: str) -> Typed:
    found = _TAIL.fullmatch(text)
    body = found["amount"] if found else text
    tool = _tool(measure, text, found["tool"]) if found and found["tool"] else None
    amount = _amount(measure, body)
    temperature_c = None
    if found and found["temperature"]:
        if measure is not Measure.HYDROMETER:
            reason = "Only a hydrometer is read with its temperature; others count as at 20 °C."
            raise BadAmount(text, reason, _example(measure))
        temperature_c = guards.temperature(amounts.parse_temperature(found["temperature"]).value)
    echo = amount.echo
    if temperature_c is not None:
        echo += f" at {temperature_c:g} °C"
    if tool is not None:
        echo += f", {tool.value}"
    whole = clean(text, 2 * LONGEST)
    return Typed(measure, amount.value, whole, amount.resolution, echo, tool, temperature_c)


def _amount(measure: Measure, text: str) -> amounts.Amount:
    zero = measure not in _NEEDED
    match measure.unit:
        case "g":
            return amounts.parse_mass(text, zero=zero)
        case "mL":
            return amounts.parse_volume(text, zero=zero)
    return amounts.parse_strength(text)


def _tool(measure: Measure, text: str, words: str) -> Instrument:
    named = (tool for word, tool in _TOOLS.items() if word in words.casefold())
    tool = next(named, None)
    if tool in _FITS[measure.unit]:
        return tool
    known = " or ".join(fit.value for fit in _FITS[measure.unit])
    raise BadAmount(text, f"“{clean(words, 20)}” is not known here; {known} is.", _example(measure))


def _example(measure: Measure) -> str:
    return {"g": "812 g on kitchen", "mL": "250 mL"}.get(measure.unit, "37 % at 18 °C")
