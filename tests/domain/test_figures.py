"""How figures are written for people."""

from __future__ import annotations

import pytest

from steepboard.domain.figures import amount, one_to


@pytest.mark.parametrize(
    ("n", "written"),
    [
        (5.0, "1:5"),
        (5.625, "1:5.63"),
        (5.0 + 5.0 * (0.45 - 0.40) / 0.40, "1:5.63"),  # the house rule at 45 %, as floats make it
        (6.1538, "1:6.15"),
        (15.789, "1:15.8"),
        (123.4, "1:123"),
        (999.7, "1:1000"),
        (12345.6, "1:12346"),
        (0.5, "1:0.5"),
    ],
)
def test_a_ratio_is_read_with_three_digits_at_most(n: float, written: str) -> None:
    assert one_to(n) == written


@pytest.mark.parametrize(
    ("value", "text"),
    [(326.66, "327"), (58.07, "58.1"), (40.0, "40"), (0.25, "0.25"), (0.32609, "0.326")],
)
def test_amounts_have_as_many_digits_as_a_kitchen_uses(value: float, text: str) -> None:
    assert amount(value) == text
