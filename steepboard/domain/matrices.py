"""The little linear algebra that correlated figures need; any text on it."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

_LEAST = 1e-12  # squares below it are rounding


def dot(one: Sequence[float], other: Sequence[float]) -> float:
    """Return the sum of the products, one by one."""
    return sum(a * b for a, b in zip(one, other, strict=True))


def lower_triangle(table: Sequence[Sequence[float]]) -> list[list[float]]:
    """Return the lower triangle whose square a table of covariances is (Cholesky)."""
    lower = [[0.0] * len(table) for _ in table]
    for i, row in enumerate(table):
        for j in range(i + 1):
            rest = row[j] - dot(lower[i][:j], lower[j][:j])
            lower[i][j] = sqrt(max(rest, _LEAST)) if i == j else rest / lower[j][j]
    return lower


def set_apart(lower: Sequence[Sequence[float]], column: Sequence[float]) -> list[float]:
    """Return the column with its entries set apart from one another, each with a doubt of one."""
    out: list[float] = []
    for row, value in zip(lower, column, strict=True):
        out.append((value - dot(row[: len(out)], out)) / row[len(out)])
    return out
