"""Checks of what comes in; each returns the value or raises `OutOfRange` naming the quantity."""

from __future__ import annotations

from steepboard.errors import OutOfRange

MOST = 1e9
"""g or mL; assumed, a thousand cubic metres are no jar and floats stay far from their end."""


def within(quantity: str, value: float, low: float, high: float, allowed: str) -> float:
    """Return `value` where it is a number from `low` to `high`; NaN is in no range."""
    if not low <= value <= high:
        raise OutOfRange(quantity, value, allowed)
    return value


def fraction(quantity: str, value: float) -> float:
    """Return `value` where it is a fraction from 0 to 1."""
    return within(quantity, value, 0.0, 1.0, "from 0 to 1, that is 0 % to 100 %")


def temperature(value: float) -> float:
    """Return `value` where it is a temperature in °C that OIML R 22 covers."""
    return within("temperature", value, -20.0, 40.0, "from −20 °C to 40 °C")


def positive(quantity: str, value: float) -> float:
    """Return `value` where it is a number above zero that a jar could hold."""
    if not 0.0 < value <= MOST:
        raise OutOfRange(quantity, value, f"a number above zero, at most {MOST:g}")
    return value


def not_negative(quantity: str, value: float) -> float:
    """Return `value` where it is a number of at least zero that a jar could hold."""
    if not 0.0 <= value <= MOST:
        raise OutOfRange(quantity, value, f"a number from zero to {MOST:g}")
    return value
