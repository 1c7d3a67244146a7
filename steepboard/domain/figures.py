"""How figures are written for people, in one place."""

from __future__ import annotations


def percent(fraction: float, digits: int = 1) -> str:
    """Return a fraction as percent, say `45.0 %`; a rounded zero has no sign."""
    return f"{round(100.0 * fraction, digits) + 0.0:.{digits}f} %"


def one_to(n: float) -> str:
    """Return a ratio of `n` mL for each gram, say `1:5.625`."""
    return f"1:{n:.4g}" if n < 10_000 else f"1:{n:.0f}"
