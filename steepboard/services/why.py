"""Where the figures of a plan, a jar, its balance, its findings and its cautions come from."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from steepboard.domain.why import Input, Why
from steepboard.services import straining, why_balance, why_charge, why_plan
from steepboard.services.details import details
from steepboard.services.straining_result import result
from steepboard.services.why_findings import RESULTS, RULES

if TYPE_CHECKING:
    from collections.abc import Iterable

    from steepboard.catalogue.load import Caution, Library
    from steepboard.domain.findings import Finding
    from steepboard.domain.limits import DoseSum
    from steepboard.domain.records import Jar, Reading
    from steepboard.services.desk import Desk
    from steepboard.services.plans import Planned
    from steepboard.services.straining_result import Result
    from steepboard.settings import Settings


_WEIGHTS = {"stop": "grave", "limit": "limited by law", "warn": "take care", "note": "good to know"}
"""From the severity of a caution to words for people."""


def of_plan(made: Planned, settings: Settings, library: Library) -> tuple[Why, ...]:
    """Return an answer for each figure of a plan, each finding and each caution."""
    return (
        *why_charge.of_plan(made, settings, library),
        *why_plan.beside(made, library),
        *_findings(made.plan.findings),
        *_doses(made.doses),
        *_cautions(made.cautions),
    )


def of_jar(desk: Desk, jar: Jar, extra: tuple[Reading, ...] = ()) -> tuple[Why, ...]:
    """Return the answers for a jar and, where it was strained, for its balance.

    `extra` are readings that were typed and not kept yet.
    """
    found = details(desk, jar)
    return (
        *why_charge.of_charge(
            found, jar.charge, jar.charge.separation, desk.settings, desk.library_for(jar)
        ),
        *of_balance(desk, jar, extra),
        *_findings(found.findings),
        *_doses(found.doses),
        *_cautions(found.cautions),
    )


def of_balance(desk: Desk, jar: Jar, extra: tuple[Reading, ...] = ()) -> tuple[Why, ...]:
    """Return the answers for the balance of a jar, none where nothing that came out was read."""
    found = straining.balance(desk, jar, extra)
    if found is None:
        return ()
    read = {reading.measure: reading for reading in (*jar.readings, *extra)}
    answers = why_balance.of_balance(desk, jar, found, read.values())
    told = _results(result(desk, jar, found, extra))
    return (*answers, *told, *_findings(found.findings))


def _results(told: Result) -> tuple[Why, ...]:
    said = asdict(told)
    return tuple(
        Why(name, said[field], rule, source)
        for field, (name, rule, source) in RESULTS.items()
        if said[field]
    )


def _findings(findings: Iterable[Finding]) -> tuple[Why, ...]:
    return tuple(
        Why(finding.code.replace("_", " ").replace("-", " "), finding.text, *RULES[finding.code])
        for finding in findings
    )


def _doses(sums: Iterable[DoseSum]) -> tuple[Why, ...]:
    return tuple(
        Why(
            f"{one.substance} in a drink",
            "not known" if one.mg_per_l is None else f"{one.mg_per_l:.3g} mg/L",
            "The most that the plants hold, as if all of it were in what is bottled, times the "
            f"dose of {one.dose_ml_per_l:g} mL for each litre of drink.",
            "assumed, on the safe side; the dose is a house setting",
            (
                *(
                    Input(
                        f"{share.plant}, {share.mass_g:g} g",
                        "not known" if share.mg_per_g is None else f"{share.mg_per_g:g} mg/g",
                        share.source,
                    )
                    for share in one.shares
                ),
                *(
                    Input(
                        f"{check.limit.place}, {check.limit.drink}",
                        "no figure"
                        if check.limit.value is None
                        else f"{check.limit.value:g} {check.limit.unit}",
                        f"{check.limit.obtained}: {check.limit.source}",
                    )
                    for check in one.checks
                ),
            ),
        )
        for one in sums
    )


def _cautions(cautions: Iterable[Caution]) -> tuple[Why, ...]:
    return tuple(
        Why(
            one.title,
            one.figures or _WEIGHTS[one.severity],
            one.text,
            f"{one.obtained}: {one.authority}",
        )
        for one in cautions
    )
