"""Writing to the record. Every function expects to be inside `Store.writing()`."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import date, time
from typing import TYPE_CHECKING

from steepboard.domain.records import Kind
from steepboard.store.rows import stamp

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime
    from typing import Any

    from sqlite_utils import Database

    from steepboard.domain.records import Charge, Habit, Reading, Separation, Source


def add_jar(db: Database, stem: str, name: str) -> tuple[int, str]:
    """Add a jar and return its id and its code: the stem and the next free number."""
    code = next_code(db, stem)
    return _inserted(db, "jar", {"code": code, "name": name}), code


def next_code(db: Database, stem: str) -> str:
    """Return the stem and the next number that no jar and no blend in bottles has."""
    taken = [
        int(code.rpartition("-")[2])
        for (code,) in db.execute(
            """select code from jar where code glob :like
               union select batch from bottle where batch glob :like""",
            {"like": f"{stem}-[0-9]*"},
        ).fetchall()
    ]
    return f"{stem}-{max(taken, default=0) + 1:02d}"


def next_act(db: Database, jar_id: int) -> int:
    """Return the number of the next act of a jar."""
    sql = "select coalesce(max(act), 0) + 1 from entry where jar_id = ?"
    return int(db.execute(sql, [jar_id]).fetchone()[0])


def add_entry(
    db: Database,
    jar_id: int,
    act: int,
    kind: Kind,
    *,
    at: datetime,
    source: Source,
    initials: str,
    note: str = "",
    strain_on: date | None = None,
    separation: Separation | None = None,
    undoes: int | None = None,
) -> int:
    """Write one line of the diary and return its id."""
    row = {
        "jar_id": jar_id,
        "act": act,
        "kind": kind.value,
        "at": stamp(at),
        "source": source.value,
        "initials": initials,
        "note": note,
        "strain_on": strain_on.isoformat() if strain_on else None,
        "separation": separation.value if separation else None,
        "undoes": undoes,
    }
    return _inserted(db, "entry", row)


def add_charge(
    db: Database, entry_id: int, charge: Charge, acknowledged: Iterable[str] = ()
) -> None:
    """Write what a plan or a charge entry put (or will put) into the jar."""
    db.table("charge").insert(
        {
            "entry_id": entry_id,
            "strain_on": charge.strain_on.isoformat(),
            "stir_every_days": charge.stir_every_days,
            "separation": charge.separation.value,
            "vessel_ml": charge.vessel_ml,
            "held_ml_per_g": charge.held_ml_per_g,
            "kept_ml": charge.kept_ml,
            "taste_from_day": charge.taste_from_day,
        }
    )
    db.table("botanical").insert_all(
        {"entry_id": entry_id, "position": position, **asdict(line)}
        for position, line in enumerate(charge.botanicals)
    )
    db.table("spirit").insert_all(
        {"entry_id": entry_id, "position": position, **asdict(line)}
        for position, line in enumerate(charge.spirits)
    )
    db.table("acknowledged").insert_all(
        {"entry_id": entry_id, "caution": caution} for caution in acknowledged
    )


def add_readings(db: Database, entry_id: int, readings: Iterable[Reading]) -> None:
    """Write what was measured in an act."""
    db.table("reading").insert_all(
        {
            "entry_id": entry_id,
            "measure": reading.measure.value,
            "value": reading.value,
            "typed": reading.typed,
            "resolution": reading.resolution,
            "temperature_c": reading.temperature_c,
            "instrument": reading.instrument.value if reading.instrument else None,
        }
        for reading in readings
    )


def add_habit(db: Database, entry_id: int, habit: Habit) -> None:
    """Write how a jar wants to be reminded from this entry on."""

    def text(value: object) -> object:
        if isinstance(value, time):
            return f"{value:%H:%M}"
        return value.isoformat() if isinstance(value, date) else value

    row = {key: text(value) for key, value in asdict(habit).items()}
    db.table("habit").insert({"entry_id": entry_id, **row})


def save_draft(db: Database, jar_id: int, step: str, typed: dict[str, str]) -> None:
    """Keep where a straining was left and what was typed."""
    db.table("draft").upsert(
        {"jar_id": jar_id, "step": step, "typed": json.dumps(typed)}, pk="jar_id"
    )


def drop_draft(db: Database, jar_id: int) -> None:
    """Forget where a straining was left."""
    db.table("draft").delete_where("jar_id = ?", [jar_id])


def _inserted(db: Database, table: str, row: dict[str, Any]) -> int:
    """Insert one row and return its id."""
    db.table(table).insert(row)
    return int(db.execute("select last_insert_rowid()").fetchone()[0])
