"""A strength as an argument: a figure, or the name of a spirit that is known."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from steepboard.cli.params import STRENGTH
from steepboard.errors import BadAmount

if TYPE_CHECKING:
    from collections.abc import Sequence

    from steepboard.catalogue.load import Library

_WORDS = 6  # of the longest name of a spirit that is looked for among others; assumed


class StrengthOrName(click.ParamType[str]):
    """A strength, or a name; which of both is known once there is a shelf, for `strength`."""

    name = "strength or spirit"


STRENGTH_OR_NAME = StrengthOrName()


def strength(text: str, library: Library) -> Any:
    """Return what was understood, with `value` and `typed`; else it is a wrong call.

    Raises `NotForDrinking`.
    """
    from steepboard.services.poisons import refuse_poison
    from steepboard.services.spirits import called, not_known

    try:
        return STRENGTH.read(text)
    except BadAmount as fault:
        refuse_poison(text)
        if known := called(text, library):
            return known
        told = str(not_known(fault, text, library))
        raise click.UsageError(told, click.get_current_context()) from None


def with_strength(words: Sequence[str], library: Library) -> tuple[list[str], str]:
    """Return the words before a strength, and the strength: a figure, or a name of some words.

    Raises `NotForDrinking`.
    """
    from steepboard.services.poisons import refuse_poison

    for count in range(min(_WORDS, len(words) - 1), 1, -1):
        if library.find_spirit(name := " ".join(words[-count:])):
            return list(words[:-count]), name
        if not any(letter.isdecimal() for letter in name):
            refuse_poison(name)
    return list(words[:-1]), words[-1]
