"""Planning a jar: backwards from what is wanted, forwards from what is there, like a past one."""

from __future__ import annotations

from dataclasses import dataclass, replace

from steepboard.domain import guards
from steepboard.domain.expected import Expected, Held, expected_yield
from steepboard.domain.figures import one_to
from steepboard.domain.findings import Finding
from steepboard.domain.liquor import Liquor, Pour
from steepboard.domain.plan_findings import (
    jar_findings,
    short_findings,
    vessel_findings,
    yield_findings,
)
from steepboard.domain.ratio import house_ratio, ratio_findings
from steepboard.domain.roots import root_between
from steepboard.domain.terms import Material, Terms, Tools
from steepboard.errors import NoAnswer, NothingWeighed

__all__ = [
    "Expected",
    "Held",
    "Material",
    "Plan",
    "Terms",
    "Tools",
    "expected_yield",
    "plan_for_intensity",
    "plan_for_yield",
    "plan_from",
    "plan_from_intensity",
]

_LEAST_YIELD = 0.01  # of what is poured; assumed, below it a plan weighs kilograms for nothing
_LEAST_RATIO, _MOST_RATIO = 1e-3, 1000.0  # mL for each gram; assumed, beyond any tincture by far
_FIRST_GUESS_ML = 1000.0  # any start will do
_TURNS = 50  # each is nearer by the share that a filter keeps; assumed, a few are enough


@dataclass(frozen=True, slots=True)
class Plan:
    """One planned jar; volumes in mL at 20 °C."""

    botanical_g: float
    """Of all botanicals together."""
    masses_g: tuple[float, ...]
    """Of each, in their order."""
    solvent_ml: float
    """Once mixed, where it is made on the spot."""
    pours: tuple[Pour, ...]
    """The spirit as it is, or a stronger one and water, at the room's temperature."""
    ratio: float
    liquor: Liquor
    expected_ml: float
    low_ml: float
    high_ml: float
    fill_ml: float
    want_ml: float | None
    """What was to be bottled; None where the plan went forwards."""
    binding: str | None
    """What sets the size, or what there is too little of: `botanical`, `spirit` or `vessel`."""
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


def plan_for_yield(
    want_ml: float,
    terms: Terms,
    *,
    botanical_g: float | None = None,
    spirit_ml: float | None = None,
) -> Plan:
    """Return the plan that bottles `want_ml`; what is in hand and too little is told.

    All in a jar scales with its botanicals, so what one gram yields gives the answer in closed
    form. Raises `NoAnswer` where the solids would hold the liquid, or all but a hundredth of it.
    """
    guards.positive("wanted volume", want_ml)
    if terms.yielded_ml_per_g <= _LEAST_YIELD * terms.n:
        raise NoAnswer(
            f"At {one_to(terms.n)} the solids would hold nearly all the liquid. "
            "Take more spirit per gram, or press harder."
        )
    needed_g = (want_ml + terms.kept_ml) / terms.yielded_ml_per_g
    limits = terms.limits_g(botanical_g, spirit_ml)
    short = {name: g for name, g in limits.items() if g < needed_g * (1.0 - 1e-9)}  # rounding only
    plan = _plan(terms, needed_g, min(short, key=lambda name: short[name], default=None), want_ml)
    told = short_findings(
        {name: terms.expected(g).expected_ml for name, g in short.items() if name != "vessel"},
        want_ml,
    )
    return replace(plan, findings=(*told, *plan.findings))


def plan_from(
    terms: Terms, *, botanical_g: float | None = None, spirit_ml: float | None = None
) -> Plan:
    """Return the largest plan that botanical, spirit and vessel allow, and which of them binds.

    A vessel is filled to nine tenths at most. Raises `NothingWeighed` where none was given.
    """
    limits = terms.limits_g(botanical_g, spirit_ml)
    if not limits:
        raise NothingWeighed("amount to plan from", "give botanical, spirit or the jar's volume")
    binding = min(limits, key=lambda name: limits[name])
    return _plan(terms, limits[binding], binding, None)


def plan_for_intensity(
    want_ml: float,
    intensity: float,
    terms: Terms,
    *,
    botanical_g: float | None = None,
    spirit_ml: float | None = None,
) -> Plan:
    """Return the plan that bottles `want_ml` of that intensity index (`ratio.intensity`).

    The index gives the grams; the ratio is the one at which they bottle what is wanted, whatever
    `terms` say of it. Raises `NoAnswer` where no ratio does.
    """
    matched = _matched(want_ml, intensity, terms)
    return plan_for_yield(want_ml, matched, botanical_g=botanical_g, spirit_ml=spirit_ml)


def plan_from_intensity(
    intensity: float,
    terms: Terms,
    *,
    botanical_g: float | None = None,
    spirit_ml: float | None = None,
) -> Plan:
    """Return the largest plan of that intensity index that what is in hand allows.

    What one filter keeps weighs less in a larger jar, so ratio and size are found in turn. Raises
    as `plan_from` and `plan_for_intensity` do.
    """
    want_ml = _FIRST_GUESS_ML
    for _ in range(_TURNS):
        matched = _matched(want_ml, intensity, terms)
        plan = plan_from(matched, botanical_g=botanical_g, spirit_ml=spirit_ml)
        if abs(plan.expected_ml - want_ml) <= 1e-9 * want_ml:
            return plan
        want_ml = plan.expected_ml
        if want_ml <= 0.0:
            break
    raise NoAnswer("What there is bottles nothing of that intensity: take more of it.")


def _matched(want_ml: float, intensity: float, terms: Terms) -> Terms:
    """Return the terms at the ratio at which the grams of that intensity bottle `want_ml`."""
    guards.positive("wanted volume", want_ml)
    guards.positive("intensity", intensity)
    mass_g = 5.0 * intensity * want_ml / house_ratio(terms.strength)

    def left_ml(n: float) -> float:
        return replace(terms, ratio=n).yielded_ml_per_g * mass_g - terms.kept_ml - want_ml

    if left_ml(_LEAST_RATIO) >= 0.0 or left_ml(_MOST_RATIO) <= 0.0:
        raise NoAnswer("With these botanicals no ratio gives what was asked: ask for more or less.")
    return replace(terms, ratio=root_between(left_ml, _LEAST_RATIO, _MOST_RATIO, 1e-9))


def _plan(terms: Terms, botanical_g: float, binding: str | None, want_ml: float | None) -> Plan:
    solids, made = terms.solids(botanical_g), terms.liquor(botanical_g)
    expected = terms.expected(botanical_g)
    solvent_ml, filled_ml = terms.n * botanical_g, terms.fill_ml(botanical_g)
    usual = terms.materials[0].usual_ratio if len(terms.materials) == 1 else None
    findings = (
        *ratio_findings(terms.n, terms.strength, usual),
        *jar_findings(solids, made, solvent_ml, terms.strength, terms.keeps),
        *yield_findings(expected.expected_ml, solvent_ml),
        *vessel_findings(filled_ml, terms.vessel_ml),
    )
    return Plan(
        botanical_g,
        tuple(solid.mass_g for solid in solids),
        solvent_ml,
        terms.pours(botanical_g),
        terms.n,
        made,
        expected.expected_ml,
        expected.low_ml,
        expected.high_ml,
        filled_ml,
        want_ml,
        binding,
        findings,
    )
