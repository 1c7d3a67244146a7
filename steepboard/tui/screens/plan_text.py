"""A plan and its prep sheet, in plain lines."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.domain.figures import one_to, percent
from steepboard.domain.plan_findings import VESSEL_FULL
from steepboard.tui.safe import plain, say
from steepboard.tui.telling import (
    caution_lines,
    caution_titles,
    dose_lines,
    finding_lines,
    headed,
    parts,
)

if TYPE_CHECKING:
    from datetime import date

    from steepboard.services.plans import Planned

_BINDS = {
    "botanical": "The botanical you have sets the size.",
    "spirit": "The spirit you have sets the size.",
    "vessel": "The jar sets the size: it is filled to nine tenths.",
}


def plan_text(planned: Planned) -> Content:
    """Return what to weigh and pour, what to expect, and what to mind."""
    plan = planned.plan
    apparent = plan.apparent_strength
    reads = "cannot read it" if apparent is None else f"would read {percent(apparent)}"
    return parts(
        say(
            "Weigh [b]$mass[/b], pour [b]$volume[/b] of $strength\n"
            "Bottles about [b]$expected mL[/b], $low to $high mL eight times in ten\n"
            "$ratio, $liquor mL of liquid; with the solids it fills $fill mL\n"
            "Ends at [b]$end[/b]; without its solids $free; a hydrometer $reads",
            mass=planned.order.botanicals[0].typed,
            volume=planned.order.spirits[0].typed_volume,
            strength=planned.order.spirits[0].typed_strength,
            expected=f"{plan.expected_ml:.0f}",
            low=f"{plan.low_ml:.0f}",
            high=f"{plan.high_ml:.0f}",
            ratio=one_to(plan.ratio),
            liquor=f"{plan.liquor_ml:.0f}",
            fill=f"{plan.fill_ml:.0f}",
            end=percent(plan.true_strength),
            free=percent(plan.solids_free_strength),
            reads=reads,
        ),
        plain(_BINDS.get(plan.binding or "", "")),
        caution_titles(planned.cautions),
        headed("To look at", finding_lines(plan.findings)),
        headed("In a drink", dose_lines(planned.doses)),
        headed("Cautions in full", caution_lines(planned.cautions)),
    )


def sheet_text(planned: Planned, today: date) -> Content:
    """Return the prep sheet: what to fetch, the steps in order, the days, the cautions."""
    strain_on = today + timedelta(days=round(planned.known["days"].value))
    return parts(
        headed("Fetch", _fetch(planned)),
        headed(
            "Then",
            Content("\n").join(
                [
                    plain(f"{number}. {step}")
                    for number, step in enumerate(_steps(planned, strain_on, today), start=1)
                ]
            ),
        ),
        headed(
            "Expect",
            say(
                "About $ml mL to bottle ($low to $high), at $end.",
                ml=f"{planned.plan.expected_ml:.0f}",
                low=f"{planned.plan.low_ml:.0f}",
                high=f"{planned.plan.high_ml:.0f}",
                end=percent(planned.plan.true_strength),
            ),
        ),
        headed(
            "Mind",
            parts(
                finding_lines(f for f in planned.plan.findings if f.severity != "note"),
                dose_lines(planned.doses),
                caution_lines(planned.cautions),
            ),
        ),
    )


def _fetch(planned: Planned) -> Content:
    botanical, spirit = planned.order.botanicals[0], planned.order.spirits[0]
    least_ml = planned.plan.fill_ml / VESSEL_FULL
    vessel = planned.order.vessel_ml
    jar = f"the jar of {vessel:.0f} mL" if vessel else f"a jar of at least {least_ml:.0f} mL"
    return plain(
        f"{botanical.name}, {botanical.typed}; {spirit.name} of {spirit.typed_strength}, "
        f"{spirit.typed_volume}; {jar} with a lid; scale, measuring cylinder, tape and pen."
    )


def _steps(planned: Planned, strain_on: date, today: date) -> list[str]:
    botanical, spirit = planned.order.botanicals[0], planned.order.spirits[0]
    taste_on = today + timedelta(days=planned.taste_from_day)
    return [
        *([planned.preparation] if planned.preparation else []),
        f"Set the scale to zero with the bowl on it and weigh {botanical.typed}.",
        f"Solid first, then pour {spirit.typed_volume} of {spirit.typed_strength} over it.",
        "See that every piece is under the liquid.",
        "Close the lid and shake.",
        "Write the code on tape and stick it on: it is given when you charge or keep the plan.",
        f"Taste from {_day(taste_on)}. Stir as reminded.",
        f"Strain on {_day(strain_on)} ({planned.known['days'].source}).",
    ]


def _day(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B}"
