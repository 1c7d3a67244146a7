"""Checks of what comes in; each returns the value or raises `OutOfRange` naming the quantity."""

from __future__ import annotations

from math import isfinite

from steepboard.errors import OutOfRange


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
    """Return `value` where it is a finite number above zero."""
    if not (isfinite(value) and value > 0.0):
        raise OutOfRange(quantity, value, "a number above zero")
    return value


def not_negative(quantity: str, value: float) -> float:
    """Return `value` where it is a finite number of at least zero."""
    if not (isfinite(value) and value >= 0.0):
        raise OutOfRange(quantity, value, "a number, zero or more")
    return value
