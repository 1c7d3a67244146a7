"""What the readings of a straining say of one another: the checks, and how sure each is.

The checks are Normal to first order and correlated as their inputs are; here they are set apart
from one another and scaled to a doubt of one, so that a sum of squares weighs them all.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import erf, inf, log, pi, sqrt

from steepboard.domain.balance_swings import with_reading
from steepboard.domain.balance_work import Case, stages_g, weight_g, worked
from steepboard.domain.expected import held_ml
from steepboard.domain.matrices import dot, lower_triangle, set_apart
from steepboard.domain.propagation import propagate
from steepboard.domain.readings import Measured

_LOST_SHARE, _LOST_SHARE_U = 0.004, 0.004  # of all, evaporated and wetting things; assumed
_DECANTED_U = 1.5  # g between two readings of the same liquid; assumed
_MUD_U = 4.0  # g of mud that nobody measured; assumed
_DENSITY_U = 0.003  # relative, between scale and measure; assumed
_SOLIDS_U = 0.1  # g; the spread of marc and filter themselves is in what is usual


class Evidence:
    """The checks of one straining, and how each reading moves them."""

    def __init__(self, case: Case, causes: Sequence[tuple[Case, Case, float]]) -> None:
        found = propagate(_checks, case, causes)
        self.case, self.checks = case, found.value
        self.total_g = worked(case).total_g
        names = tuple(found.value)
        table = [[found.covariance(a, b) for b in names] for a in names]
        for i, name in enumerate(names):
            table[i][i] += _noise_u(case, name) ** 2
        self._lower = lower_triangle(table)
        usual = {"closing": _LOST_SHARE * self.total_g}
        self.gaps = self.apart({n: found.value[n] - usual.get(n, 0.0) for n in names})
        self._moves: dict[str, tuple[float, list[float]]] = {}

    def apart(self, checks: dict[str, float]) -> list[float]:
        """Return checks set apart from one another, each with a doubt of one."""
        return set_apart(self._lower, [checks.get(name, 0.0) for name in self.checks])

    def read(self, field: str) -> float:
        """Return what was read."""
        reading: Measured = getattr(self.case.readings, field)
        return reading.value

    def move(self, field: str) -> list[float]:
        """Return by how much one unit more of a reading moves the checks, set apart."""
        return self._moved(field)[1]

    def off(self, field: str) -> float | None:
        """Return by how much a reading is too high if it alone leaves the balance open."""
        slope = self._moved(field)[0]
        return self.checks["closing"] / slope if abs(slope) > 1e-6 else None

    def _moved(self, field: str) -> tuple[float, list[float]]:
        if field not in self._moves:
            reading: Measured = getattr(self.case.readings, field)
            more = Measured(reading.value + 1.0, reading.resolution)
            after = _checks(with_reading(self.case, field, more))
            moved = {name: after[name] - was for name, was in self.checks.items()}
            self._moves[field] = moved["closing"], self.apart(moved)
        return self._moves[field]


def fit_by_some(
    gaps: list[float], move: list[float], least: float, most: float
) -> tuple[float, float]:
    """Return by how much a reading is best taken as too high, and how well that explains the gaps.

    The log of the Normal fit, averaged over all amounts from `least` to `most`.
    """
    size = dot(move, move)
    if most <= least or size <= 0.0:
        return 0.0, -inf
    best = dot(move, gaps) / size
    rest = dot(gaps, gaps) - best * best * size
    scale = sqrt(size)
    inside = _normal((most - best) * scale) - _normal((least - best) * scale)
    if inside <= 0.0:
        return best, -inf
    fit = -0.5 * rest + log(sqrt(2.0 * pi) / scale * inside / (most - least))
    return min(most, max(least, best)), fit


def _normal(z: float) -> float:
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


def _checks(case: Case) -> dict[str, float]:
    """Return by how many g the readings miss one another and what is usual."""
    w, r = worked(case), case.readings
    density, parts = w.pool.density_g_ml, w.parts_g
    out = {"closing": w.unaccounted_g}
    if r.marc_g is not None:
        usual_ml = held_ml(case.solids, case.held)
        out["marc"] = parts["marc"] - usual_ml * w.in_marc.density_g_ml
    if r.filter_is_read and r.is_filtered:
        out["filter"] = parts["filter"] - case.kept_ml * density
    if "evaporated" in parts:
        out["evaporated"] = parts["evaporated"]
    final = weight_g(r.recovered_g, r.recovered_ml, density)
    filtered = weight_g(r.filtered_g, r.filtered_ml, density)
    if final is not None:
        final += parts.get("sediment", 0.0)
    after = final if filtered is None else filtered
    drained = weight_g(r.drained_g, r.drained_ml, density) is not None
    pressed = weight_g(r.pressed_g, r.pressed_ml, density) is not None
    if drained and pressed and after is not None:
        out["stages"] = stages_g(case, w.made, w.pool) - parts["filter"] - after
    if final is not None and filtered is not None:
        out["settling"] = filtered - final
    for stage, liquid in (("drained", w.made), ("pressed", w.made), ("filtered", w.pool),
                          ("recovered", w.pool)):  # fmt: skip
        mass: Measured | None = getattr(r, f"{stage}_g")
        volume: Measured | None = getattr(r, f"{stage}_ml")
        if mass is not None and volume is not None:
            out[f"{stage} twice"] = mass.value - volume.value * liquid.density_g_ml
    return out


def _noise_u(case: Case, check: str) -> float:
    """Return the ± in g that a check has besides that of its inputs."""
    r = case.readings
    if check in ("closing", "evaporated"):
        return _LOST_SHARE_U * worked(case).total_g
    if check == "settling":
        return _DECANTED_U if r.sediment_ml is not None else _MUD_U
    if check == "stages":
        unread = r.sediment_ml is None and r.filtered_ml is None and r.filtered_g is None
        return _MUD_U if unread else _DECANTED_U
    if check.endswith("twice"):
        return _DENSITY_U * worked(case).parts_g["recovered"]
    return _SOLIDS_U
