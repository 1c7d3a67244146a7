"""The steps of a straining: what to do, and what may be read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.domain.records import Measure
from steepboard.services.typed_readings import Typed, read_typed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from steepboard.domain.records import Reading


@dataclass(frozen=True, slots=True)
class Ask:
    """One reading a step asks for."""

    measure: Measure
    label: str
    example: str
    otherwise: Measure | None = None
    """What it is instead where another unit is typed: a liquid may be weighed."""

    @property
    def measures(self) -> tuple[Measure, ...]:
        """All that it may turn out to be."""
        return (self.measure,) if self.otherwise is None else (self.measure, self.otherwise)

    def read(self, text: str) -> Typed:
        """Return what was understood. Raises BadAmount or OutOfRange."""
        return read_typed(text, self.measure, self.otherwise)


@dataclass(frozen=True, slots=True)
class Step:
    """One page of the walk."""

    key: str
    title: str
    do: str
    asks: tuple[Ask, ...] = ()
    enter_ends: bool = False
    """Enter goes on from any answer: the others are for those who look for them."""
    may_skip: bool = False
    """Enter goes on where the first answer is empty."""
    fills: bool = False
    """Whether it asks for the bottles."""
    short: str = ""
    """Its name in the path, where that is not the key."""


STEPS = (
    Step(
        "ready",
        "Get ready",
        "Set out a sieve, a cloth, a filter, a measuring cylinder, a scale and clean bottles. "
        "The readings below count only if you took them; leave the others empty.",
        (
            Ask(Measure.SAMPLED, "Tasted so far", "5 mL"),
            Ask(Measure.GROSS_CHARGED, "Jar, at charging", "closed, 812 g"),
            Ask(Measure.GROSS_BEFORE, "The same, now", "closed, 809 g"),
        ),
    ),
    Step(
        "drain",
        "Let it drain",
        "Pour the jar through the sieve into the cylinder and let it drip out. "
        "Going on writes down that the jar was strained.",
        (Ask(Measure.DRAINED, "Drained", "230 mL or 219 g", Measure.DRAINED_MASS),),
    ),
    Step(
        "press",
        "Press",
        "Wring or press the solids, and catch what comes apart from the rest until you have "
        "tasted it. Leave it empty if you only let it drip.",
        (Ask(Measure.PRESSED, "Pressed out", "35 mL or 33 g", Measure.PRESSED_MASS),),
    ),
    Step(
        "rinse",
        "Rinse, if you want more",
        "Enter passes this by. If you rinse: pour spirit on the drained solids, let them soak, "
        "drain and press them again, and taste it before it joins the rest.",
        (
            Ask(Measure.WASH, "Poured on", "80 mL"),
            Ask(Measure.WASH_STRENGTH, "Its strength", "45 %; empty: as in the jar"),
            Ask(Measure.WASHED_OUT, "Came back", "78 mL"),
        ),
        may_skip=True,
    ),
    Step(
        "marc",
        "Weigh the marc",
        "Set the scale to zero with a bowl on it and weigh the wet spent solids, "
        "without their cloth. This tells what they hold.",
        (
            Ask(Measure.MARC, "Wet marc", "85 g"),
            Ask(Measure.DRY_MARC, "Dried, days later", "34 g"),
        ),
        enter_ends=True,
    ),
    Step(
        "filter",
        "Filter fine",
        "Weigh the filter dry, pour the liquid through it, let it drip out and weigh it again.",
        (
            Ask(Measure.FILTER_BEFORE, "Filter, dry", "2.1 g"),
            Ask(Measure.FILTER_AFTER, "Filter, wet", "6.3 g"),
            Ask(Measure.FILTERED, "Came through", "255 mL or 243 g", Measure.FILTERED_MASS),
        ),
    ),
    Step(
        "settle",
        "Let it settle",
        "Close it and let the mud sink for a day or more; you can leave here and come back. "
        "Then pour the clear off, and measure the mud that stays behind.",
        (Ask(Measure.SEDIMENT, "Mud left", "4 mL"),),
        short="mud",
    ),
    Step(
        "measure",
        "Measure",
        "Measure all that goes into bottles. This one reading is needed, by volume or on the "
        "scale; with both, the scale is believed. What stands below them checks it.",
        (
            Ask(Measure.RECOVERED, "Volume", "250 mL"),
            Ask(Measure.RECOVERED_MASS, "or its mass", "238 g"),
            Ask(Measure.HYDROMETER, "Hydrometer", "37 % at 18 °C"),
            Ask(Measure.RESIDUE_VOLUME, "Dried of it", "10 mL"),
            Ask(Measure.RESIDUE, "Left when dry", "0.33 g"),
        ),
        enter_ends=True,
    ),
    Step("review", "Where it went", ""),
    Step(
        "bottle",
        "Bottle",
        "Fill the bottles, close them, and keep them upright, dark and cool. Say how many of which "
        "size, and each gets a code and can be drawn from; or leave it empty. Going on writes down "
        "that this jar is bottled.",
        fills=True,
    ),
    Step("label", "Label", "Copy it onto each bottle. Ctrl+T prints labels for those filled here."),
)
KEYS = tuple(step.key for step in STEPS)
ASKS = {ask.measure: ask for step in STEPS for ask in step.asks}


def is_read(step: Step, readings: Iterable[Reading]) -> bool:
    """Whether there is a reading of the step."""
    asked = {measure for ask in step.asks for measure in ask.measures}
    return any(reading.measure in asked for reading in readings)
