"""The strain balance: what came out, what stayed behind, and how sure that is.

In masses, for they add. Every ± is a standard uncertainty to first order: each input in turn is
moved up and down by its own ±, the whole balance is worked again, and half the swings are summed
in squares (published: GUM, JCGM 100:2008, 5.1.3 note 2). What several figures share moves them
together, so that correlated inputs stay correlated.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from math import inf, sqrt
from typing import Any, TypeVar

from steepboard.domain import guards
from steepboard.domain.alcohol import volume_at_20_ml
from steepboard.domain.balance_findings import verdict
from steepboard.domain.findings import Finding
from steepboard.domain.liquor import SOLIDS_ML_PER_G, SOLIDS_ML_PER_G_U, Liquor, Pour, Solid, liquor
from steepboard.domain.planning import Held
from steepboard.domain.readings import Measured, Readings
from steepboard.errors import NothingWeighed

__all__ = ["Balance", "Figure", "Measured", "Readings", "strain_balance"]

_T = TypeVar("_T", Solid, Pour, Measured)


@dataclass(frozen=True, slots=True)
class Figure:
    """One part of the liquor in g, in mL at 20 °C and as a share of its mass, each with ±."""

    g: float
    g_u: float
    ml: float
    ml_u: float
    share: float
    share_u: float
    estimated: bool = False
    """It was not measured but taken from what such material usually keeps."""


@dataclass(frozen=True, slots=True)
class Balance:
    """Where a jar's liquor went; a part that was not read is None, or an estimate."""

    liquor: Figure
    """All that was in the jar, samples included."""
    recovered: Figure
    held_in_marc: Figure
    held_in_filter: Figure
    sediment: Figure | None
    sampled: Figure | None
    evaporated: Figure | None
    unaccounted: Figure
    yield_fraction: float
    """Recovered over poured solvent, both in mL at 20 °C."""
    yield_u: float
    held_per_dry_g_ml: float | None
    """None where the solids have no dry mass."""
    held_per_dry_g_ml_u: float | None
    strength: float
    """True strength of the liquor by volume at 20 °C."""
    strength_u: float
    findings: tuple[Finding, ...]
    """The verdict first."""


@dataclass(frozen=True, slots=True)
class _Case:
    """All that a balance is worked from."""

    solids: tuple[Solid, ...]
    pours: tuple[Pour, ...]
    readings: Readings
    held: tuple[Held, ...]
    kept_ml: float
    solids_ml_per_g: float


def strain_balance(
    solids: Sequence[Solid],
    pours: Sequence[Pour],
    readings: Readings,
    *,
    held_prior: Sequence[Held],
    kept_prior: tuple[float, float],
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
    solids_ml_per_g_u: float = SOLIDS_ML_PER_G_U,
) -> Balance:
    """Return the balance of a straining from what was read of it.

    `held_prior` has one entry for each solid, `kept_prior` is mL and its ± that filter and vessel
    usually keep; they stand in where marc or filter were not weighed. Volumes count as read at
    20 °C. Raises `NothingWeighed` where nothing recovered was read.
    """
    if not readings.recovered_is_read:
        allowed = "a balance needs the recovered volume or mass, or what drained"
        raise NothingWeighed("recovered amount", allowed)
    kept_ml, kept_u_ml = kept_prior if readings.is_final else (0.0, 0.0)
    guards.not_negative("volume kept by filter and vessel", kept_ml)
    guards.not_negative("uncertainty of the volume kept", kept_u_ml)
    case = _Case(tuple(solids), tuple(pours), readings, tuple(held_prior), kept_ml, solids_ml_per_g)
    return _balance(case, *_propagate(case, kept_u_ml, solids_ml_per_g_u))


def _balance(case: _Case, value: dict[str, float], u: dict[str, float]) -> Balance:
    def figure(name: str, *, estimated: bool = False) -> Figure:
        g, ml, share = f"{name}_g", f"{name}_ml", f"{name}_share"
        return Figure(value[g], u[g], value[ml], u[ml], value[share], u[share], estimated)

    def perhaps(name: str) -> Figure | None:
        return figure(name) if f"{name}_g" in value else None

    readings = case.readings
    return Balance(
        liquor=figure("liquor"),
        recovered=figure("recovered"),
        held_in_marc=figure("marc", estimated=not readings.marc_is_read),
        held_in_filter=figure(
            "filter", estimated=readings.is_final and not readings.filter_is_read
        ),
        sediment=perhaps("sediment"),
        sampled=perhaps("sampled"),
        evaporated=perhaps("evaporated"),
        unaccounted=figure("unaccounted"),
        yield_fraction=value["yield_fraction"],
        yield_u=u["yield_fraction"],
        held_per_dry_g_ml=value.get("held_per_dry_g_ml"),
        held_per_dry_g_ml_u=u.get("held_per_dry_g_ml"),
        strength=value["strength"],
        strength_u=u["strength"],
        findings=verdict(readings, value, u),
    )


@lru_cache(maxsize=64)
def _made(solids: tuple[Solid, ...], pours: tuple[Pour, ...], solids_ml_per_g: float) -> Liquor:
    return liquor(solids, pours, solids_ml_per_g)


def _parts_g(case: _Case, density: float) -> dict[str, float]:
    """Return the mass in g of every part that left or stayed, as read or as usual."""
    r = case.readings
    lines = zip(case.solids, case.held, strict=True)
    parts = {"recovered": r.recovered_g_at(density)}
    if r.marc_g is not None:
        parts["marc"] = r.marc_g.value - sum(s.undissolved_g for s in case.solids)
    else:
        parts["marc"] = sum(h.ml_per_g * h.basis_g(s) for s, h in lines) * density
    if r.filter_before_g is not None and r.filter_after_g is not None:
        parts["filter"] = r.filter_after_g.value - r.filter_before_g.value
    else:
        parts["filter"] = case.kept_ml * density
    if r.sediment_ml is not None:
        parts["sediment"] = r.sediment_ml.value * density
    if r.sampled_ml is not None:
        parts["sampled"] = r.sampled_ml.value * density
    if r.gross_charged_g is not None and r.gross_before_g is not None:
        lighter = r.gross_charged_g.value - r.gross_before_g.value
        parts["evaporated"] = lighter - parts.get("sampled", 0.0)
    return parts


def _work(case: _Case) -> dict[str, float]:
    """Work every figure of the balance from one set of inputs."""
    made = _made(case.solids, case.pours, case.solids_ml_per_g)
    density, total_g = made.density_g_ml, made.mass_g
    parts = _parts_g(case, density)
    parts["unaccounted"] = total_g - sum(parts.values())
    parts["liquor"] = total_g
    out = {f"{name}_g": g for name, g in parts.items()}
    out |= {f"{name}_ml": g / density for name, g in parts.items()}
    out |= {f"{name}_share": g / total_g for name, g in parts.items()}
    poured_ml = sum(volume_at_20_ml(p.volume_ml, p.strength, p.temperature_c) for p in case.pours)
    out["yield_fraction"] = out["recovered_ml"] / poured_ml
    out["strength"] = made.true_strength
    dry_g = sum(s.dry_g for s in case.solids)
    if dry_g > 0.0:
        out["held_per_dry_g_ml"] = out["marc_ml"] / dry_g
    if case.readings.recovered_g is not None and case.readings.recovered_ml is not None:
        out["mismatch_ml"] = out["recovered_ml"] - case.readings.recovered_ml.value
    return out


def _propagate(
    case: _Case, kept_u_ml: float, solids_ml_per_g_u: float
) -> tuple[dict[str, float], dict[str, float]]:
    """Return every figure of the balance, and its standard uncertainty."""
    value = _work(case)
    squares = dict.fromkeys(value, 0.0)
    for high, low, weight in _swings(case, kept_u_ml, solids_ml_per_g_u):
        above, below = _work(high), _work(low)
        # A swing that leaves no dry mass has no held liquid per dry gram.
        for name in squares.keys() & above.keys() & below.keys():
            squares[name] += ((above[name] - below[name]) * weight) ** 2
    return value, {name: sqrt(square) for name, square in squares.items()}


def _swings(
    case: _Case, kept_u_ml: float, solids_ml_per_g_u: float
) -> Iterator[tuple[_Case, _Case, float]]:
    """Yield the case with one input high, with it low, and what their difference counts."""
    for i, solid in enumerate(case.solids):
        for a, b, weight in (
            *_ends(solid, "mass_g", solid.mass_u_g),
            *_ends(solid, "moisture", solid.moisture_u, 1.0),
            *_ends(solid, "soluble", solid.soluble_u, 1.0),
        ):
            yield _with_item(case, "solids", i, a), _with_item(case, "solids", i, b), weight
    for i, pour in enumerate(case.pours):
        for c, d, weight in (
            *_ends(pour, "volume_ml", pour.volume_u_ml),
            *_ends(pour, "strength", pour.strength_u, 1.0),
        ):
            yield _with_item(case, "pours", i, c), _with_item(case, "pours", i, d), weight
    for field in fields(case.readings):
        reading: Measured | None = getattr(case.readings, field.name)
        for e, f, weight in _ends(reading, "value", reading.u) if reading else ():
            yield _with_reading(case, field.name, e), _with_reading(case, field.name, f), weight
    # One way of pressing errs the same way with every botanical, so all their priors move at once.
    firmer = tuple(replace(h, ml_per_g=h.ml_per_g + h.u) for h in case.held)
    yield replace(case, held=firmer), case, 1.0
    yield replace(case, kept_ml=case.kept_ml + kept_u_ml), case, 1.0
    larger = case.solids_ml_per_g + solids_ml_per_g_u
    yield replace(case, solids_ml_per_g=larger), case, 1.0


def _ends(record: _T, field: str, u: float, ceiling: float = inf) -> Iterator[tuple[_T, _T, float]]:
    """Yield `record` with `field` moved up and down by `u`, stopped at 0 and at `ceiling`."""
    value: float = getattr(record, field)
    high, low = min(ceiling, value + u), max(0.0, value - u)
    if high > low:
        above, below = replace(record, **_one(field, high)), replace(record, **_one(field, low))
        yield above, below, u / (high - low)


def _one(field: str, value: object) -> dict[str, Any]:
    return {field: value}


def _with_item(case: _Case, field: str, at: int, item: Solid | Pour) -> _Case:
    items: tuple[Solid | Pour, ...] = getattr(case, field)
    return replace(case, **_one(field, (*items[:at], item, *items[at + 1 :])))


def _with_reading(case: _Case, field: str, reading: Measured) -> _Case:
    return replace(case, readings=replace(case.readings, **_one(field, reading)))
