"""Amounts as people type them, read into g, mL, fractions and °C.

The number and the unit are read by a grammar of our own; pint only converts, with a registry of
these few units that is made on first use.
"""

from __future__ import annotations

import functools
import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from steepboard.domain.figures import short
from steepboard.errors import BadAmount, OutOfRange
from steepboard.numerals import LONGEST, Number, quoted, read_number
from steepboard.text import clean

if TYPE_CHECKING:
    from collections.abc import Callable

    from pint import UnitRegistry

Unit = Literal["g", "mL", "fraction", "°C", "part"]

# US customary units, exact: NIST Handbook 44, appendix C. The dash is a bar habit, from memory;
# the drop is the pharmacist's 20 to the mL, from memory, and drops of strong spirit are smaller.
_DEFINITIONS = """
kelvin = [temperature]
degree_celsius = kelvin; offset: 273.15
degree_fahrenheit = 5 / 9 * kelvin; offset: 459.67 * 5 / 9
gram = [mass]
kilogram = 1000 * gram
milligram = gram / 1000
ounce = 28.349523125 * gram
pound = 16 * ounce
milliliter = [volume]
centiliter = 10 * milliliter
liter = 1000 * milliliter
fluid_ounce = 29.5735295625 * milliliter
tablespoon = fluid_ounce / 2
teaspoon = fluid_ounce / 6
cup = 8 * fluid_ounce
dash = 0.9 * milliliter
drop = 0.05 * milliliter
fraction = []
percent = fraction / 100
"""
_MASSES = {
    "gram": "g gram grams gramme grammes",
    "kilogram": "kg kgs kilo kilos kilogram kilograms",
    "milligram": "mg milligram milligrams",
    "ounce": "oz ounce ounces",
    "pound": "lb lbs pound pounds",
}
_VOLUMES = {
    "milliliter": "ml mls cc milliliter milliliters millilitre millilitres",
    "centiliter": "cl centiliter centiliters centilitre centilitres",
    "liter": "l lt liter liters litre litres",
    "fluid_ounce": "floz fluidounce fluidounces",
    "tablespoon": "tbsp tbsps tablespoon tablespoons",
    "teaspoon": "tsp tsps teaspoon teaspoons",
    "cup": "cup cups",
    "dash": "dash dashes",
    "drop": "drop drops gtt",
}
_STRENGTHS = {"percent": "% %abv abv %vol vol% %v/v percent", "proof": "proof °proof"}
_TEMPERATURES = {
    "degree_celsius": "c °c degc celsius",
    "degree_fahrenheit": "f °f degf fahrenheit",
}


@dataclass(frozen=True, slots=True)
class _Kind:
    """A kind of amount: what it is called, its canonical unit, and an example of a right one."""

    noun: str
    canonical: str
    unit: Unit
    example: str
    names: dict[str, str]


def _kind(noun: str, canonical: str, unit: Unit, example: str, table: dict[str, str]) -> _Kind:
    names = {word: name for name, words in table.items() for word in words.split()}
    return _Kind(noun, canonical, unit, example, names)


_MASS = _kind("a mass", "gram", "g", "40 g", _MASSES)
_VOLUME = _kind("a volume", "milliliter", "mL", "300 mL", _VOLUMES)
_STRENGTH = _kind("a strength", "fraction", "fraction", "45 %", _STRENGTHS)
_TEMPERATURE = _kind("a temperature", "degree_celsius", "°C", "20 °C", _TEMPERATURES)
_KINDS = (_MASS, _VOLUME, _STRENGTH, _TEMPERATURE)
_SHOWN: dict[Unit, str] = {"g": "g", "mL": "mL", "fraction": "%", "°C": "°C"}
_WRITTEN = {"degree_fahrenheit": "°F", "liter": "L"}  # others are echoed as typed

_MOST = 1_000_000  # g or mL, a tonne, or °C; assumed
_JUG = 0.05
"""Step of an amount in a unit of the kitchen, such as cup or L, as a part of it, where its last
place typed says less. Assumed: jugs are good to 2 to 5 %, from memory."""
_RATIO = re.compile(r"(?:1? ?: ?|1 ?/ ?(?!.*/))(?P<parts>.*)")
_DAY, _HOUR = ("d", "day", "days"), ("h", "hour", "hours")
_TO = re.compile(r"(?<=\S)\s*(?:-|–|\bto\b)\s*")
_UNIT_BEHIND = re.compile(r"\s*[^\W\d]+$|\s*%.*$")
_OUNCES = ("oz", "ounce", "ounces")  # of mass for a solid, of volume for a liquid


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount that was understood."""

    value: float
    """In `unit`; strengths and moistures are fractions."""
    unit: Unit
    typed: str
    """As it was typed, in single spaces."""
    resolution: float
    """One step of the last place that was typed, in `unit`; of a fraction, one part of it. In
    another unit of mass or volume than g and mL at most `_JUG` of the value."""
    echo: str
    """What was understood, for people: `1.5 oz → 44.4 mL`."""


def parse_mass(text: str, *, zero: bool = False) -> Amount:
    """Read a mass in g; `oz` is an ounce of mass. Raises BadAmount, also for 0 unless `zero`."""
    return _amount(text, _MASS, zero=zero)


def parse_volume(text: str, *, zero: bool = False) -> Amount:
    """Read a volume in mL; `oz` is a US fluid ounce. Raises BadAmount, also for 0 unless `zero`."""
    return _amount(text, _VOLUME, zero=zero)


def parse_strength(text: str) -> Amount:
    """Read a strength as a fraction by volume at 20 °C, from percent or US proof.

    US proof is twice the percent at 60 °F, so 80 proof is a little over 40 %. Raises BadAmount.
    """
    try:
        amount = _amount(text, _STRENGTH, zero=True)
    except OutOfRange:  # over 200 proof
        amount = None
    if amount is None or amount.value > 1:
        raise BadAmount(text, "Nothing is stronger than 100 %.", _STRENGTH.example)
    return amount


def parse_temperature(text: str) -> Amount:
    """Read a temperature in °C, from °C or °F; may be below zero. Raises BadAmount."""
    return _amount(text, _TEMPERATURE, zero=True)


def parse_fraction(text: str) -> Amount:
    """Read a part of the whole, `11 %` or `0.11`, as a fraction. Raises BadAmount."""
    number = read_number(text, "11 %")
    scale = 0.01 if _unit_key(number.rest) in ("%", "percent") else 1.0
    value = number.value * scale
    if scale == 1.0 and number.rest:
        reason = f"A part of a whole has no unit but %, not {quoted(number.rest)}."
        raise BadAmount(text, reason, "11 %")
    if not 0 <= value <= 1:
        reason = f"{quoted(text)} is not a part of a whole, from 0 to 100 %."
        raise BadAmount(text, reason, "11 %")
    percent = f"{100 * value:.10g} %"
    echo = percent if scale < 1 else f"{number.shown} → {percent}"
    return Amount(value, "fraction", clean(text, LONGEST), number.step * scale, echo)


def parse_ratio(text: str) -> float:
    """Read a ratio as mL of solvent for each g of botanical. Raises BadAmount.

    `1:5`, `1/5`, `:5` and `5` are the same; `2:5` is not guessed at.
    """
    tidy = clean(text, LONGEST)
    parts = found["parts"] if (found := _RATIO.fullmatch(tidy)) else tidy
    try:
        number = read_number(parts, "1:5")
    except BadAmount:
        number = None
    wanted = found is not None or "/" not in parts.partition(" ")[0]
    if number is None or not wanted or number.rest or not number.value > 0:
        raise BadAmount(text, f"{quoted(text)} is not a ratio.", "1:5")
    return number.value


def parse_part(text: str) -> Amount:
    """Read one share of a mixture: a mass, or so many parts by mass. Raises BadAmount."""
    number = read_number(text, "2 parts")
    if _unit_key(number.rest) not in ("", "part", "parts"):
        return parse_mass(text)
    if not number.value > 0:
        raise BadAmount(text, "Parts must be more than 0.", "2 parts")
    echo = f"{number.shown} part{'' if number.value == 1 else 's'}"
    return Amount(number.value, "part", clean(text, LONGEST), number.step, echo)


def parse_days(text: str) -> float:
    """Read a length of steeping in days, from `4`, `4 days` or `6 h`. Raises BadAmount."""
    number = read_number(text, "4 days")
    unit = _unit_key(number.rest)
    if unit not in ("", *_DAY, *_HOUR) or number.value < 0:
        raise BadAmount(text, f"{quoted(text)} is not a number of days or hours.", "4 days")
    return number.value / (24 if unit in _HOUR else 1)


def parse_span(text: str, read: Callable[[str], Amount | float]) -> tuple[float, float]:
    """Read the least and the most, as `1:6 to 1:12` or `9-13 %`; one alone is both.

    The unit may stand behind the second alone. Raises what `read` raises, and BadAmount.
    """
    ends = _TO.split(clean(text, LONGEST))
    if len(ends) > 2:
        raise BadAmount(text, f"{quoted(text)} is more than two amounts.", "3 to 6")
    unit = _UNIT_BEHIND.search(ends[-1])
    if len(ends) == 2 and unit and not _UNIT_BEHIND.search(ends[0]):
        ends[0] += unit[0]
    found = [read(end) for end in (ends * 2 if len(ends) == 1 else ends)]
    low, high = (one.value if isinstance(one, Amount) else one for one in found)
    if high < low:
        raise BadAmount(text, f"In {quoted(text)} the first is more than the second.", "3 to 6")
    return low, high


def _amount(text: str, kind: _Kind, *, zero: bool) -> Amount:
    number = read_number(text, kind.example)
    unit = _unit(text, number.rest, kind)
    if kind is not _TEMPERATURE and (number.value < 0 or (number.value == 0 and not zero)):
        reason = f"{kind.noun.capitalize()} must be {'0 or more' if zero else 'more than 0'}."
        raise BadAmount(text, reason, kind.example)
    value = _convert(number.value, unit, kind)
    if abs(value) > _MOST:
        extreme = "no temperature of a jar" if kind is _TEMPERATURE else "too much"
        raise BadAmount(text, f"{quoted(text)} is {extreme}.", kind.example)
    if unit in (kind.canonical, "percent"):
        echo = f"{number.shown} {_SHOWN[kind.unit]}"
    else:
        written = _WRITTEN.get(unit, number.rest)
        shown = 100 * value if kind.unit == "fraction" else value
        echo = f"{number.shown} {written} → {short(shown)} {_SHOWN[kind.unit]}"
    return Amount(value, kind.unit, clean(text, LONGEST), _step(number, unit, kind), echo)


def _unit(text: str, rest: str, kind: _Kind) -> str:
    key = _unit_key(rest)
    if not key:
        raise BadAmount(text, f"{quoted(text)} has no unit.", kind.example)
    if key in _OUNCES and kind is _VOLUME:
        return "fluid_ounce"
    if key in kind.names:
        return kind.names[key]
    other = next((other.noun for other in _KINDS if key in other.names), None)
    if other:
        reason = f"{quoted(text)} is {other}; {kind.noun} is wanted here."
    else:
        reason = f"{quoted(rest)} is not a unit of {kind.noun[2:]} known here."
    raise BadAmount(text, reason, kind.example)


def _unit_key(rest: str) -> str:
    """Return the unit without case, dots and spaces, so that `fl. oz.` and `% ABV` are found."""
    return re.sub(r"[\s.]", "", unicodedata.normalize("NFKC", rest)).casefold()


def _convert(value: float, unit: str, kind: _Kind) -> float:
    if unit == "proof":
        from steepboard.domain.alcohol import strength_from_proof

        return strength_from_proof(value)
    return float(_registry().Quantity(value, unit).m_as(kind.canonical))


def _step(number: Number, unit: str, kind: _Kind) -> float:
    if unit == "proof":
        return number.step / 200  # close enough for a step; US proof = 2 x % at 60 °F
    size = _convert(1.0, unit, kind) - _convert(0.0, unit, kind)
    if kind not in (_MASS, _VOLUME) or unit == kind.canonical:
        return number.step * size
    if number.value == 0:
        return number.step  # nothing is as little in cups as in mL
    return min(number.step * size, _JUG * number.value * size)


@functools.cache
def _registry() -> UnitRegistry[float]:
    from pint import UnitRegistry

    registry: UnitRegistry[float] = UnitRegistry(None, cache_folder=None)
    for line in _DEFINITIONS.strip().splitlines():
        registry.define(line)
    return registry
