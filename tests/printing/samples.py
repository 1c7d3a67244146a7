"""Labels for tests: bottles of an invented bar."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from steepboard.printing.labels import LabelText

NOW = datetime(2026, 3, 18, 10, 0, tzinfo=UTC)
PLAIN = LabelText(
    code="CARA-03-A",
    name="Caraway, first floor",
    botanicals="Caraway (Carum carvi)",
    spirit="neutral spirit at 45.0 %",
    strength="43.4 % vol",
    ratio="1:7.5",
    bottled_on=date(2026, 3, 18),
)
SHARP = LabelText(
    code="ORAN-02-B",
    name="Orange, sharp",
    botanicals="Orange peel (Citrus × aurantium)",
    spirit="neutral spirit at 60.0 %",
    strength="57.0 % vol",
    ratio="1:5",
    bottled_on=date(2026, 3, 18),
    best_before=date(2027, 3, 18),
    allergens=("celery", "mustard"),
    hot=True,
    cautions=("Seville orange and medicines",),
    drops="48 drops/mL",
)


def numbered(count):
    """Return so many labels, each with a code of its own."""
    return [replace(PLAIN, code=f"CARA-{n:02}-A") for n in range(1, count + 1)]


def named(name):
    return replace(PLAIN, name=name)
