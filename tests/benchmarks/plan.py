"""One plan with its interval, as it is worked at each key, against one density inversion."""

from __future__ import annotations

import sys
from timeit import repeat

from steepboard.domain.alcohol import mass_fraction_at_density
from steepboard.services import plans
from steepboard.services.plans import Further, Wish
from steepboard.settings import load

CALLS = 100
MOST_MS = 5.0
COMPOUND = (Further("bitter orange peel", 25), Further("fennel", 10))

WISHES = {
    "backwards": lambda at: Wish(0.45, "caraway", want_ml=250 + at),
    "forwards": lambda at: Wish(0.45, "caraway", have_g=40 + at, vessel_ml=500),
    "a compound in made solvent": lambda at: Wish(
        0.5 + at * 1e-4, "caraway", want_ml=250, parts=40, further=COMPOUND, made_from=0.96
    ),
    "like a past jar": lambda at: Wish(0.5 + at * 1e-4, "caraway", want_ml=250, intensity=0.2),
}


def main() -> None:
    """Print each plan: the best of several runs over the best of the floor's."""
    settings = load()
    floor = best(lambda at: mass_fraction_at_density(935.2 + at * 1e-3))
    for name, wish in WISHES.items():
        taken = best(lambda at, wish=wish: plans.make(settings, wish(at)))
        sys.stdout.write(
            f"{name:27} {taken / floor:4.0f} × one density inversion "
            f"({1e3 * taken:.2f} ms; at most {MOST_MS:g} ms)\n"
        )


def best(task) -> float:
    """Return the seconds of one call in the fastest of five runs; no two calls ask the same."""
    count = iter(range(10**9))
    return min(repeat(lambda: task(next(count)), number=CALLS, repeat=5)) / CALLS


if __name__ == "__main__":
    main()
