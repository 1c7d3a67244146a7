"""How figures are written for people, in one place."""

from __future__ import annotations

from math import floor, log10

_EVEN = 1e-9  # relative; lifts a half over what floats make of it


def percent(fraction: float, digits: int = 1) -> str:
    """Return a fraction as percent, say `45.0 %`; a rounded zero has no sign."""
    return f"{round(100.0 * fraction, digits) + 0.0:.{digits}f} %"


def amount(value: float) -> str:
    """Return grams or mL with as many digits as a kitchen can use, say `0.326`, `58.1`, `326`."""
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"


def short(value: float) -> str:
    """Return what may have been typed in another unit, to one decimal; below 10 to three digits.

    Say `103.5` for 3.5 oz, `59.1`, `100`, `1.48`.
    """
    places = 1 if abs(value) >= 10 or value == 0 else 2 - floor(log10(abs(value)))
    return f"{value:.{places}f}".rstrip("0").rstrip(".")


def one_to(n: float) -> str:
    """Return a ratio of `n` mL for each gram to three digits, say `1:5.63`; a half goes up."""
    return f"1:{n * (1.0 + _EVEN):.3g}" if n < 999.5 else f"1:{n:.0f}"


def days(count: int) -> str:
    """Return a number of days in words."""
    return f"{count} day{'s' * (count != 1)}"


def every(count: int) -> str:
    """Return what stands after `every`: `day` or `3 days`."""
    return "day" if count == 1 else days(count)
