from __future__ import annotations

import pytest

from steepboard.domain import alcohol

# Published list of flash points by percent (no named origin), and its later copy at 96 %.
LISTED = [(5, 62), (10, 49), (20, 36), (30, 29), (40, 26), (50, 24), (60, 22), (70, 21), (80, 20)]
LISTED += [(90, 17), (96, 13)]


@pytest.mark.parametrize(("percent", "flash_c"), LISTED)
def test_flash_point_is_never_above_the_published_list(percent: float, flash_c: float) -> None:
    assert alcohol.flash_point_c(percent / 100) <= flash_c


@pytest.mark.parametrize(
    ("percent", "flash_c"),
    # The list where it is the lower one; 17 °C at 70 %, a handbook figure from memory; 45 % half
    # way between 26 and 24; pure ethanol 13 °C, from memory.
    [*LISTED[:7], (45, 25), (70, 17), (80, 17), (90, 17), (96, 13), (100, 13)],
)
def test_flash_point_is_the_lower_reading(percent: float, flash_c: float) -> None:
    assert alcohol.flash_point_c(percent / 100) == pytest.approx(flash_c)


def test_no_stronger_spirit_has_a_higher_flash_point() -> None:
    found = [alcohol.flash_point_c(percent / 100) for percent in range(5, 101)]
    assert found == sorted(found, reverse=True)


def test_no_flash_point_is_claimed_for_water() -> None:
    assert alcohol.flash_point_c(0.0) is None
