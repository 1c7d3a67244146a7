"""The most days that anything of a jar may take; the record checks the same."""

from __future__ import annotations

LONGEST_DAYS = 400  # assumed: no steep takes longer than a year and a month
MOST_DAYS_BETWEEN = 60  # from one stir or tasting to the next, or to settle; assumed
