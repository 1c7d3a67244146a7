from __future__ import annotations

from math import cos, exp

import pytest

from steepboard.domain.roots import root_between


@pytest.mark.parametrize(
    ("function", "low", "high", "root"),
    [
        (lambda x: x * x - 2.0, 0.0, 2.0, 2.0**0.5),
        (lambda x: cos(x) - x, 0.0, 1.0, 0.7390851332151607),  # published: OEIS A003957
        (lambda x: (x - 0.3) ** 9, 0.0, 1.0, 0.3),
        (lambda x: exp(40.0 * x) - 2.0, 0.0, 1.0, 0.6931471805599453 / 40.0),
        (lambda x: 1.0 if x > 0.25 else -1.0, 0.0, 1.0, 0.25),
        (lambda x: x, 0.0, 1.0, 0.0),
        (lambda x: x - 1.0, 0.0, 1.0, 1.0),
    ],
)
def test_the_crossing_is_found(function, low: float, high: float, root: float) -> None:
    assert root_between(function, low, high) == pytest.approx(root, abs=1e-12)


def test_ends_of_one_sign_are_refused() -> None:
    with pytest.raises(ArithmeticError):
        root_between(lambda x: x + 1.0, 0.0, 1.0)
