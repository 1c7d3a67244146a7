"""What straining a jar of the demo brings: chance around what such material usually keeps."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from steepboard.domain.planning import Held
from steepboard.domain.records import BotanicalLine, Jar, Measure, Reading, Separation
from steepboard.services import material, straining
from steepboard.services.desk import Desk
from steepboard.services.details import details

# Invented for the demo: how often something goes wrong, and by how much.
_SPILT = 0.13
_SPILT_ML = (14.0, 34.0)
_BETWEEN_BATCHES = 0.10  # of what is held
_MISREAD = 0.05
_MISREAD_G = (16.0, 26.0)  # a scale that was not set to zero under the dish
_FILTER_G = (1.8, 2.6)
_DRAINED_FIRST = 0.45  # of what the solids hold after dripping, the part that pressing brings


@dataclass(frozen=True, slots=True)
class Outcome:
    """What scale and cylinder show of one straining."""

    strained: Mapping[Measure, float]
    """On the day of straining."""
    marc: Mapping[Measure, float]
    filter: Mapping[Measure, float]
    bottled: Mapping[Measure, float]


def outcome(desk: Desk, jar: Jar, chance: random.Random) -> Outcome:
    """Return what a straining of `jar` brings."""
    solids, held = material.solids(jar.charge), material.held(jar.charge)
    known = details(desk, jar)
    kept, density = material.kept_of(jar.charge.kept_ml, desk.settings), known.liquor.density_g_ml
    batch = max(0.3, chance.gauss(1.0, _BETWEEN_BATCHES))
    held_ml = batch * sum(
        _truly_ml_per_g(line, h) * h.basis_g(s)
        for line, s, h in zip(jar.charge.botanicals, solids, held, strict=True)
    )
    kept_ml = max(1.0, chance.gauss(kept.value, kept.u))
    spilt_ml = chance.uniform(*_SPILT_ML) if chance.random() < _SPILT else 0.0
    misread_g = chance.uniform(*_MISREAD_G) if chance.random() < _MISREAD else 0.0
    off_ml = known.liquor.volume_ml - held_ml
    pressed_ml = 0.0 if jar.charge.separation is Separation.DRIP else _DRAINED_FIRST * held_ml
    dry_filter_g = chance.uniform(*_FILTER_G)
    strained = {Measure.DRAINED: off_ml - pressed_ml}
    if pressed_ml:
        strained[Measure.PRESSED] = pressed_ml
    solid_g = sum(s.undissolved_g for s in solids)
    return Outcome(
        strained,
        {Measure.MARC: solid_g + held_ml * density + misread_g},
        {
            Measure.FILTER_BEFORE: dry_filter_g,
            Measure.FILTER_AFTER: dry_filter_g + kept_ml * density,
        },
        {Measure.RECOVERED: off_ml - kept_ml - spilt_ml},
    )


def _truly_ml_per_g(line: BotanicalLine, usual: Held) -> float:
    """Return what a gram of a botanical of the demo holds: always the same, for jars to learn."""
    own = random.Random(f"bar {line.name}").gauss(0.0, 1.0)  # noqa: S311  (no secret)
    return max(0.3 * usual.ml_per_g, usual.ml_per_g + own * usual.u)


def readings(desk: Desk, at: datetime, *measured: Mapping[Measure, float]) -> tuple[Reading, ...]:
    """Return the readings as the house's instruments show them."""
    tools, read = desk.settings.instruments, []
    for measure, value in (pair for pairs in measured for pair in pairs.items()):
        weighed = measure.unit == "g"
        step = tools.mass_step_g(value) if weighed else tools.volume_step_ml
        shown = round(round(value / step) * step, 6)
        typed = f"{shown:g} {'g' if weighed else 'mL'}"
        read.append(straining.reading(desk, measure, shown, typed, step, at))
    return tuple(read)
