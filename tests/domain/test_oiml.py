from __future__ import annotations

from steepboard.domain import oiml
from tests.domain.published import rows


def test_all_54_coefficients_are_the_published_ones() -> None:
    published = [float(row["value"]) for row in rows("oiml_r22_coefficients")]
    ours = [*oiml._A, *oiml._B, *(c for row in oiml._C for c in row)]
    assert ours == published
    assert len(ours) == 54
