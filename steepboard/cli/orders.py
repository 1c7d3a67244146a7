"""Putting an order together from what was said on the command line or in the demo's story."""

from __future__ import annotations

from collections.abc import Iterable

from steepboard.domain.records import BotanicalLine, SpiritLine
from steepboard.services import material


def to_acknowledge(botanicals: Iterable[BotanicalLine]) -> tuple[str, ...]:
    """Return the codes of the cautions that want a person's word before charging, each once."""
    asked = [c for line in botanicals for c in material.cautions_of(line) if c.needs_acknowledging]
    return tuple(dict.fromkeys(caution.code for caution in asked))


def spirit_named(names: tuple[str, ...], position: int, strength: float) -> str:
    """Return what the spirit poured at `position` is called, by default what it is."""
    if position < len(names):
        return names[position]
    return "spirit" if strength > 0 else "water"


def spirit(name: str, volume_ml: float, strength: float, typed: tuple[str, str]) -> SpiritLine:
    """Return a spirit line read at 20 °C; `typed` is its volume and strength as typed."""
    return SpiritLine(name, volume_ml, strength, 20.0, *typed)
