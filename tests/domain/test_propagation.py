"""The propagation of doubt, against worked examples and other ways of doing it."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin, sqrt

import pytest
import uncertainties
from uncertainties import umath

from steepboard.domain.propagation import propagate


def lower_triangle(matrix):
    """Return the Cholesky factor of a 3 × 3 matrix, written out."""
    (a, b, c), (_, d, e), (_, _, f) = matrix
    l11 = sqrt(a)
    l21, l31 = b / l11, c / l11
    l22 = sqrt(d - l21**2)
    l32 = (e - l31 * l21) / l22
    return ((l11, 0, 0), (l21, l22, 0), (l31, l32, sqrt(f - l31**2 - l32**2)))


def test_the_gums_example_of_correlated_inputs_comes_out_as_published() -> None:
    # Published: GUM, JCGM 100:2008, H.2, tables H.2 to H.4 (figures from memory): V, I and φ are
    # read together; resistance, reactance and impedance follow, correlated among themselves.
    mean = (4.9990, 19.6610e-3, 1.04446)
    u = (0.0032, 0.0095e-3, 0.00075)
    r_vi, r_vp, r_ip = -0.36, 0.86, -0.65
    covariance = (
        (u[0] ** 2, r_vi * u[0] * u[1], r_vp * u[0] * u[2]),
        (r_vi * u[0] * u[1], u[1] ** 2, r_ip * u[1] * u[2]),
        (r_vp * u[0] * u[2], r_ip * u[1] * u[2], u[2] ** 2),
    )

    def work(inputs):
        volt, ampere, phase = inputs
        ohm = volt / ampere
        return {"R": ohm * cos(phase), "X": ohm * sin(phase), "Z": ohm}

    causes = list(zip(*lower_triangle(covariance), strict=True))
    swings = [
        (
            tuple(m + c for m, c in zip(mean, cause, strict=True)),
            tuple(m - c for m, c in zip(mean, cause, strict=True)),
            0.5,
        )
        for cause in causes
    ]
    found = propagate(work, mean, swings)
    assert found.value["R"] == pytest.approx(127.732, abs=0.001)
    assert found.value["X"] == pytest.approx(219.847, abs=0.001)
    assert found.value["Z"] == pytest.approx(254.260, abs=0.001)
    assert found.u("R") == pytest.approx(0.071, abs=0.0015)
    assert found.u("X") == pytest.approx(0.295, abs=0.0015)
    assert found.u("Z") == pytest.approx(0.236, abs=0.0015)
    for (a, b), r in {("R", "X"): -0.588, ("R", "Z"): -0.485, ("X", "Z"): 0.993}.items():
        # The rounded coefficients of the inputs carry the third place.
        assert found.covariance(a, b) / found.u(a) / found.u(b) == pytest.approx(r, abs=0.015)


def test_inputs_read_apart_add_in_squares() -> None:
    # By hand: z = x·y at 3 ± 0.1 and 4 ± 0.2: hypot(4 × 0.1, 3 × 0.2) = 0.7211.
    def work(xy):
        return {"z": xy[0] * xy[1]}

    swings = [((3.1, 4), (2.9, 4), 0.5), ((3, 4.2), (3, 3.8), 0.5)]
    assert propagate(work, (3, 4), swings).u("z") == pytest.approx(hypot(0.4, 0.6))


def test_the_uncertainties_package_agrees_where_inputs_are_shared() -> None:
    # A library of its own that differentiates by rule: the same polar turn by both.
    x, y = uncertainties.ufloat(3.0, 0.02), uncertainties.ufloat(4.0, 0.03)
    theirs = {
        "far": umath.sqrt(x * x + y * y),
        "turn": umath.degrees(umath.atan2(y, x)),
        "back": umath.sqrt(x * x + y * y) * umath.cos(umath.atan2(y, x)) - x,
    }

    def work(xy):
        far, turn = hypot(*xy), degrees(atan2(xy[1], xy[0]))
        return {"far": far, "turn": turn, "back": far * cos(radians(turn)) - xy[0]}

    swings = [((3.02, 4), (2.98, 4), 0.5), ((3, 4.03), (3, 3.97), 0.5)]
    ours = propagate(work, (3.0, 4.0), swings)
    for name, figure in theirs.items():
        assert ours.value[name] == pytest.approx(figure.n, abs=1e-12)
        assert ours.u(name) == pytest.approx(figure.s, rel=1e-3, abs=1e-9)
    shared = uncertainties.covariance_matrix([theirs["far"], theirs["turn"]])[0][1]
    assert ours.covariance("far", "turn") == pytest.approx(shared, rel=1e-3)


def test_a_figure_that_an_input_leaves_undefined_is_not_moved_by_it() -> None:
    def work(x):
        return {"twice": 2 * x} | ({"root": sqrt(x)} if x >= 0 else {})

    found = propagate(work, 0.5, [(1.5, -0.5, 0.5)])
    assert (found.u("twice"), found.u("root"), found.u("none")) == (2.0, 0.0, 0.0)
