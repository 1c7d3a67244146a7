"""What a person may say of a botanical of their own, as options."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from steepboard.catalogue import load as catalogue
from steepboard.catalogue.botanicals import USES
from steepboard.errors import BadAmount

_Command = TypeVar("_Command", bound=Callable[..., Any])


class SpanType(click.ParamType[tuple[float, float]]):
    """The least and the most, each read by the function of that name in `steepboard.amounts`."""

    def __init__(self, name: str, reader: str) -> None:
        self.name, self._reader = name, reader

    def convert(
        self, value: str, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        """Return both; one alone is both. What cannot be read is a wrong call."""
        from steepboard import amounts

        try:
            return amounts.parse_span(value, getattr(amounts, self._reader))
        except BadAmount as fault:
            self.fail(str(fault), param, ctx)


class DaysType(click.ParamType[float]):
    """A length of steeping, in days."""

    name = "days"

    def convert(
        self, value: str, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Return the days; what cannot be read is a wrong call."""
        from steepboard import amounts

        try:
            return amounts.parse_days(value)
        except BadAmount as fault:
            self.fail(str(fault), param, ctx)


_SCORE = click.IntRange(0, 3)
_SHARE = SpanType("a-b%", "parse_fraction")
_OPTIONS = (
    click.option(
        "--class", "material_class", type=click.Choice(catalogue.classes()), help="Its kind."
    ),
    click.option("--latin", help="Its Latin name."),
    click.option(
        "--also-called", "aliases", multiple=True, metavar="NAME", help="Another name of it."
    ),
    click.option("--part", help="Which part of the plant it is."),
    click.option("--form", help="As it is bought: whole, cut, rubbed."),
    click.option("--fresh/--dried", default=None, help="In which state the figures hold."),
    click.option("--prepare", "preparation", help="How it is made ready, in a sentence."),
    click.option(
        "--ratio", type=SpanType("a-b", "parse_ratio"), help="mL for each gram, least and most."
    ),
    click.option(
        "--strength", type=SpanType("a-b%", "parse_strength"), help="Of the spirit, least and most."
    ),
    click.option(
        "--days", type=SpanType("a-b", "parse_days"), help="Days of steeping, least and most."
    ),
    click.option("--typical", "days_typical", type=DaysType(), help="Usual days of steeping."),
    click.option(
        "--taste-from", "taste_from_day", type=DaysType(), help="The first day on which to taste."
    ),
    click.option("--moisture", type=_SHARE, help="Water in it, say 11% or 9-13%."),
    click.option("--soluble", type=_SHARE, help="What dissolves of its dry mass."),
    click.option("--heat", "pungency", type=_SCORE, help="0 none to 3 strong."),
    click.option("--bitterness", type=_SCORE, help="0 none to 3 strong."),
    click.option(
        "--allergen", "allergens", multiple=True, metavar="NAME", help="An allergen it carries."
    ),
    click.option("--caution", "cautions", multiple=True, metavar="CODE", help="What to mind."),
    click.option("--use", type=click.Choice(USES), help="How it may be used."),
    click.option(
        "--soft/--firm", "fresh_soft", default=None, help="Whether it tires quickly when fresh."
    ),
    click.option("--when-fresh", "fresh_note", help="What to mind of it when fresh."),
    click.option("--note", help="A remark."),
)


def own_options(command: _Command) -> _Command:
    """Add all that one may say of a botanical, by the names that `own.said` has."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command
