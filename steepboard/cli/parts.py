"""Botanicals of a plan as they are said: a name, and how much or how many parts of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from steepboard.cli.params import MASS, taken
from steepboard.services.plans import Further

if TYPE_CHECKING:
    from steepboard.amounts import Amount

_AMOUNT = re.compile(r"(?P<name>.*\D)\s+(?P<amount>[\d.,]+\s*(?P<unit>[^\d\s].*)?)")
_PARTS = frozenset({"", "part", "parts"})


@dataclass(frozen=True, slots=True)
class Named:
    """One botanical as it was said."""

    name: str
    parts: float | None = None
    """Grams, where they were weighed."""
    weighed: bool = False


def named(text: str) -> Named:
    """Return a botanical from `caraway`, `caraway 40 g` or `caraway 3 parts`."""
    found = _AMOUNT.fullmatch(text.strip())
    if found is None:
        return Named(taken(text))
    unit = (found["unit"] or "").strip().casefold()
    if unit not in _PARTS:
        amount: Amount = MASS.read(found["amount"])
        return Named(taken(found["name"]), amount.value, weighed=True)
    number = found["amount"].removesuffix(found["unit"] or "").strip().replace(",", ".")
    try:
        parts = float(number)
    except ValueError:
        parts = 0.0
    if not parts > 0.0:
        told = f"“{text}”: parts are a number above zero, say caraway 3 parts."
        raise click.UsageError(told, click.get_current_context())
    return Named(taken(found["name"]), parts)


def grams(said: Sequence[Named]) -> float | None:
    """Return what all weigh together, where each was weighed."""
    weighed = [one.parts for one in said if one.weighed and one.parts]
    return sum(weighed) if said and len(weighed) == len(said) else None


def refuse_uneven(said: Sequence[Named]) -> None:
    """Refuse several botanicals of which some were weighed and others not."""
    if len(said) > 1 and (
        any(one.parts is None for one in said) or len({one.weighed for one in said}) > 1
    ):
        told = "Say of each botanical its grams, or of each its parts."
        raise click.UsageError(told, click.get_current_context())


def further(said: Sequence[Named]) -> tuple[Further, ...]:
    """Return all botanicals but the first as a plan takes them."""
    return tuple(Further(one.name, one.parts or 1.0) for one in said[1:])
