"""A plan and its prep sheet, for people and for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.cli.minding import (
    mind_json,
    say_cautions,
    say_cautions_shortly,
    say_doses,
    say_meant,
)
from steepboard.cli.orders import expected_row, liquor_rows
from steepboard.cli.render import finding_rows, say, say_findings, say_table, volume
from steepboard.domain.figures import days, one_to, percent
from steepboard.services import prep

if TYPE_CHECKING:
    from datetime import date

    from steepboard.catalogue.load import Library
    from steepboard.services.plans import Planned


def plan_json(made: Planned) -> dict[str, object]:
    """Return a plan for programs; volumes at 20 °C, but `pours` at the room's temperature."""
    found = made.plan
    names = [line.name for line in made.order.botanicals]
    return {
        "botanical_g": found.botanical_g,
        "solvent_ml": found.solvent_ml,
        "ratio": found.ratio,
        "liquor_ml": found.liquor_ml,
        "true_strength": found.true_strength,
        "solids_free_strength": found.solids_free_strength,
        "apparent_strength": found.apparent_strength,
        "expected_ml": found.expected_ml,
        "low_ml": found.low_ml,
        "high_ml": found.high_ml,
        "binding": found.binding,
        "botanicals": [
            {"name": name, "mass_g": g} for name, g in zip(names, found.masses_g, strict=True)
        ],
        "pours": [
            {
                "volume_ml": pour.volume_ml,
                "strength": pour.strength,
                "temperature_c": pour.temperature_c,
            }
            for pour in found.pours
        ],
        "rounding": {"changes_ml": made.rounded.changes_ml, "ratio": made.rounded.ratio},
        "offers": [
            {"way": one.way, "brings_ml": one.brings_ml, "strength": one.strength}
            for one in made.offers
        ],
        "findings": finding_rows(found.findings),
        **mind_json(made.cautions, made.doses),
    }


def sheet_json(made: Planned, today: date) -> dict[str, object]:
    """Return the prep sheet for programs."""
    sheet = prep.sheet(made, today)
    return {"sheet": {"fetch": sheet.fetch, "steps": list(sheet.steps), "expect": sheet.expect}}


def say_plan(made: Planned, library: Library) -> None:
    """Print what to weigh and to pour, what follows from it, and what to mind."""
    found, known = made.plan, made.known
    botanicals = made.order.botanicals
    say_table(
        [
            *(
                ("weigh", f"{g:.1f} g of {line.name}")
                for g, line in zip(found.masses_g, botanicals, strict=True)
            ),
            ("pour", _pour(made)),
            ("ratio", one_to(found.ratio)),
            ("in the jar", f"{volume(found.liquor_ml)} of liquid, {volume(found.fill_ml)} in all"),
            *liquor_rows(found.liquor),
            expected_row(found),
            ("steep", days(round(known["days"].value))),
        ]
    )
    say_meant(botanicals, library)
    if found.binding and found.want_ml is None:
        say(f"The {found.binding} sets the size.")
    if made.preparation:
        say(f"Prepare: {made.preparation}")
    say_findings(found.findings)
    _say_more(made)
    say_doses(made.doses)
    say_cautions_shortly(made.cautions, botanicals, library, "--why")
    say("Taken as known:")
    say_table(_known_rows(made))


def say_sheet(made: Planned, today: date) -> None:
    """Print the prep sheet."""
    sheet = prep.sheet(made, today)
    say(f"Fetch: {sheet.fetch}")
    for number, step in enumerate(sheet.steps, start=1):
        say(f"{number:2}. {step}")
    say(f"Expect: {sheet.expect}")
    say_findings(f for f in made.plan.findings if f.severity != "note")
    _say_more(made)
    say_doses(made.doses)
    say_cautions(made.cautions)


def _pour(made: Planned) -> str:
    found, spirits = made.plan, made.order.spirits
    if len(found.pours) == 1:
        return f"{volume(found.solvent_ml)} of {spirits[0].typed_strength}"
    return f"{prep.poured(made.order)}; mixed, {volume(found.solvent_ml)} at 20 °C"


def _say_more(made: Planned) -> None:
    for offer in made.offers:
        say(f"+ {offer.text}")
    if made.instead:
        say(f"+ For as much as you want: {made.instead}")


def _known_rows(made: Planned) -> list[tuple[str, str, str]]:
    several = bool(made.also_known)
    rows = []
    for line, known in zip(made.order.botanicals, (made.known, *made.also_known), strict=True):
        of = f" of {line.name}" if several else ""
        rows += [
            (f"water{of}", percent(known["moisture"].value), known["moisture"].source),
            (f"soluble{of}", percent(known["soluble"].value), known["soluble"].source),
            (f"held{of}", f"{known['held'].value:.2f} mL/g", known["held"].source),
        ]
    kept, steep = made.known["kept"], made.known["days"]
    return [
        *rows,
        ("kept", f"{kept.value:g} mL", kept.source),
        ("days", f"{steep.value:.0f}", steep.source),
    ]
