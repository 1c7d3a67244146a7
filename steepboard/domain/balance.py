"""The strain balance: what came out, what stayed behind, and how sure that is.

In masses, for they add. Every ± is a standard uncertainty to first order: each input in turn is
moved by its own ± and the whole balance is worked again (`propagation`), so that figures which
share an input stay correlated.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from steepboard.domain import guards
from steepboard.domain.balance_findings import closes, closing, other_findings
from steepboard.domain.balance_swings import swings
from steepboard.domain.balance_work import Case, work
from steepboard.domain.culprit_words import advice_on
from steepboard.domain.culprits import rank
from steepboard.domain.expected import Held
from steepboard.domain.findings import Finding
from steepboard.domain.liquor import SOLIDS_ML_PER_G, SOLIDS_ML_PER_G_U, Pour, Solid
from steepboard.domain.propagation import Propagated, propagate
from steepboard.domain.readings import Measured, Readings
from steepboard.errors import NothingWeighed

__all__ = [
    "Balance",
    "Checked",
    "Figure",
    "Measured",
    "Readings",
    "Shares",
    "strain_balance",
    "strain_shares",
]


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
class Checked:
    """A figure that was measured apart from the balance, each with ±."""

    value: float
    u: float


@dataclass(frozen=True, slots=True)
class Shares:
    """Where a jar's liquor went, without ±; shares of the mass of all that went in."""

    recovered_ml: float
    """In mL at 20 °C."""
    yield_fraction: float
    """Recovered over poured solvent and rinse, in mL at 20 °C."""
    marc: float
    filter: float
    unaccounted: float
    held_per_dry_g_ml: float | None
    """None where the solids have no dry mass."""


@dataclass(frozen=True, slots=True)
class Balance:
    """Where a jar's liquor went; a part that was not read is None, or an estimate."""

    liquor: Figure
    """All that was in the jar before straining, samples included."""
    rinse: Figure | None
    """Poured on the drained solids."""
    recovered: Figure
    held_in_marc: Figure
    held_in_filter: Figure
    sediment: Figure | None
    sampled: Figure | None
    evaporated: Figure | None
    unaccounted: Figure
    yield_fraction: float
    """Recovered over poured solvent and rinse, in mL at 20 °C."""
    yield_u: float
    held_per_dry_g_ml: float | None
    """None where the solids have no dry mass."""
    held_per_dry_g_ml_u: float | None
    strength: float
    """True strength by volume at 20 °C of what came out, by calculation."""
    strength_u: float
    dissolved_g_ml: float
    """Dissolved solids in what came out, by calculation."""
    hydrometer: Checked | None
    """True strength by the hydrometer, its dissolved solids allowed for."""
    hydrometer_g_ml: Checked | None
    """Dissolved solids in g/mL that would hide so much from the hydrometer."""
    residue_g_ml: Checked | None
    """Dissolved solids in g/mL by drying."""
    undissolved_g: Checked | None
    """What stayed solid of the botanicals, in g, where the marc was weighed wet and dried."""
    findings: tuple[Finding, ...]
    """The verdict first."""


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
    kept_ml, kept_u_ml = kept_prior if readings.is_filtered else (0.0, 0.0)
    guards.not_negative("uncertainty of the volume kept", kept_u_ml)
    case = _case(solids, pours, readings, held_prior, kept_ml, solids_ml_per_g)
    causes = tuple(swings(case, kept_u_ml, solids_ml_per_g_u))
    found = propagate(work, case, causes)
    return _balance(readings, found, _findings(case, found, causes))


def strain_shares(
    solids: Sequence[Solid],
    pours: Sequence[Pour],
    readings: Readings,
    *,
    held_prior: Sequence[Held],
    kept_ml: float,
    solids_ml_per_g: float = SOLIDS_ML_PER_G,
) -> Shares:
    """Return what `strain_balance` does but for ± and findings: a tenth of the work.

    Raises `NothingWeighed` where nothing recovered was read.
    """
    kept_ml = kept_ml if readings.is_filtered else 0.0
    value = work(_case(solids, pours, readings, held_prior, kept_ml, solids_ml_per_g))
    return Shares(
        value["recovered_ml"],
        value["yield_fraction"],
        value["marc_share"],
        value["filter_share"],
        value["unaccounted_share"],
        value.get("held_per_dry_g_ml"),
    )


def _case(
    solids: Sequence[Solid],
    pours: Sequence[Pour],
    readings: Readings,
    held: Sequence[Held],
    kept_ml: float,
    solids_ml_per_g: float,
) -> Case:
    if not readings.recovered_is_read:
        allowed = "a balance needs the recovered volume or mass, or what drained"
        raise NothingWeighed("recovered amount", allowed)
    guards.not_negative("volume kept by filter and vessel", kept_ml)
    return Case(tuple(solids), tuple(pours), readings, tuple(held), kept_ml, solids_ml_per_g)


def _findings(
    case: Case, found: Propagated, causes: Sequence[tuple[Case, Case, float]]
) -> tuple[Finding, ...]:
    advice = (
        "" if closes(found) else advice_on(case, found, rank(case, causes, found.value["density"]))
    )
    verdict = closing(case.readings, found, advice)
    return (*([verdict] if verdict else []), *other_findings(case.readings, found))


def _balance(readings: Readings, found: Propagated, findings: tuple[Finding, ...]) -> Balance:
    value, u = found.value, found.u

    def figure(name: str, *, estimated: bool = False) -> Figure:
        g, ml, share = f"{name}_g", f"{name}_ml", f"{name}_share"
        return Figure(value[g], u(g), value[ml], u(ml), value[share], u(share), estimated)

    def perhaps(name: str) -> Figure | None:
        return figure(name) if f"{name}_g" in value else None

    def checked(name: str) -> Checked | None:
        return Checked(value[name], u(name)) if name in value else None

    held = checked("held_per_dry_g_ml")
    guessed = readings.is_filtered and not readings.filter_is_read
    return Balance(
        liquor=figure("liquor"),
        rinse=perhaps("rinse"),
        recovered=figure("recovered"),
        held_in_marc=figure("marc", estimated=not readings.marc_is_read),
        held_in_filter=figure("filter", estimated=guessed),
        sediment=perhaps("sediment"),
        sampled=perhaps("sampled"),
        evaporated=perhaps("evaporated"),
        unaccounted=figure("unaccounted"),
        yield_fraction=value["yield_fraction"],
        yield_u=u("yield_fraction"),
        held_per_dry_g_ml=held.value if held else None,
        held_per_dry_g_ml_u=held.u if held else None,
        strength=value["strength"],
        strength_u=u("strength"),
        dissolved_g_ml=value["dissolved_g_ml"],
        hydrometer=checked("hydrometer"),
        hydrometer_g_ml=checked("hydrometer_g_ml"),
        residue_g_ml=checked("residue_g_ml"),
        undissolved_g=checked("undissolved_g"),
        findings=findings,
    )
