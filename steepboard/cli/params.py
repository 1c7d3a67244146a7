"""Amounts as options and arguments; what reads them is loaded when one was given."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from steepboard.catalogue import load as catalogue
from steepboard.domain import guards
from steepboard.domain.records import Separation
from steepboard.errors import BadAmount
from steepboard.text import clean

_Command = TypeVar("_Command", bound=Callable[..., Any])
_MOST_HELD = 20  # mL/g; assumed, several times what the loosest flower holds
_WAYS = {"drip": Separation.DRIP, "hand": Separation.HAND, "press": Separation.PRESS}


class AmountType(click.ParamType[Any]):
    """An amount of one kind, read by the function of that name in `steepboard.amounts`."""

    def __init__(self, name: str, reader: str, *, zero: bool = False) -> None:
        self.name, self._reader = name, reader
        self._options = {"zero": True} if zero else {}

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return what was understood; a wrong amount is a wrong call, told with an example."""
        try:
            return self.read(value)
        except BadAmount as fault:
            self.fail(str(fault), param, ctx)

    def read(self, text: str) -> Any:
        """Return what was understood; raises BadAmount."""
        from steepboard import amounts

        return getattr(amounts, self._reader)(text, **self._options)


class PerGramType(click.ParamType[float]):
    """mL that a gram of dry solids holds."""

    name = "mL per g"

    def convert(
        self, value: str, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Return the number; a wrong one is a wrong call."""
        try:
            number = float(value.replace(",", "."))
        except ValueError:
            number = -1.0
        if not 0 <= number <= _MOST_HELD:
            self.fail(f"a number from 0 to {_MOST_HELD} is wanted, say 1.6", param, ctx)
        return number


MASS = AmountType("mass", "parse_mass")
VOLUME = AmountType("volume", "parse_volume")
VOLUME_READ = AmountType("volume", "parse_volume", zero=True)
STRENGTH = AmountType("strength", "parse_strength")
TEMPERATURE = AmountType("temperature", "parse_temperature")
FRACTION = AmountType("fraction", "parse_fraction")
RATIO = AmountType("ratio", "parse_ratio")
PART = AmountType("part", "parse_part")
PER_GRAM = PerGramType()

temperature_option = click.option(
    "--temperature", type=TEMPERATURE, help="At which volumes are read; 20 °C if not said."
)
separation_option = click.option(
    "--separation",
    type=click.Choice(tuple(_WAYS)),
    help="Drip, or pressed by hand or hard.",
)


def separation(word: str | None) -> Separation | None:
    """Return the way of straining that was chosen, if one was."""
    return _WAYS[word] if word else None


def celsius(amount: Any) -> float:
    """Return the temperature that was given, else 20 °C; raises OutOfRange."""
    return guards.temperature(float(amount.value)) if amount else 20.0


def taken(name: str) -> str:
    """Return a name as it is kept; a wrong call where nothing of it can be seen."""
    kept = clean(name, 80)
    if not kept:
        raise click.UsageError("A name needs a letter.", click.get_current_context())
    return kept


def value(amount: Any) -> float | None:
    """Return what an amount was understood as, in its own unit, or None where none was given."""
    return None if amount is None else float(amount.value)


def material_options(command: _Command) -> _Command:
    """Add what a person may know better of a botanical than the catalogue does."""
    for option in reversed(
        (
            click.option(
                "--class",
                "material_class",
                type=click.Choice(catalogue.classes()),
                help="Its kind, where the catalogue's does not fit.",
            ),
            click.option("--fresh/--dried", default=None, help="Where it is not as usual."),
            click.option("--moisture", type=FRACTION, help="Water in it."),
            click.option("--soluble", type=FRACTION, help="What dissolves of its dry mass."),
            click.option("--held", type=PER_GRAM, help="mL that each dry gram keeps back."),
            click.option("--kept", type=VOLUME_READ, help="What filter and vessel keep."),
            click.option(
                "--acknowledge", is_flag=True, help="You read its cautions. Takes no code."
            ),
        )
    ):
        command = option(command)
    return command
