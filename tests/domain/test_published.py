"""Every published row is met within its stated tolerance."""

from __future__ import annotations

import pytest

from tests.domain.published import TABLES, Check, rows

CHECKS = [check for checks_of in TABLES.values() for check in checks_of()]


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_our_figure_meets_the_published_row(check: Check) -> None:
    assert abs(check.ours - check.published) <= check.tolerance, check.source


def test_only_rows_noted_as_misprints_are_left_out() -> None:
    # Counted in the reference tables: 275 + 68 + 234 + 166 + 19 rows, two of them misprints.
    totals = [check for check in CHECKS if check.name.endswith(", total")]
    assert len(CHECKS) - len(totals) == 275 + 68 + 233 + 165 + 19
    assert len(totals) > 50


def test_some_density_rows_vary_strength_and_temperature_together() -> None:
    away = [r for r in rows("density_checks") if r["temperature_c"] != "20" and r["value"] != "0"]
    assert len(away) > 100
