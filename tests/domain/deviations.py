"""Print the largest deviation from each published table: `python -m tests.domain.deviations`."""

from __future__ import annotations

from tests.domain.published import TABLES


def main() -> None:
    """Print one line for each source of each table."""
    for table, checks_of in TABLES.items():
        worst: dict[str, tuple[float, float, int]] = {}
        for check in checks_of():
            gap = abs(check.ours - check.published)
            largest, allowed, count = worst.get(check.source, (-1.0, 0.0, 0))
            if gap > largest:
                largest, allowed = gap, check.tolerance
            worst[check.source] = (largest, allowed, count + 1)
        print(table)  # noqa: T201
        for source, (largest, allowed, count) in worst.items():
            print(f"  {largest:9.5f} of {allowed:g} in {count:3d} rows: {source}")  # noqa: T201


if __name__ == "__main__":
    main()
