"""Findings, cautions and shares in plain lines; each weight has a sign beside its colour."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.catalogue.cautions import LAST_WORD, gravest_first, source
from steepboard.domain import limits
from steepboard.domain.findings import Finding, Severity
from steepboard.services.cautions import HOW_DOSED
from steepboard.text import visible

if TYPE_CHECKING:
    from steepboard.catalogue.load import Caution
    from steepboard.domain.limits import DoseSum

WEIGHTS = {"stop": ("✖", "$error b"), "limit": ("▲", "$warning b"), "warn": ("▲", "$warning")}
SIGNS = (
    ("✖", "Settle this before you go on."),
    ("▲", "Take care."),
    ("·", "Good to know."),
)
_GRAVITY = {Severity.STOP: 0, Severity.WARN: 1, Severity.NOTE: 2}


def finding_lines(findings: Iterable[Finding]) -> Content:
    """Return findings, the gravest first, one to a line."""
    ordered = sorted(findings, key=lambda finding: _GRAVITY[finding.severity])
    return Content("\n").join([_line(f.severity.value, f.text) for f in ordered])


def caution_lines(cautions: Iterable[Caution]) -> Content:
    """Return cautions in full, with figures and sources, and whose word comes first."""
    lines = []
    for caution in cautions:
        sign, style = WEIGHTS.get(caution.severity, ("·", "$foreground"))
        head = Content.styled(f"{sign} {visible(caution.title)}. ", style)
        figures = f" {visible(caution.figures)}." if caution.figures else ""
        small = Content.styled(f"{figures} ({visible(source(caution))})", "$faint")
        lines.append(head + Content(visible(caution.text)) + small)
    return Content("\n").join([*lines, Content(LAST_WORD)]) if lines else Content("")


def dose_lines(doses: Sequence[DoseSum]) -> Content:
    """Return what a dose brings of limited substances, and how that is reckoned."""
    if not doses:
        return Content("")
    return Content("\n").join(
        [finding_lines(map(limits.finding, doses)), Content.styled(HOW_DOSED, "$faint")]
    )


def caution_titles(cautions: Iterable[Caution]) -> Content:
    """Return the titles of cautions in one run, each with its sign, the gravest first."""
    titles = []
    for caution in gravest_first(cautions):
        sign, style = WEIGHTS.get(caution.severity, ("·", "$foreground"))
        titles.append(Content.styled(f"{sign} {visible(caution.title)}", style))
    return Content("  ").join(titles)


def minded(cautions: Iterable[Caution]) -> Content:
    """Return the titles of cautions, and whose word comes first; nothing where there is none."""
    titles = caution_titles(cautions)
    return Content("\n").join([titles, Content(LAST_WORD)]) if titles else titles


def headed(title: str, body: Content) -> Content:
    """Return a part of a page under its title; nothing where the part is empty."""
    return Content.styled(title, "$primary b") + Content("\n") + body if body else Content("")


def parts(*found: Content) -> Content:
    """Return the parts that say something, with a blank line between them."""
    return Content("\n\n").join([part for part in found if part])


def _line(weight: str, text: str) -> Content:
    sign, style = WEIGHTS.get(weight, ("·", "$foreground"))
    return Content.styled(f"{sign} ", style) + Content(visible(text))
