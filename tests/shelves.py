"""Shelves for tests: a real record in a folder of the test, and a clock that is told the time."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

from steepboard.domain.records import Source, SpiritLine
from steepboard.services import acts, material, reminder_acts, views
from steepboard.services.desk import Desk
from steepboard.settings import load
from steepboard.store.connect import Store

VIENNA = ZoneInfo("Europe/Vienna")
MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)  # 09:00 in Vienna


def desk_at(folder, **changes):
    """Return a desk at the shelf in `folder`, from the command line, signed KL."""
    record = folder / "shelf.db"
    if not record.exists():
        folder.mkdir(parents=True, exist_ok=True)
        record.write_bytes(_new_record())
        record.chmod(0o600)
    made = Desk(Store(record), VIENNA, load(), Source.COMMAND, "KL")
    return replace(made, **changes)


@cache
def _new_record():
    """Return an empty record, made once; its own tests make theirs."""
    with TemporaryDirectory() as folder:
        record = Path(folder) / "shelf.db"
        Store(record).close()
        return record.read_bytes()


def spirit(volume_ml=300.0, strength=0.45, name="neutral spirit", temperature_c=20.0):
    return SpiritLine(
        name, volume_ml, strength, temperature_c, f"{volume_ml:g}ml", f"{strength * 100:g}%"
    )


def order(name="caraway", mass_g=40.0, **changes):
    """Return an order for 40 g of caraway in 300 mL of 45 %, to be strained after 14 days."""
    line = material.weighed(name, mass_g, f"{mass_g:g}g")
    return replace(acts.Order((line,), (spirit(),), days=14), **changes)


def mute(desk, code, until, now):
    """Keep a jar quiet until a day, or no longer, and leave its other ways as they are."""
    habit = views.jar(desk, code).habit
    return reminder_acts.remind(desk, code, replace(habit, muted_until=until), now)
