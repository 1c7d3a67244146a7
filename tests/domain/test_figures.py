"""How figures are written for people."""

from __future__ import annotations

import pytest

from steepboard.domain.figures import amount, one_to, short


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


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (103.507, "103.5"),  # 3.5 US fl oz of 29.5735 mL
        (59.147, "59.1"),
        (100.0, "100"),
        (4436.03, "4436"),
        (12345.67, "12345.7"),
        (1.4787, "1.48"),
        (0.5, "0.5"),
        (0.0, "0"),
    ],
)
def test_what_was_typed_in_ounces_has_no_more_digits_than_one_reads(
    value: float, text: str
) -> None:
    """One decimal is kept, and three digits below 10."""
    assert short(value) == text
