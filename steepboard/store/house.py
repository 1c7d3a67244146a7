"""The diary of the house: each dose, dropper, formula and par is the last kept of its name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from steepboard.domain.base import Base
from steepboard.domain.blending import Formula, Ingredient
from steepboard.domain.dosing import Dropper, HouseDose, Tool
from steepboard.domain.said import Said
from steepboard.store.rows import instant, stamp

if TYPE_CHECKING:
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.domain.records import Source
    from steepboard.store.connect import Store

# Of each name the last that was said and not taken back, unless that was to forget it.
_KEPT = """select e.name, t.* from house_live e join {table} t on t.entry_id = e.id
    where e.topic = ? and e.id = (select max(id) from house_live
        where topic = e.topic and name = e.name)
    order by lower(e.name)"""

_CONTENTS = (
    "house_dose",
    "dropper",
    "trial",
    "trial_step",
    "trial_added",
    "formula",
    "par",
    "price",
)


def doses(store: Store) -> tuple[HouseDose, ...]:
    """Return the house doses, by name."""
    return tuple(_dose(row) for row in store.rows(_KEPT.format(table="house_dose"), "dose"))


def droppers(store: Store) -> tuple[Dropper, ...]:
    """Return the droppers and dashers of the house, by name."""
    return tuple(
        Dropper(
            row["name"], Tool(row["tool"]), row["each_ml"], row["u"], row["strength"], row["how"]
        )
        for row in store.rows(_KEPT.format(table="dropper"), "dropper")
    )


def formulas(store: Store) -> tuple[Formula, ...]:
    """Return the formulas, by name."""
    found = store.rows(_KEPT.format(table="formula"), "formula")
    return tuple(_formula(store, row) for row in found)


def pars(store: Store) -> dict[str, float]:
    """Return the least in mL that is to stand, by name; 0 for what is not made again."""
    found = store.rows(_KEPT.format(table="par"), "par")
    return {row["name"]: row["volume_ml"] for row in found}


def add_entry(
    db: Database,
    topic: str,
    name: str,
    act: str,
    at: datetime,
    source: Source,
    initials: str,
    undoes: int | None = None,
) -> int:
    """Write one line of the house's diary and return its id; inside `Store.writing()`."""
    row = {
        "topic": topic,
        "name": name,
        "act": act,
        "at": stamp(at),
        "source": source.value,
        "initials": initials,
        "undoes": undoes,
        "after_entry": _last(db, "entry"),
        "after_bottle_entry": _last(db, "bottle_entry"),
    }
    db.table("house_entry").insert(row)
    return int(db.execute("select last_insert_rowid()").fetchone()[0])


def last_said(store: Store, topic: str | None = None, name: str = "") -> Said | None:
    """Return the last line of all, or of one thing, that was not taken back."""
    order = "id" if topic else "after_entry desc, after_bottle_entry desc, id"
    sql = f"""select * from house_live where ? is null or (topic = ? and name = ?)
        order by {order} desc limit 1"""
    return next(map(said, store.rows(sql, topic, topic, name)), None)


def forgotten_with(store: Store, one: Said) -> tuple[Said, ...]:
    """Return the lines of a topic that forgot at the same instant and hold still, with this."""
    sql = """select * from house_live e where topic = ? and act = 'forget' and at = ?
        and id = (select max(id) from house_live where topic = e.topic and name = e.name)
        order by id"""
    return tuple(map(said, store.rows(sql, one.topic, stamp(one.at))))


def kept_with(store: Store, one: Said) -> tuple[Said, ...]:
    """Return the lines that kept at the same instant, as those of one list do, with this."""
    sql = """select * from house_live where act = 'keep' and at = ?
        and (topic = ? or topic like '% price' and ? like '% price')
        and after_entry = ? and after_bottle_entry = ? order by id"""
    before = one.after_entry, one.after_bottle_entry
    return tuple(map(said, store.rows(sql, stamp(one.at), one.topic, one.topic, *before)))


def said(row: dict[str, Any]) -> Said:
    """Return a row of `house_live` as what it says."""
    return Said(
        row["id"], row["topic"], row["name"], row["act"], instant(row["at"]), row["initials"],
        row["after_entry"], row["after_bottle_entry"],
    )  # fmt: skip


def content(store: Store, entry_id: int) -> dict[str, Any]:
    """Return the columns of what an entry keeps, or of a step of a trial; empty for no more."""
    for table in _CONTENTS:
        for row in store.rows(f"select * from {table} where entry_id = ?", entry_id):
            return row
    return {}


def last_name(store: Store, topic: str) -> str:
    """Return the name of a topic that something was said of last; empty where nothing was."""
    sql = "select name from house_live where topic = ? order by id desc limit 1"
    return next((row["name"] for row in store.rows(sql, topic)), "")


def names(store: Store, topic: str) -> tuple[str, ...]:
    """Return every name that was ever said of a topic."""
    sql = "select distinct name from house_entry where topic = ? order by name"
    return tuple(row["name"] for row in store.rows(sql, topic))


def kept(store: Store, topic: str) -> tuple[str, ...]:
    """Return the names of what is kept of a topic and not forgotten since."""
    sql = """select e.name from house_live e where e.topic = ? and e.act = 'keep'
        and e.id = (select max(id) from house_live where topic = e.topic and name = e.name)"""
    return tuple(row["name"] for row in store.rows(sql, topic))


def add_dose(db: Database, entry_id: int, dose: HouseDose) -> None:
    """Write what an entry says of a dose; inside `Store.writing()`."""
    drink = dose.drink
    db.table("house_dose").insert(
        {
            "entry_id": entry_id,
            "of_name": dose.of,
            "gives": dose.gives,
            "volume_ml": dose.volume_ml,
            "intensity": dose.intensity,
            "drink": drink.name if drink else "",
            "drink_ml": drink.volume_ml if drink else None,
            "drink_strength": drink.strength if drink else None,
            "drink_sugar_g_l": drink.sugar_g_l if drink else None,
        }
    )


def add_dropper(db: Database, entry_id: int, one: Dropper) -> None:
    """Write what an entry says of a dropper; inside `Store.writing()`."""
    db.table("dropper").insert(
        {
            "entry_id": entry_id,
            "tool": one.tool.value,
            "each_ml": one.each_ml,
            "u": one.u,
            "strength": one.strength,
            "how": one.how,
        }
    )


def add_par(db: Database, entry_id: int, volume_ml: float) -> None:
    """Write what an entry says is to stand, in mL; inside `Store.writing()`."""
    db.table("par").insert({"entry_id": entry_id, "volume_ml": volume_ml})


def add_formula(db: Database, entry_id: int, one: Formula) -> None:
    """Write what an entry says of a formula; inside `Store.writing()`."""
    db.table("formula").insert(
        {
            "entry_id": entry_id,
            "base": one.base.name,
            "sample_ml": one.base.volume_ml,
            "strength": one.base.strength,
            "sugar_g_l": one.base.sugar_g_l,
            "note": one.note,
        }
    )
    db.table("ingredient").insert_all(
        {
            "entry_id": entry_id,
            "position": position,
            "of_name": part.of,
            "index_ml_l": part.index_ml_l,
        }
        for position, part in enumerate(one.ingredients)
    )


def _last(db: Database, table: str) -> int:
    return int(db.execute(f"select coalesce(max(id), 0) from {table}").fetchone()[0])


def _dose(row: dict[str, Any]) -> HouseDose:
    drink = None
    if row["drink_ml"] is not None:
        drink = Base(row["drink"], row["drink_ml"], row["drink_strength"], row["drink_sugar_g_l"])
    return HouseDose(
        row["name"], row["of_name"], row["gives"], row["volume_ml"], row["intensity"], drink
    )


def _formula(store: Store, row: dict[str, Any]) -> Formula:
    sql = "select * from ingredient where entry_id = ? order by position"
    parts = store.rows(sql, row["entry_id"])
    return Formula(
        row["name"],
        Base(row["base"], row["sample_ml"], row["strength"], row["sugar_g_l"]),
        tuple(Ingredient(part["of_name"], part["index_ml_l"]) for part in parts),
        row["note"],
    )
