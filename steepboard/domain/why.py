"""Why a figure is what it is: the rule in words, what went into it, and who says so."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Input:
    """One thing that went into a figure."""

    name: str
    value: str
    """With its unit, and ± where it has one."""
    source: str
    """Published (which), common practice, from memory, measured here, assumed, or given by you."""


@dataclass(frozen=True, slots=True)
class Why:
    """The answer to where one figure comes from."""

    figure: str
    """What the figure is called where it is shown."""
    value: str
    """As it is shown."""
    rule: str
    """The equation in words, or what is known where nothing is worked out."""
    source: str
    """Of the rule; see `Input.source`."""
    inputs: tuple[Input, ...] = ()
