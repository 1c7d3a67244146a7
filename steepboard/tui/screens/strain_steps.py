"""The steps of a straining: what to do, and what may be read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from steepboard.amounts import Amount, parse_mass, parse_volume
from steepboard.domain.records import Measure

if TYPE_CHECKING:
    from steepboard.domain.records import Jar


@dataclass(frozen=True, slots=True)
class Ask:
    """One reading a step asks for."""

    measure: Measure
    label: str
    example: str
    read: Callable[[str], Amount]


@dataclass(frozen=True, slots=True)
class Step:
    """One page of the walk."""

    key: str
    title: str
    do: str
    asks: tuple[Ask, ...] = ()


_volume = partial(parse_volume, zero=True)

STEPS = (
    Step(
        "ready",
        "Get ready",
        "Set out a sieve, a cloth, a filter, a measuring cylinder, a scale and clean bottles. "
        "The readings below count only if you took them; leave the others empty.",
        (
            Ask(Measure.SAMPLED, "Tasted so far", "5 mL", _volume),
            Ask(Measure.GROSS_CHARGED, "Jar, at charging", "closed, 812 g", parse_mass),
            Ask(Measure.GROSS_BEFORE, "The same, now", "closed, 809 g", parse_mass),
        ),
    ),
    Step(
        "drain",
        "Let it drain",
        "Pour the jar through the sieve into the cylinder and let it drip out. "
        "Going on writes down that the jar was strained.",
        (Ask(Measure.DRAINED, "Drained", "230 mL", _volume),),
    ),
    Step(
        "press",
        "Press",
        "Wring or press the solids, and catch what comes apart from the rest until you have "
        "tasted it. Leave it empty if you only let it drip.",
        (Ask(Measure.PRESSED, "Pressed out", "35 mL", _volume),),
    ),
    Step(
        "marc",
        "Weigh the marc",
        "Set the scale to zero with a bowl on it and weigh the wet spent solids, "
        "without their cloth. This tells what they hold.",
        (Ask(Measure.MARC, "Wet marc", "85 g", parse_mass),),
    ),
    Step(
        "filter",
        "Filter fine",
        "Weigh the filter dry, pour the liquid through it, let it drip out and weigh it again.",
        (
            Ask(Measure.FILTER_BEFORE, "Filter, dry", "2.1 g", parse_mass),
            Ask(Measure.FILTER_AFTER, "Filter, wet", "6.3 g", parse_mass),
        ),
    ),
    Step(
        "settle",
        "Let it settle",
        "Close it and let the mud sink for a day or more; you can leave here and come back. "
        "Then pour the clear off, and measure the mud that stays behind.",
        (Ask(Measure.SEDIMENT, "Mud left", "4 mL", _volume),),
    ),
    Step(
        "measure",
        "Measure",
        "Measure all that goes into bottles. This one reading is needed, by volume or on the "
        "scale; with both, the scale is believed.",
        (
            Ask(Measure.RECOVERED, "Volume", "250 mL", parse_volume),
            Ask(Measure.RECOVERED_MASS, "or its mass", "238 g", parse_mass),
        ),
    ),
    Step("review", "Where it went", ""),
    Step(
        "bottle",
        "Bottle",
        "Fill the bottles, close them, and keep them upright, dark and cool. "
        "Going on writes down that this jar is bottled.",
    ),
    Step("label", "Label", "Copy this onto each bottle."),
)
KEYS = tuple(step.key for step in STEPS)
ASKS = {ask.measure: ask for step in STEPS for ask in step.asks}
FINAL = (Measure.RECOVERED, Measure.RECOVERED_MASS)


def is_read(step: Step, jar: Jar) -> bool:
    """Whether a reading of the step was kept."""
    return any(jar.reading(ask.measure) for ask in step.asks)
