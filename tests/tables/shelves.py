"""Simulated shelves: do intervals hold and do yields get better as batches come in?

    python -m tests.tables.shelves [SHELVES]

Each shelf strains 30 jars of three botanicals of one class. What each botanical truly holds is
drawn from the prior that the program believes in, or from one that it has wrong. Moisture, soluble
part, filter, evaporation and readings err as well. All of it is invented for the simulation; the
priors are those of absorption.csv.
"""

from __future__ import annotations

import random
import sys
from collections import defaultdict
from dataclasses import dataclass, field
from math import sqrt
from typing import NamedTuple

from steepboard.domain.holding import held_batches
from steepboard.domain.learning import Prior, learn
from steepboard.domain.liquor import Pour, Solid, liquor
from steepboard.domain.planning import Expected, Held, expected_yield
from steepboard.domain.readings import Measured, Readings

SHELVES = 1000
JARS, BOTANICALS = 30, 3
ENOUGH = 5  # batches of its own after which a botanical is to be well known
SHOWN = (0, 1, 3, ENOUGH)
RATIO = 10.0  # mL of spirit per gram, so that even flowers leave something to pour off
KEPT = (6.0, 3.0)  # mL that filter and vessel keep, and its ±; the house's setting
SCALE_G, CYLINDER_ML = 1.0, 2.0  # steps of a kitchen scale and of a 500 mL cylinder
BELIEVED = (0.10, 0.20, 0.012, 0.046)  # water, soluble part, and ± of a span of 8 to 12, 12 to 28 %
PRIORS = (  # mean and sd, mL per dry gram, of absorption.csv
    (2.6, 0.5), (4.0, 0.9), (3.6, 1.1), (2.2, 0.6), (1.3, 0.5), (4.8, 1.4), (2.4, 0.6), (2.0, 0.6),
    (1.5, 0.4), (0.85, 0.3), (1.7, 0.5), (1.5, 0.5), (1.1, 0.35), (2.8, 0.8), (1.9, 0.5),
)  # fmt: skip
WRONG = {  # by how many sd of the prior the truth lies above it, and how many times as wide it is
    "is right": (0.0, 1.0),
    "is too low": (1.5, 1.0),
    "is too high": (-1.5, 1.0),
    "is too narrow": (0.0, 2.0),
    "is too wide": (0.0, 0.5),
}


class Nature(NamedTuple):
    """What one botanical is really like."""

    held_ml_per_g: float
    moisture: float
    soluble: float


@dataclass
class Tally:
    """What is counted over jars, by the batches that their botanical had behind it."""

    jars: int = 0
    within: int = 0
    squares: dict[str, float] = field(default_factory=lambda: defaultdict(float))

    def take(self, truth_ml: float, poured_ml: float, planned: Expected, knower: Expected) -> None:
        self.jars += 1
        self.within += planned.low_ml <= truth_ml <= planned.high_ml
        for rule, guess_ml in (
            ("planned", planned.expected_ml),
            ("knower", knower.expected_ml),
            ("as poured", poured_ml),
            ("less 10 %", 0.9 * poured_ml),
        ):
            self.squares[rule] += ((guess_ml - truth_ml) / poured_ml) ** 2

    @property
    def coverage(self) -> float:
        return self.within / self.jars

    def error(self, rule: str) -> float:
        """Root mean square error of the yield: of what is bottled of the poured."""
        return sqrt(self.squares[rule] / self.jars)


def simulate(wrong: tuple[float, float], shelves: int, seed: int = 1) -> dict[int, Tally]:
    """Return the tallies by number of batches behind a jar, `ENOUGH` and more as `ENOUGH`."""
    chance = random.Random(seed)
    tallies: dict[int, Tally] = defaultdict(Tally)
    for _ in range(shelves):
        _shelf(chance, wrong, tallies)
    return tallies


def _shelf(chance: random.Random, wrong: tuple[float, float], tallies: dict[int, Tally]) -> None:
    prior = Prior(*chance.choice(PRIORS))
    spread = chance.uniform(0.05, 0.20)  # between batches, of what is held
    botanicals = {str(number): _nature(chance, prior, wrong) for number in range(BOTANICALS)}
    seen: dict[str, list] = {name: [] for name in botanicals}
    for _ in range(JARS):
        name = chance.choice(list(botanicals))
        nature = botanicals[name]
        mass_g, pour = chance.uniform(20, 60), chance.choice((0.40, 0.45, 0.50, 0.60))
        believed = Solid(mass_g, *BELIEVED)
        pours = (Pour(RATIO * mass_g, pour),)
        known = learn(prior, seen).of(name)
        usual = Held(prior.mean, prior.sd, per_dry=True)
        planned = expected_yield(
            [believed], pours, [Held(max(known.mean, 0.0), known.next_u)], *KEPT
        )
        knower = expected_yield([believed], pours, [Held(nature.held_ml_per_g)], *KEPT)
        truth_ml, readings = _strain(chance, nature, mass_g, pours, spread)
        tally = tallies[min(len(seen[name]), ENOUGH)]
        tally.take(truth_ml, pours[0].volume_ml, planned, knower)
        made = liquor([believed], pours)
        seen[name].extend(held_batches([believed], made, readings, [usual], KEPT))


def _nature(chance: random.Random, prior: Prior, wrong: tuple[float, float]) -> Nature:
    shift, width = wrong
    held = -1.0
    while held < 0.1:  # a Normal cut where no solids are
        held = chance.gauss(prior.mean + shift * prior.sd, width * prior.sd)
    return Nature(held, chance.uniform(0.08, 0.12), chance.uniform(0.12, 0.28))


def _strain(chance: random.Random, nature: Nature, mass_g: float, pours, spread: float):
    """Return what is really bottled in mL, and what is read of it."""
    solid = Solid(mass_g, nature.moisture, nature.soluble)
    made = liquor([solid], pours)
    held_ml = nature.held_ml_per_g * max(0.1, chance.gauss(1.0, spread)) * solid.dry_g
    kept_ml = max(0.0, chance.gauss(*KEPT))
    gone_ml = chance.expovariate(1.0 / (0.003 * made.volume_ml))
    bottled_ml = max(1.0, made.volume_ml - held_ml - kept_ml - gone_ml)
    marc_g = solid.undissolved_g + held_ml * made.density_g_ml
    weighed = chance.random() < 0.5
    readings = Readings(
        recovered_ml=_read(bottled_ml, CYLINDER_ML),
        marc_g=_read(marc_g, SCALE_G) if weighed else None,
    )
    return bottled_ml, readings


def _read(value: float, step: float) -> Measured:
    return Measured(round(value / step) * step, step)


def main() -> None:
    """Print the table."""
    shelves = int(sys.argv[1]) if len(sys.argv) > 1 else SHELVES
    say = sys.stdout.write
    say(f"{shelves:,} shelves of {JARS} jars each; errors of the yield, root mean square.\n")
    say("\n| prior | batches before | in its 80 % | error | of who knows | times | as poured | ")
    say("less 10 % |\n|---|---|---|---|---|---|---|---|\n")
    for name, wrong in WRONG.items():
        tallies = simulate(wrong, shelves)
        for count in SHOWN:
            batches = f"{count} +" if count == ENOUGH else f"{count}"
            say(f"| {name} | {batches} | {_figures(tallies[count])} |\n")


def _figures(tally: Tally) -> str:
    planned, knower = tally.error("planned"), tally.error("knower")
    rules = " | ".join(f"{100 * tally.error(rule):.1f} %" for rule in ("as poured", "less 10 %"))
    return (
        f"{100 * tally.coverage:.1f} % | {100 * planned:.1f} % | {100 * knower:.1f} % | "
        f"{planned / knower:.2f} | {rules}"
    )


if __name__ == "__main__":
    main()
