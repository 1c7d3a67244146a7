"""A plan and its prep sheet, in plain lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.domain.figures import one_to, percent
from steepboard.services import prep
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
    from collections.abc import Sequence
    from datetime import date

    from steepboard.services.plans import Planned

_BINDS = {
    "botanical": "The botanical you have sets the size.",
    "spirit": "The spirit you have sets the size.",
    "vessel": "The jar sets the size: it is filled to nine tenths.",
}


def plan_text(planned: Planned, changes: Sequence[str] = ()) -> Content:
    """Return what to weigh and pour, what to expect, and what to mind.

    `changes` says what is otherwise than in a past jar.
    """
    plan = planned.plan
    apparent = plan.apparent_strength
    reads = "cannot read it" if apparent is None else f"would read {percent(apparent)}"
    return parts(
        say(
            "Weigh [b]$mass[/b], pour [b]$pour[/b]\n"
            "Bottles about [b]$expected mL[/b], $low to $high mL eight times in ten\n"
            "$ratio, $liquor mL of liquid; with the solids it fills $fill mL\n"
            "Ends at [b]$end[/b]; without its solids $free; a hydrometer $reads",
            mass=prep.weighed(planned.order),
            pour=prep.poured(planned.order),
            expected=f"{plan.expected_ml:.0f}",
            low=f"{plan.low_ml:.0f}",
            high=f"{plan.high_ml:.0f}",
            ratio=one_to(plan.ratio),
            liquor=f"{plan.liquor_ml:.1f}",
            fill=f"{plan.fill_ml:.1f}",
            end=percent(plan.true_strength),
            free=percent(plan.solids_free_strength),
            reads=reads,
        ),
        plain("" if plan.want_ml else _BINDS.get(plan.binding or "", "")),
        _lines("=", changes),
        caution_titles(planned.cautions),
        headed("To look at", finding_lines(plan.findings)),
        headed("What would bring more", _more(planned)),
        headed("Taken as known of the others", _others(planned)),
        headed("In a drink", dose_lines(planned.doses)),
        headed("Cautions in full", caution_lines(planned.cautions)),
    )


def sheet_text(planned: Planned, today: date) -> Content:
    """Return the prep sheet: what to fetch, the steps in order, the days, the cautions."""
    sheet = prep.sheet(planned, today)
    steps = [plain(f"{number:2}. {step}") for number, step in enumerate(sheet.steps, start=1)]
    return parts(
        headed("Fetch", plain(sheet.fetch)),
        headed("Then", Content("\n").join(steps)),
        headed("Expect", plain(sheet.expect)),
        headed("What would bring more", _more(planned)),
        headed(
            "Mind",
            parts(
                finding_lines(f for f in planned.plan.findings if f.severity != "note"),
                dose_lines(planned.doses),
                caution_lines(planned.cautions),
            ),
        ),
    )


def _more(planned: Planned) -> Content:
    wanted = [f"For as much as you want: {planned.instead}"] if planned.instead else []
    return _lines("+", [*(offer.text for offer in planned.offers), *wanted])


def _others(planned: Planned) -> Content:
    """Return what is taken as known of all botanicals that have no answers of their own."""
    lines = []
    for line, known in zip(planned.order.botanicals[1:], planned.also_known, strict=True):
        per = "g, fresh" if line.fresh else "dry g"
        shown = {
            "moisture": f"{percent(known['moisture'].value)} water",
            "soluble": f"{percent(known['soluble'].value)} soluble",
            "held": f"holds {known['held'].value:.2f} mL per {per}",
        }
        told = "$name: $what [$faint]($source)[/]"
        lines += [
            say(told, name=line.name, what=what, source=known[name].source)
            for name, what in shown.items()
        ]
    return Content("\n").join(lines)


def _lines(sign: str, sentences: Sequence[str]) -> Content:
    return Content("\n").join([plain(f"{sign} {sentence}") for sentence in sentences])
