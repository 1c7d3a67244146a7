"""Botanicals of a plan as they are said: a name, and how much or how many parts of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from steepboard.cli.params import PART, taken
from steepboard.services.plans import Further

if TYPE_CHECKING:
    from steepboard.amounts import Amount

_AMOUNT = re.compile(r"(?P<name>.*\D)\s+(?P<amount>\d.*)")


@dataclass(frozen=True, slots=True)
class Named:
    """One botanical as it was said."""

    name: str
    amount: Amount | None = None

    @property
    def parts(self) -> float:
        """Its parts by mass among the others: its grams, where it was weighed."""
        return self.amount.value if self.amount else 1.0


def named(text: str) -> Named:
    """Return a botanical from `caraway`, `caraway 40 g` or `caraway 3 parts`."""
    found = _AMOUNT.fullmatch(text.strip())
    if found is None:
        return Named(taken(text))
    return Named(taken(found["name"]), PART.convert(found["amount"], None, None))


def grams(said: Sequence[Named]) -> float | None:
    """Return what all weigh together, where each was weighed."""
    weighed = [one.amount.value for one in said if one.amount and one.amount.unit == "g"]
    return sum(weighed) if said and len(weighed) == len(said) else None


def refuse_uneven(said: Sequence[Named]) -> None:
    """Refuse several botanicals of which some were weighed and others not."""
    if len(said) > 1 and len({one.amount.unit if one.amount else None for one in said}) > 1:
        told = "Say of each botanical its grams, or of each its parts."
        raise click.UsageError(told, click.get_current_context())


def further(said: Sequence[Named]) -> tuple[Further, ...]:
    """Return all botanicals but the first as a plan takes them."""
    return tuple(Further(one.name, one.parts) for one in said[1:])
