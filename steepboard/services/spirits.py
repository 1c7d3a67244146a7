"""The strength of a spirit by its name, where it comes from, and whether a typed one fits it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.catalogue.tables import GIVEN
from steepboard.domain.figures import percent
from steepboard.domain.plan_findings import label_findings
from steepboard.errors import BadAmount
from steepboard.numerals import quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from steepboard.catalogue.load import Library, Spirit
    from steepboard.domain.findings import Finding
    from steepboard.domain.records import SpiritLine

_ROUNDING = 1e-9  # of a strength in binary


@dataclass(frozen=True, slots=True)
class Called:
    """A strength that was asked for and answered by the name of a spirit that is known."""

    spirit: Spirit
    typed: str

    @property
    def value(self) -> float:
        """A fraction by volume at 20 °C."""
        return self.spirit.strength

    @property
    def source(self) -> str:
        """Where it comes from."""
        return source(self.spirit)

    @property
    def echo(self) -> str:
        """What was understood, for people."""
        return f"{percent(self.value)}; {self.source}"


def called(text: str, library: Library) -> Called | None:
    """Return the spirit of that name, one's own before the shipped; None where none is known."""
    found = library.find_spirit(text)
    return Called(found, text.strip()) if found else None


def not_known(fault: BadAmount, text: str, library: Library) -> BadAmount:
    """Return why a text is no strength, with the spirits besides that it may have meant."""
    if not any(letter.isalpha() for letter in text) or text.lstrip()[:1].isdecimal():
        return fault  # a figure was meant
    near = [one.name for one in library.search_spirits(text, 3)]
    named = f"one of these spirits: {'; '.join(near)}" if near else "a spirit that is known"
    reason = f"{quoted(text)} is neither a strength nor a spirit that is known."
    return BadAmount(text, reason, f"{fault.example}, or name {named}")


def source(found: Spirit) -> str:
    """Return where the strength of a spirit that is known comes from."""
    return f"{'your own spirits' if found.own else 'catalogue'}: {found.name}, {found.source}"


def source_of(line: SpiritLine, library: Library) -> str:
    """Return where the strength of a pour comes from: what was typed is a figure or a name."""
    found = library.find_spirit(line.typed_strength)
    if found is None and any(letter.isdecimal() for letter in line.typed_strength):
        return GIVEN
    if found and abs(found.strength - line.strength) < _ROUNDING:
        return source(found)
    return f"catalogue: {line.name}, as it was known then"


def strength_findings(poured: Iterable[tuple[str, float]], library: Library) -> tuple[Finding, ...]:
    """Return where a strength is far from the one that goes with the name; both of each pour."""
    found = ((library.find_spirit(name), strength) for name, strength in poured)
    return tuple(
        finding
        for one, strength in found
        if one
        for finding in label_findings(one.name, one.strength, strength)
    )
