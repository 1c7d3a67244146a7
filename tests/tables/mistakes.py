"""How well an open balance names the reading that is wrong: simulated strainings with one mistake.

    python -m tests.tables.mistakes [BATCHES]

It counts how many balances were open; how many named all wrong readings, among one or two; named
any; did so though they thought a spill unlikely; or said that the readings cannot tell. A batch has
one of four sets of readings. Batches, losses and mistakes are invented here, and drawn from other
shapes than `steepboard.domain.mistakes` assumes: what evaporates is exponential, tares are those of
four certain vessels, digits slip as they are typed.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass, replace
from itertools import pairwise
from random import Random

from steepboard.domain.balance_swings import swings
from steepboard.domain.balance_work import Case, work
from steepboard.domain.culprits import rank
from steepboard.domain.liquor import Pour, Solid, liquor
from steepboard.domain.planning import Held
from steepboard.domain.propagation import propagate
from steepboard.domain.readings import Measured, Readings

BASE = ("recovered_ml", "marc_g")
FILTER = (*BASE, "filter_before_g", "filter_after_g")
STAGES = (*FILTER, "drained_ml", "pressed_ml")
ALL = (*STAGES, "recovered_g", "sediment_ml")
SETS = {"bottled and marc": BASE, "and filter": FILTER, "and stages": STAGES, "all": ALL}
VESSELS_G = {"cloth": (12.0, 45.0), "bowl": (90.0, 320.0), "jar": (180.0, 620.0)}


@dataclass(frozen=True)
class Batch:
    """What one simulated straining is worked from, and what was typed of it."""

    solid: Solid
    pour: Pour
    held: Held
    kept: tuple[float, float]
    density: float
    true: dict[str, float]
    steps: dict[str, float]

    def readings(self, typed: dict[str, float]) -> Readings:
        return Readings(**{name: Measured(v, self.steps[name]) for name, v in typed.items()})

    def typed(self, names: tuple[str, ...]) -> dict[str, float]:
        return {n: round(round(self.true[n] / self.steps[n]) * self.steps[n], 4) for n in names}


def batch(chance: Random, *, spilt: bool = False) -> Batch:
    """Return a straining as it truly went."""
    mass = chance.uniform(20, 150)
    moisture_u, soluble_u = chance.uniform(0.01, 0.03), chance.uniform(0.02, 0.05)
    solid = Solid(mass, chance.uniform(0.07, 0.13), chance.uniform(0.1, 0.35),
                  moisture_u, soluble_u, 0.1 / 12**0.5)  # fmt: skip
    pour = Pour(mass * chance.uniform(4.5, 8), chance.uniform(0.4, 0.7),
                volume_u_ml=2 / 12**0.5, strength_u=0.0017)  # fmt: skip
    held, kept = Held(chance.uniform(1.1, 2.2), chance.uniform(0.25, 0.45)), (6.0, 3.0)
    really = Solid(
        mass + chance.uniform(-0.05, 0.05),
        min(0.3, max(0.01, chance.gauss(solid.moisture, moisture_u))),
        max(0.02, chance.gauss(solid.soluble, soluble_u)),
    )
    made = liquor([really], [Pour(pour.volume_ml + chance.uniform(-1, 1),
                                  chance.gauss(pour.strength, 0.0017))])  # fmt: skip
    density = made.density_g_ml
    marc_ml = max(0.4, chance.gauss(held.ml_per_g, held.u)) * really.dry_g
    filter_ml, mud_ml = max(1.0, chance.gauss(*kept)), chance.uniform(0.5, 6.0)
    gone_ml = chance.expovariate(1 / (0.004 * made.volume_ml))
    gone_ml += chance.uniform(0.02, 0.15) * made.volume_ml if spilt else 0.0
    off_ml = made.volume_ml - marc_ml - gone_ml
    before = chance.uniform(1.5, 6.0)
    out_ml = off_ml - filter_ml
    true = {
        "marc_g": really.undissolved_g + marc_ml * density,
        "filter_before_g": before,
        "filter_after_g": before + filter_ml * density,
        "drained_ml": 0.8 * off_ml,
        "pressed_ml": 0.2 * off_ml,
        "recovered_ml": out_ml,
        "sediment_ml": mud_ml,
    }
    fine = chance.random() < 0.5
    steps = {name: 2.0 if name.endswith("_ml") else (0.1 if fine else 1.0) for name in true}
    steps |= {"filter_before_g": 0.1, "filter_after_g": 0.1, "sediment_ml": 1.0,
              "recovered_g": 0.1 if fine else 1.0}  # fmt: skip
    true["recovered_g"] = out_ml * density
    return Batch(solid, pour, held, kept, density, true, steps)


def with_mud(made: Batch, names: tuple[str, ...]) -> Batch:
    """Leave the mud behind, where it is measured."""
    if "sediment_ml" not in names:
        return made
    less = made.true["sediment_ml"]
    recovered = made.true["recovered_ml"] - less
    true = {**made.true, "recovered_ml": recovered, "recovered_g": recovered * made.density}
    return replace(made, true=true)


Spoilt = tuple[dict[str, float], set[str]]
"""What is typed, and which readings of it are wrong."""


def _put(made: Batch, typed: dict[str, float], name: str, value: float) -> Spoilt | None:
    shown = round(round(value / made.steps[name]) * made.steps[name], 4)
    return ({**typed, name: shown}, {name}) if name in typed and shown != typed[name] else None


def _swapped(made: Batch, typed: dict[str, float], chance: Random) -> Spoilt:
    other = chance.choice([n for n in ("recovered_ml", "recovered_g") if n in typed])
    return {**typed, "marc_g": typed[other], other: typed["marc_g"]}, {"marc_g", other}


def _grams(made: Batch, typed: dict[str, float], chance: Random) -> Spoilt | None:
    name = chance.choice([n for n in ("recovered_ml", "drained_ml", "pressed_ml") if n in typed])
    return _put(made, typed, name, made.true[name] * made.density)


def _millilitres(made: Batch, typed: dict[str, float], chance: Random) -> Spoilt | None:
    return _put(made, typed, "recovered_g", made.true["recovered_ml"])


def _marc_tare(made: Batch, typed: dict[str, float], chance: Random) -> Spoilt | None:
    tare = chance.uniform(*chance.choice(list(VESSELS_G.values())))
    return _put(made, typed, "marc_g", made.true["marc_g"] + tare)


def _bottle_tare(made: Batch, typed: dict[str, float], chance: Random) -> Spoilt | None:
    return _put(made, typed, "recovered_g", made.true["recovered_g"] + chance.uniform(150, 700))


def _never_dried(made: Batch, typed: dict[str, float], chance: Random) -> Spoilt | None:
    wet_g = made.true["filter_after_g"] - made.true["filter_before_g"]
    soaked_g = made.true["filter_before_g"] + wet_g * chance.uniform(0.5, 1.0)
    return _put(made, typed, "filter_before_g", soaked_g)


def _slipped(made: Batch, typed: dict[str, float], chance: Random) -> Spoilt:
    name = chance.choice([n for n in typed if n != "sediment_ml"])
    return {**typed, name: round(typed[name] * chance.choice([10.0, 0.1]), 4)}, {name}


def _turned(made: Batch, typed: dict[str, float], chance: Random) -> Spoilt | None:
    name = chance.choice([n for n in typed if n != "sediment_ml"])
    shown = f"{typed[name]:g}"
    pairs = [i for i, pair in enumerate(pairwise(shown)) if "".join(pair).isdigit()]
    pairs = [i for i in pairs if shown[i] != shown[i + 1]]
    if not pairs:
        return None
    at = chance.choice(pairs)
    turned = shown[:at] + shown[at + 1] + shown[at] + shown[at + 2 :]
    return ({**typed, name: float(turned)}, {name}) if turned[0] != "0" else None


def _left_out(made: Batch, typed: dict[str, float], chance: Random) -> Spoilt | None:
    """Type only the first one or two digits of what came out, as 7 or 78 for 780."""
    name = chance.choice([n for n in typed if n.startswith("recovered")])
    shown = f"{typed[name]:.0f}"
    return _put(made, typed, name, float(shown[: chance.randint(1, len(shown) - 1)]))


MISTAKES = {
    "marc and recovered swapped": _swapped,
    "grams typed for millilitres": _grams,
    "millilitres typed for grams": _millilitres,
    "tare forgotten under the marc": _marc_tare,
    "tare forgotten under the bottle": _bottle_tare,
    "filter never dried": _never_dried,
    "digit slipped": _slipped,
    "digits turned round": _turned,
    "digits left out": _left_out,
}


def named(made: Batch, typed: dict[str, float]) -> tuple[bool, set[str], float]:
    """Return whether the balance is open, which readings are named, and the chance of a loss."""
    case = Case((made.solid,), (made.pour,), made.readings(typed), (made.held,), made.kept[0], 0.62)
    causes = tuple(swings(case, made.kept[1], 0.03))
    found = propagate(work, case, causes)
    if abs(found.value["unaccounted_g"]) <= 2 * found.u("unaccounted_g"):
        return False, set(), 0.0
    ranking = rank(case, causes, found.value["density"])
    return True, {f for s in ranking.named for f in s.fields}, ranking.lost


def tally(batches: int, seed: int) -> dict[str, Counter[str]]:
    """Return for each mistake how often it broke the balance, and what was then said."""
    chance = Random(seed)
    return {kind: _row(kind, batches, chance) for kind in ("sound", "spilt", *MISTAKES)}


def _row(kind: str, batches: int, chance: Random) -> Counter[str]:
    row: Counter[str] = Counter()
    while row["batches"] < batches:
        names = chance.choice(list(SETS.values()))
        made = with_mud(batch(chance, spilt=kind == "spilt"), names)
        typed = made.typed(names)
        spoilt = MISTAKES[kind](made, typed, chance) if kind in MISTAKES else (typed, set())
        if spoilt is None:
            continue
        row["batches"] += 1
        is_open, accused, lost = named(made, spoilt[0])
        row["open"] += is_open
        row["named"] += bool(accused)
        row["flatly"] += bool(accused) and lost <= 0.2
        row["right"] += bool(spoilt[1]) and spoilt[1] <= accused
        row["cannot tell"] += is_open and not accused
    return row


def shares(table: dict[str, Counter[str]]) -> tuple[float, float]:
    """Return how often the culprit is named, and how often a sound batch is accused."""
    wrong = [table[kind] for kind in MISTAKES]
    right = sum(row["right"] for row in wrong) / sum(row["open"] for row in wrong)
    return right, table["sound"]["named"] / table["sound"]["batches"]


def main() -> None:
    """Print the table."""
    batches, say = int(sys.argv[1]) if len(sys.argv) > 1 else 1000, sys.stdout.write
    table = tally(batches, seed=4)
    head = ("batches", "open", "right", "named", "flatly", "cannot tell")
    say(f"{'':<34}" + "".join(f"{h:>12}" for h in head) + "\n")
    for kind, row in table.items():
        say(f"{kind:<34}" + "".join(f"{row[h]:>12}" for h in head) + "\n")
    right, accused = shares(table)
    say(f"named in {100 * right:.1f} % of the mistakes that break the balance\n")
    say(f"a sound batch is accused in {100 * accused:.1f} %\n")


if __name__ == "__main__":
    main()
