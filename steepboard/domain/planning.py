"""Planning a jar: backwards from what is wanted, forwards from what is there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import NamedTuple

from steepboard.domain import guards
from steepboard.domain.figures import one_to
from steepboard.domain.findings import Finding
from steepboard.domain.liquor import SOLIDS_ML_PER_G, Liquor, Pour, Solid, fill_ml, liquor
from steepboard.domain.plan_findings import (
    KEEPS,
    VESSEL_FULL,
    jar_findings,
    vessel_findings,
    yield_findings,
)
from steepboard.domain.ratio import house_ratio, ratio_findings
from steepboard.errors import NoAnswer, NothingWeighed

_LEAST_YIELD = 0.01  # of what is poured; assumed, below it a plan weighs kilograms for nothing
_Z_80 = 1.2816  # half-width of a normal 80 % interval in standard deviations; any normal table


@dataclass(frozen=True, slots=True)
class Held:
    """Liquid that a gram of spent solids holds, in mL/g, with its standard uncertainty.

    The gram is a dry one, but for fresh material one as charged, unless `per_dry` says dry.
    """

    ml_per_g: float
    u: float = 0.0
    per_dry: bool = False

    def __post_init__(self) -> None:
        """Refuse what no solids can hold."""
        guards.not_negative("held liquid per gram", self.ml_per_g)
        guards.not_negative("uncertainty of the held liquid", self.u)

    def basis_g(self, solid: Solid) -> float:
        """Return the grams of `solid` that the figure counts by."""
        return solid.mass_g if solid.fresh and not self.per_dry else solid.dry_g


@dataclass(frozen=True, slots=True)
class Material:
    """What a plan needs to know of a botanical; see `Solid` and `Held` for the figures."""

    moisture: float
    soluble: float
    held_ml_per_g: float
    held_u: float = 0.0
    fresh: bool = False
    per_dry: bool = False
    usual_ratio: tuple[float, float] | None = None
    """The least and the most mL of solvent for each gram, where they are known."""

    @property
    def held(self) -> Held:
        """What its spent solids hold."""
        return Held(self.held_ml_per_g, self.held_u, self.per_dry)

    def solid(self, mass_g: float) -> Solid:
        """Return so much of it as a jar is charged with."""
        return Solid(mass_g, self.moisture, self.soluble, fresh=self.fresh)


class Expected(NamedTuple):
    """Bottled volume to expect in mL, and the ends of its 80 % interval."""

    expected_ml: float
    low_ml: float
    high_ml: float


@dataclass(frozen=True, slots=True)
class Plan:
    """One planned jar; volumes in mL at 20 °C."""

    botanical_g: float
    solvent_ml: float
    ratio: float
    liquor: Liquor
    expected_ml: float
    low_ml: float
    high_ml: float
    fill_ml: float
    binding: str | None
    """What set the size: `botanical`, `spirit` or `vessel`; None where the wanted volume did."""
    findings: tuple[Finding, ...]

    @property
    def liquor_ml(self) -> float:
        """Liquid in the jar before straining."""
        return self.liquor.volume_ml

    @property
    def true_strength(self) -> float:
        """Alcohol by volume of the liquor."""
        return self.liquor.true_strength

    @property
    def solids_free_strength(self) -> float:
        """Alcohol by volume of its ethanol and water alone."""
        return self.liquor.solids_free_strength

    @property
    def apparent_strength(self) -> float | None:
        """What a hydrometer would read at 20 °C, None where it could not."""
        return self.liquor.apparent_strength


def expected_yield(
    solids: Sequence[Solid],
    pours: Sequence[Pour],
    held: Sequence[Held],
    kept_ml: float,
    kept_u_ml: float = 0.0,
    *,
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
) -> Expected:
    """Return what a charged jar should bottle; `held` has one entry for each solid.

    The ± of several botanicals add up, for one way of pressing errs the same way with all.
    """
    made = liquor(solids, pours, solids_ml_per_g)
    return _expected(made, solids, held, kept_ml, kept_u_ml)


def plan_for_yield(
    want_ml: float,
    strength: float,
    material: Material,
    *,
    kept_ml: float,
    kept_u_ml: float = 0.0,
    ratio: float | None = None,
    vessel_ml: float | None = None,
    keeps: float = KEEPS,
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
) -> Plan:
    """Return the plan that bottles `want_ml`, poured at `strength` and 1:`ratio` or the house's.

    All in a jar scales with its botanical, so what one gram yields gives the answer in closed
    form. Raises `NoAnswer` where the solids would hold the liquid, or all but a hundredth of it.
    """
    guards.positive("wanted volume", want_ml)
    terms = _Terms(strength, material, ratio, kept_ml, kept_u_ml, vessel_ml, keeps, solids_ml_per_g)
    yielded_ml = terms.yielded_ml_per_g()
    if yielded_ml <= _LEAST_YIELD * terms.n:
        raise NoAnswer(
            f"At {one_to(terms.n)} the solids would hold nearly all the liquid. "
            "Take more spirit per gram, or press harder."
        )
    return terms.plan((want_ml + kept_ml) / yielded_ml, binding=None)


def plan_from(
    strength: float,
    material: Material,
    *,
    kept_ml: float,
    kept_u_ml: float = 0.0,
    botanical_g: float | None = None,
    spirit_ml: float | None = None,
    vessel_ml: float | None = None,
    ratio: float | None = None,
    keeps: float = KEEPS,
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
) -> Plan:
    """Return the largest plan that botanical, spirit and vessel allow, and which of them binds.

    A vessel is filled to nine tenths at most. Raises `NothingWeighed` where none was given.
    """
    terms = _Terms(strength, material, ratio, kept_ml, kept_u_ml, vessel_ml, keeps, solids_ml_per_g)
    limits: dict[str, float] = {}
    if botanical_g is not None:
        limits["botanical"] = guards.positive("mass of botanical", botanical_g)
    if spirit_ml is not None:
        limits["spirit"] = guards.positive("volume of spirit", spirit_ml) / terms.n
    if vessel_ml is not None:
        limits["vessel"] = VESSEL_FULL * vessel_ml / terms.fill_ml_per_g()
    if not limits:
        raise NothingWeighed("amount to plan from", "give botanical, spirit or the jar's volume")
    binding = min(limits, key=lambda name: limits[name])
    return terms.plan(limits[binding], binding)


def _expected(
    made: Liquor, solids: Sequence[Solid], held: Sequence[Held], kept_ml: float, kept_u_ml: float
) -> Expected:
    guards.not_negative("volume kept by filter and vessel", kept_ml)
    guards.not_negative("uncertainty of the volume kept", kept_u_ml)
    pairs = list(zip(solids, held, strict=True))
    held_ml = sum(h.ml_per_g * h.basis_g(s) for s, h in pairs)
    half_ml = _Z_80 * hypot(sum(h.u * h.basis_g(s) for s, h in pairs), kept_u_ml)
    left_ml = made.volume_ml - held_ml - kept_ml
    return Expected(*(max(0.0, ml) for ml in (left_ml, left_ml - half_ml, left_ml + half_ml)))


@dataclass(frozen=True, slots=True)
class _Terms:
    """What both ways of planning are asked with; a jar scales with its botanical."""

    strength: float
    material: Material
    ratio: float | None
    kept_ml: float
    kept_u_ml: float
    vessel_ml: float | None
    keeps: float
    solids_ml_per_g: float

    def __post_init__(self) -> None:
        """Refuse terms that no jar can be planned on."""
        guards.fraction("strength", self.strength)
        guards.not_negative("volume kept by filter and vessel", self.kept_ml)
        if self.ratio is not None:
            guards.positive("ratio", self.ratio)
        if self.vessel_ml is not None:
            guards.positive("volume of the jar", self.vessel_ml)

    @property
    def n(self) -> float:
        return house_ratio(self.strength) if self.ratio is None else self.ratio

    def liquor(self, solid: Solid) -> Liquor:
        pour = Pour(self.n * solid.mass_g, self.strength)
        return liquor([solid], [pour], self.solids_ml_per_g)

    def yielded_ml_per_g(self) -> float:
        one, held = self.material.solid(1.0), self.material.held
        return self.liquor(one).volume_ml - held.ml_per_g * held.basis_g(one)

    def fill_ml_per_g(self) -> float:
        one = self.material.solid(1.0)
        return fill_ml([one], self.liquor(one))

    def plan(self, botanical_g: float, binding: str | None) -> Plan:
        solid, material = self.material.solid(botanical_g), self.material
        made = self.liquor(solid)
        expected = _expected(made, [solid], [material.held], self.kept_ml, self.kept_u_ml)
        solvent_ml, filled_ml = self.n * botanical_g, fill_ml([solid], made)
        findings = (
            *ratio_findings(self.n, self.strength, material.usual_ratio),
            *jar_findings([solid], made, solvent_ml, self.strength, self.strength, self.keeps),
            *yield_findings(expected.expected_ml, solvent_ml),
            *vessel_findings(filled_ml, self.vessel_ml),
        )
        return Plan(botanical_g, solvent_ml, self.n, made, *expected, filled_ml, binding, findings)
