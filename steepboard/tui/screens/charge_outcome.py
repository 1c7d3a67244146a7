"""What follows from a charge, in plain lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.domain.figures import every, one_to, percent
from steepboard.domain.liquor import fill_ml
from steepboard.errors import SteepboardError
from steepboard.services import material
from steepboard.services.details import details
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
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk
    from steepboard.services.details import Details


def outcome(desk: Desk, jar: Jar) -> Content:
    """Return ratio, expected volume, end strength, fill, findings and cautions of a charge."""
    try:
        known = details(desk, jar)
    except SteepboardError as fault:
        return plain(f"! {fault}")
    filled = fill_ml(material.solids(jar.charge, library=desk.library), known.liquor)
    return parts(
        say(
            "[b]$ratio[/b]  house rule $house at $strength\n"
            "Bottles about [b]$expected mL[/b], $range\n"
            "Ends at [b]$end[/b]; liquid and solids fill $fill mL",
            ratio=one_to(known.ratio),
            house=one_to(known.house_ratio),
            strength=percent(known.solvent_strength),
            expected=f"{known.expected.expected_ml:.0f}",
            range=_range(known),
            end=percent(known.liquor.true_strength),
            fill=f"{filled:.1f}",
        ),
        caution_titles(known.cautions),
        headed("To look at", finding_lines(known.findings)),
        headed("In a drink", dose_lines(known.doses)),
        headed("Cautions in full", caution_lines(known.cautions)),
        headed("Taken as known", _sources(known)),
    )


def charged_text(desk: Desk, jar: Jar) -> Content:
    """Return what to remember of a jar that was just charged."""
    known = details(desk, jar)
    ends = jar.strain_on
    return say(
        "$name\nStrain on $day. Stir every $stir.\nAbout $expected mL to bottle, $range.",
        name=jar.name,
        day=f"{ends:%A} {ends.day} {ends:%B}",
        stir=every(jar.charge.stir_every_days),
        expected=f"{known.expected.expected_ml:.0f}",
        range=_range(known),
    )


def _range(known: Details) -> str:
    low, high = known.expected.low_ml, known.expected.high_ml
    return f"{low:.0f} to {high:.0f} mL eight times in ten"


def _sources(known: Details) -> Content:
    return Content("\n").join(
        [
            say("$what [$faint]($source)[/]", what=what, source=source)
            for what, source in known.sources
        ]
    )
