"""Everything about one jar: what is in it, what to expect of it, what to mind."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.domain import planning, ratio
from steepboard.domain.figures import percent
from steepboard.domain.liquor import Liquor, fill_ml, liquor
from steepboard.domain.plan_findings import jar_findings, vessel_findings, yield_findings
from steepboard.domain.records import Measure
from steepboard.services import material
from steepboard.services.cautions import cautions, doses
from steepboard.services.spirits import strength_findings

if TYPE_CHECKING:
    from steepboard.catalogue.load import Caution, Library
    from steepboard.domain.findings import Finding
    from steepboard.domain.limits import DoseSum
    from steepboard.domain.planning import Expected
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk


@dataclass(frozen=True, slots=True)
class Details:
    """What follows from a jar's charge; volumes in mL at 20 °C, strengths as fractions."""

    botanical_g: float
    solvent_ml: float
    """All pours once mixed, at 20 °C: less than they are apart."""
    solvent_strength: float
    """Of all pours together."""
    ratio: float
    house_ratio: float
    liquor: Liquor
    expected: Expected
    intensity: float
    """Of what was recovered, or else of what is expected."""
    findings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]
    doses: tuple[DoseSum, ...]
    """Of what was recovered, or else of what is expected."""
    sources: tuple[tuple[str, str], ...]
    """What was taken as known, with its source: pairs of plain text."""


def details(desk: Desk, jar: Jar) -> Details:
    """Return what follows from a jar's charge."""
    charge, house = jar.charge, desk.settings.arithmetic
    tools, library = desk.settings.instruments, desk.library_for(jar)
    solids = material.solids(charge, tools, library)
    pours = material.pours(charge.spirits, tools)
    made, neat = liquor(solids, pours, house.solids_ml_per_g), liquor((), pours)
    kept = material.kept_of(charge.kept_ml, desk.settings)
    expected = planning.expected_yield(
        solids,
        pours,
        material.held(charge, library),
        kept.value,
        kept.u,
        solids_ml_per_g=house.solids_ml_per_g,
    )
    mass_g = sum(line.mass_g for line in charge.botanicals)
    poured_ml, strength = neat.volume_ml, neat.solids_free_strength
    strongest = max(line.strength for line in charge.spirits)
    bottled_ml = bottled(jar, made) or expected.expected_ml
    return Details(
        mass_g,
        poured_ml,
        strength,
        poured_ml / mass_g,
        ratio.house_ratio(strength),
        made,
        expected,
        ratio.intensity(mass_g, bottled_ml, strength) if bottled_ml > 0 else 0.0,
        ratio.ratio_findings(
            poured_ml / mass_g, strength, material.usual_ratio(charge.botanicals, desk.library)
        )
        + jar_findings(solids, made, poured_ml, strength, house.keeps_strength)
        + yield_findings(expected.expected_ml, poured_ml)
        + vessel_findings(fill_ml(solids, made), charge.vessel_ml)
        + strength_findings(((line.name, line.strength) for line in charge.spirits), library),
        cautions(desk.settings, charge.botanicals, strongest, made, desk.library),
        doses(desk.settings, charge.botanicals, bottled_ml, desk.library),
        _sources(desk, jar, library),
    )


def bottled(jar: Jar, made: Liquor) -> float:
    """Return what was read as bottled, in mL: weighed, where it was only weighed; else 0."""
    volume, mass = jar.reading(Measure.RECOVERED), jar.reading(Measure.RECOVERED_MASS)
    if volume and volume.value > 0.0:
        return volume.value
    return mass.value / made.density_g_ml if mass else 0.0


def _sources(desk: Desk, jar: Jar, library: Library) -> tuple[tuple[str, str], ...]:
    rows = []
    for line in jar.charge.botanicals:
        moisture, soluble = material.moisture_of(line, library), material.soluble_of(line, library)
        given = jar.charge.held_ml_per_g
        _, held = material.held_of(line, jar.charge.separation, given, library)
        basis = "g as charged" if line.fresh else "dry g"
        rows += [
            (f"{line.name}: water {percent(moisture.value)}", moisture.source),
            (
                f"{line.name}: soluble part of the dry mass {percent(soluble.value)}",
                soluble.source,
            ),
            (f"{line.name}: holds {held.value:.2f} mL per {basis}", held.source),
        ]
    kept = material.kept_of(jar.charge.kept_ml, desk.settings)
    return (*rows, (f"Filter and vessel keep {kept.value:g} mL", kept.source))
