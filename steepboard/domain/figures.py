"""How figures are written for people, in one place."""

from __future__ import annotations

_EVEN = 1e-9  # relative; lifts a half over what floats make of it


def percent(fraction: float, digits: int = 1) -> str:
    """Return a fraction as percent, say `45.0 %`; a rounded zero has no sign."""
    return f"{round(100.0 * fraction, digits) + 0.0:.{digits}f} %"


def one_to(n: float) -> str:
    """Return a ratio of `n` mL for each gram to three digits, say `1:5.63`; a half goes up."""
    return f"1:{n * (1.0 + _EVEN):.3g}" if n < 999.5 else f"1:{n:.0f}"
