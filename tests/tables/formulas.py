"""Print the published formulas against our planner: `python -m tests.tables.formulas`."""

from __future__ import annotations

from tests.domain.comparisons import (
    Comparison,
    dampened,
    drug_masses,
    end_strengths,
    in_parts,
    made_up,
    yields,
)
from tests.domain.formulas import LEFT_OUT


def main() -> None:
    """Print volumes, masses and end strengths line by line, floors and solvents in short."""
    print("| row | text | figure | published | ours | off | compared |")  # noqa: T201
    print("|---|---|---|---|---|---|---|")  # noqa: T201
    for found in (*yields(), *drug_masses(), *made_up(), *end_strengths()):
        print(_line(found))  # noqa: T201
    floors = ", ".join(f"{c.row_id} {c.published[0]:.0f} < {c.ours[1]:.0f}" for c in dampened())
    print(f"\nmL that dampen the powder, and mL that we expect it to hold: {floors}.")  # noqa: T201
    solvents = ", ".join(f"{c.row_id} {_told(c)}: {c.ours[1]:.1f}" for c in in_parts())
    print(f"\n% vol of solvents told in parts, and ours: {solvents}.")  # noqa: T201
    print(f"\nLeft out: {len(LEFT_OUT)} rows, each with its reason in `LEFT_OUT`.")  # noqa: T201


def _line(found: Comparison) -> str:
    low, middle, high = found.ours
    ours = f"{middle:.4g} ({low:.4g} to {high:.4g}){'' if found.holds else ' misses'}"
    cells = (
        found.row_id,
        f"{found.row['text']}, {found.row['obtained']}",
        found.what,
        _told(found),
        ours,
        f"{100 * found.difference:+.1f} %",
        found.how,
    )
    return f"| {' | '.join(cells)} |"


def _told(found: Comparison) -> str:
    low, high = found.published
    return f"{low:.4g}" if low == high else f"{low:.4g} to {high:.4g}"


if __name__ == "__main__":
    main()
