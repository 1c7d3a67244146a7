"""A shelf with 40 active jars and 2,000 past ones, made by the use cases; all figures invented."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from steepboard.domain.records import Measure
from steepboard.services import acts, straining
from tests.shelves import desk_at, order

ACTIVE, PAST = 40, 2000
NAMES = ("caraway", "coriander", "juniper", "hops", "rosemary", "orris")
_DAY = timedelta(days=1)


def fill(folder: Path, now: datetime) -> None:
    """Make the shelf in `folder`: past jars stirred for a week and strained, active ones young."""
    desk = desk_at(folder)
    desk.store.conn.execute("pragma synchronous = off")
    for number in range(PAST):
        charged = now - timedelta(days=30, hours=8 * (PAST - number))
        code = _charged(desk, number, charged)
        for day in range(1, 8):
            acts.stir(desk, (code,), charged + day * _DAY)
        ended = charged + 8 * _DAY
        read = [
            straining.reading(desk, Measure.RECOVERED, 240 + number % 20, "240 mL", 2, ended),
            straining.reading(desk, Measure.MARC, 80 + number % 15, "80 g", 0.1, ended),
        ]
        acts.strain(desk, code, tuple(read), ended, bottled=True)
    for number in range(ACTIVE):
        days = number % 14
        code = _charged(desk, number, now - days * _DAY)
        for day in range(1, days):
            acts.stir(desk, (code,), now - (days - day) * _DAY)
    desk.store.close()


def _charged(desk, number: int, at: datetime) -> str:
    made = order(NAMES[number % len(NAMES)], 38 + number % 9, acknowledged=("MISID",))
    return acts.charge(desk, made, at).code
