"""Where the figures of a plan, a jar, its balance, its findings and its cautions come from."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from steepboard.domain.liquor import fill_ml
from steepboard.domain.why import Why
from steepboard.services import material, straining, why_balance, why_charge, why_plan, why_reminds
from steepboard.services.details import details
from steepboard.services.straining_result import result
from steepboard.services.why_cautions import of_cautions, of_doses
from steepboard.services.why_findings import RESULTS, of_findings

if TYPE_CHECKING:
    from collections.abc import Iterable

    from steepboard.catalogue.load import Library
    from steepboard.domain.records import Jar, Reading
    from steepboard.services.desk import Desk
    from steepboard.services.plans import Planned
    from steepboard.services.straining_result import Result
    from steepboard.settings import Settings


def of_plan(
    made: Planned, settings: Settings, library: Library, changes: Iterable[str] = ()
) -> tuple[Why, ...]:
    """Return an answer for each figure of a plan, each finding and each caution.

    `changes` says what is otherwise than in a past jar.
    """
    return (
        *why_plan.of_plan(made, settings, library),
        *why_plan.of_changes(changes),
        *of_findings(made.plan.findings),
        *of_doses(made.doses),
        *of_cautions(made.cautions),
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
        *why_charge.of_vessel(jar.charge.vessel_ml),
        *of_balance(desk, jar, extra),
        *why_reminds.of_rhythm(desk, jar),
        *why_reminds.in_bottles(desk, jar),
        *of_findings(found.findings),
        *of_doses(found.doses),
        *of_cautions(found.cautions),
    )


def of_new_jar(desk: Desk, jar: Jar) -> tuple[Why, ...]:
    """Return the answers for a jar that is about to be charged, and for what fills it."""
    found, library, way = details(desk, jar), desk.library_for(jar), jar.charge.separation
    given = why_charge.known(jar.charge, way, desk.settings, library, why_charge.GIVEN)
    filled_ml = fill_ml(material.solids(jar.charge, library=library), found.liquor)
    return (
        *why_charge.of_charge(found, jar.charge, way, desk.settings, library, why_charge.GIVEN),
        why_charge.fills_jar(filled_ml, found.liquor, given),
        *of_findings(found.findings),
        *of_doses(found.doses),
        *of_cautions(found.cautions),
    )


def of_balance(desk: Desk, jar: Jar, extra: tuple[Reading, ...] = ()) -> tuple[Why, ...]:
    """Return the answers for the balance of a jar, none where nothing that came out was read."""
    found = straining.balance(desk, jar, extra)
    if found is None:
        return ()
    read = {reading.measure: reading for reading in (*jar.readings, *extra)}
    answers = why_balance.of_balance(desk, jar, found, read.values())
    told = _results(result(desk, jar, found, extra))
    return (*answers, *told, *of_findings(found.findings))


def _results(told: Result) -> tuple[Why, ...]:
    said = asdict(told)
    return tuple(
        Why(name, said[field], rule, source)
        for field, (name, rule, source) in RESULTS.items()
        if said[field]
    )
