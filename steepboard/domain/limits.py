"""What a dose of tincture brings of a limited substance into a drink, beside what is allowed.

Cautious throughout: the most that a plant is known to hold counts as if all of it went into what
is bottled, and a litre of drink counts as no heavier than strong spirit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

from steepboard.domain import guards
from steepboard.domain.findings import Finding, Severity

LIGHT_KG_PER_L = 0.93
"""Of a drink of 50 % by volume at 20 °C (OIML R 22: 0.9301). Assumed: none stronger is served."""


@dataclass(frozen=True, slots=True)
class Limit:
    """What one place allows of a substance in one kind of drink."""

    substance: str
    place: str
    drink: str
    value: float | None
    """In `unit`. None: the place has set no figure; 0: none may be added."""
    unit: str
    """`mg/kg` or `mg/L`."""
    label: bool
    """Whether it is to be named from there on, rather than never to be passed."""
    source: str
    obtained: str

    @property
    def mg_per_l(self) -> float | None:
        """The limit in mg per litre of drink, the lower reading."""
        if self.value is None:
            return None
        return self.value * (LIGHT_KG_PER_L if self.unit == "mg/kg" else 1.0)


@dataclass(frozen=True, slots=True)
class Share:
    """What one plant of a jar may bring of a substance."""

    plant: str
    mass_g: float
    mg_per_g: float | None
    """The most known for each gram as weighed; None where no figure is known."""
    source: str


@dataclass(frozen=True, slots=True)
class Check:
    """A dose beside one limit."""

    limit: Limit
    within: bool | None
    """None where content or limit is not known."""
    most_ml_per_l: float | None
    """The largest dose that stays within, where it can be known."""


@dataclass(frozen=True, slots=True)
class DoseSum:
    """What a dose of a jar brings of one substance."""

    substance: str
    dose_ml_per_l: float
    """mL of tincture in a litre of drink."""
    mg_per_l: float | None
    """In the drink, of the plants with a figure; None where none has one."""
    unknown: tuple[str, ...]
    """Plants without a figure."""
    checks: tuple[Check, ...]
    shares: tuple[Share, ...]


def dose_sum(
    substance: str,
    shares: Sequence[Share],
    bottled_ml: float,
    dose_ml_per_l: float,
    limits: Sequence[Limit],
) -> DoseSum:
    """Return what `dose_ml_per_l` of a jar's `bottled_ml` brings into a litre of drink.

    Raises `OutOfRange` where a volume, a mass or a content is not one.
    """
    guards.positive("bottled volume", bottled_ml)
    guards.not_negative("dose", dose_ml_per_l)
    known_mg = [share.mass_g * share.mg_per_g for share in shares if share.mg_per_g is not None]
    for mg in known_mg:
        guards.not_negative("content", mg)
    mg_per_ml = sum(known_mg) / bottled_ml if known_mg else None
    unknown = tuple(share.plant for share in shares if share.mg_per_g is None)
    return DoseSum(
        substance,
        dose_ml_per_l,
        mg_per_ml * dose_ml_per_l if mg_per_ml is not None else None,
        unknown,
        tuple(_check(limit, mg_per_ml, dose_ml_per_l, bool(unknown)) for limit in limits),
        tuple(shares),
    )


def finding(made: DoseSum) -> Finding:
    """Return a dose sum in plain sentences, as grave as what it says."""
    said = [_amount(made), *(_said(check) for check in made.checks)]
    if not made.checks:
        said.append("No limit is known here.")
    counted = [check for check in made.checks if check.limit.value is not None]
    advice = "; have it measured or leave it out" if counted or not made.checks else ""
    said += [f"No figure for {made.substance} in {p} is known here{advice}." for p in made.unknown]
    return Finding("dose_sum", _severity(counted, bool(made.unknown and advice)), " ".join(said))


def _check(limit: Limit, mg_per_ml: float | None, dose_ml_per_l: float, unknown: bool) -> Check:
    allowed = limit.mg_per_l
    if allowed is None:
        return Check(limit, None, None)
    if allowed == 0.0:
        return Check(limit, within=False, most_ml_per_l=0.0)
    if not mg_per_ml:
        return Check(limit, None if unknown or mg_per_ml is None else True, None)
    most = allowed / mg_per_ml
    if dose_ml_per_l > most:
        return Check(limit, within=False, most_ml_per_l=None if unknown else most)
    return Check(limit, None if unknown else True, None if unknown else most)


def _amount(made: DoseSum) -> str:
    name = made.substance[:1].upper() + made.substance[1:]
    if made.mg_per_l is None:
        return f"{name}:"
    besides = ", and what has no figure besides" if made.unknown else ""
    dose = f"{made.dose_ml_per_l:.3g} mL in a litre of drink"
    return f"{name}: {dose} brings up to {careful(made.mg_per_l, up=True)} mg{besides}."


def _said(check: Check) -> str:
    limit = check.limit
    where = f"{limit.place}, {limit.drink}:"
    if limit.value is None:
        return f"{where} no limit is set."
    if limit.value == 0.0:
        return f"{where} none is allowed."
    verb = "to be named from" if limit.label else "at most"
    return f"{where} {verb} {limit.value:g} {limit.unit}{_outcome(check)}."


def _outcome(check: Check) -> str:
    """Return how a dose stands to a limit, and which dose would change that, where known."""
    most = check.most_ml_per_l
    dose = None if most is None else f"{careful(most, up=False)} mL in a litre"
    if check.within is None:
        return ""
    if check.within:
        held = "not reached" if check.limit.label else "kept"
        return f", {held}" + (f" with up to {dose}" if dose else "")
    if check.limit.label:
        return ", reached: name it" + (f", or stay under {dose}" if dose else "")
    return ", and this is too much" + (f": only {dose} would keep to it" if dose else "")


def careful(value: float, *, up: bool) -> str:
    """Return two figures of a value, and whole numbers from ten on, rounded to the careful side."""
    digits = max(0, 1 - floor(log10(value))) if value > 0.0 else 0
    scaled = round(value * 10**digits, 6)  # what floats leave over is no reason to go further
    return f"{(ceil(scaled) if up else floor(scaled)) / 10**digits:.{digits}f}"


def _severity(counted: Sequence[Check], unknown: bool) -> Severity:
    if any(check.within is False and not check.limit.label for check in counted):
        return Severity.STOP
    if unknown or any(check.within is False for check in counted):
        return Severity.WARN
    return Severity.NOTE
