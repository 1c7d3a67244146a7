"""Bench trials as the diary of the house tells them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from steepboard.domain.base import Base
from steepboard.domain.bench import Added, Step, Trial, Verdict
from steepboard.domain.dosing import Portion, Tool
from steepboard.domain.readings import Measured
from steepboard.store.house import said
from steepboard.store.rows import instant

if TYPE_CHECKING:
    from sqlite_utils import Database

    from steepboard.domain.said import Said
    from steepboard.store.connect import Store

_TRIALS = """select e.name as code, e.at, e.initials, t.*, b.code as bottle, b.name as of_name,
        exists(select 1 from house_live d
            where d.topic = 'trial' and d.name = e.name and d.act = 'end') as ended
    from house_live e join trial t on t.entry_id = e.id join bottle b on b.id = t.bottle_id
    order by e.id"""
_STEPS = """select e.name as code, e.at, s.* from house_live e
    join trial_step s on s.entry_id = e.id order by e.id"""

_ADDED = """select e.name as code, a.* from house_live e
    join trial_added a on a.entry_id = e.id where e.id > coalesce((select max(s.entry_id)
        from trial_step s join house_live d on d.id = s.entry_id
        where d.name = e.name and s.of_step is null), 0)
    order by e.id"""
_DRAWN = """select e.*, live.act as drawn_act from house_live e join trial t on t.entry_id = (
        select max(id) from house_live where topic = 'trial' and name = e.name and act = 'keep')
    join bottle_live live on live.bottle_id = t.bottle_id and live.at = e.at
        and live.purpose = 'tasting' and live.note = e.name
    where e.topic = 'trial' and e.act = 'end' and {which} = ?"""


def trials(store: Store) -> tuple[Trial, ...]:
    """Return all trials that were not taken back, oldest first."""
    steps: dict[str, dict[int, Step]] = {}
    for row in store.rows(_STEPS):
        mine = steps.setdefault(row["code"], {})
        verdict = Verdict(row["verdict"])
        if row["of_step"] is None:
            mine[row["entry_id"]] = Step(
                len(mine) + 1,
                instant(row["at"]),
                Measured(row["added_ml"], row["added_step_ml"]),
                row["typed"],
                verdict,
                row["remark"],
            )
        else:
            before = mine[row["of_step"]]
            later = replace(before, later=verdict, later_remark=row["remark"])
            mine[row["of_step"]] = later
    waiting: dict[str, list[Added]] = {}
    remarks: dict[str, str] = {}
    for row in store.rows(_ADDED):
        if row["added_ml"] is None:
            remarks[row["code"]] = row["remark"]
        else:
            added = Added(Measured(row["added_ml"], row["added_step_ml"]), row["typed"])
            waiting.setdefault(row["code"], []).append(added)
    return tuple(
        replace(
            _trial(row),
            steps=tuple(steps.get(row["code"], {}).values()),
            untasted=tuple(waiting.get(row["code"], ())),
            remark=remarks.get(row["code"], ""),
        )
        for row in store.rows(_TRIALS)
    )


def last_added(store: Store, code: str) -> int | None:
    """Return the entry of what was put into the sample last and is not tasted yet."""
    mine = [row for row in store.rows(_ADDED) if row["code"] == code and row["added_ml"]]
    return int(mine[-1]["entry_id"]) if mine else None


def remarks(store: Store, code: str) -> tuple[int, ...]:
    """Return the entries of what was remarked since the last verdict."""
    mine = [row for row in store.rows(_ADDED) if row["code"] == code and row["remark"]]
    return tuple(int(row["entry_id"]) for row in mine)


def drawn_at_end(store: Store, end: Said) -> int | None:
    """Return the act that drew from the bottle what an ended trial took; None where none did."""
    found = store.rows(_DRAWN.format(which="e.id"), end.id)
    return int(found[0]["drawn_act"]) if found else None


def ended_by(store: Store, act: int) -> Said | None:
    """Return the end of the trial for which an act drew from its bottle; None for another act."""
    return next(map(said, store.rows(_DRAWN.format(which="live.act"), act)), None)


def last_of(store: Store, bottle_id: int) -> str:
    """Return the code of the trial begun last of a bottle, ended ones too; empty for none."""
    sql = """select e.name from house_live e join trial t on t.entry_id = e.id
        where t.bottle_id = ? order by e.id desc limit 1"""
    return next((row["name"] for row in store.rows(sql, bottle_id)), "")


def add_trial(db: Database, entry_id: int, one: Trial, bottle_id: int) -> None:
    """Write how a trial begins; inside `Store.writing()`."""
    db.table("trial").insert(
        {
            "entry_id": entry_id,
            "base": one.base.name,
            "sample_ml": one.base.volume_ml,
            "sample_u_ml": one.sample_u_ml,
            "strength": one.base.strength,
            "sugar_g_l": one.base.sugar_g_l,
            "bottle_id": bottle_id,
            "dropper": one.portion.name,
            "tool": one.portion.tool.value,
            "each_ml": one.portion.each_ml,
            "u": one.portion.u,
            "source": one.portion.source,
            "thinned": one.thinned,
            "sip_ml": one.sip_ml,
        }
    )


def add_step(
    db: Database,
    entry_id: int,
    verdict: Verdict,
    remark: str,
    added: Measured,
    typed: str,
) -> None:
    """Write a step; inside `Store.writing()`."""
    db.table("trial_step").insert(
        {
            "entry_id": entry_id,
            "added_ml": added.value,
            "added_step_ml": added.resolution,
            "typed": typed,
            "of_step": None,
            "verdict": verdict.value,
            "remark": remark,
        }
    )


def add_untasted(db: Database, entry_id: int, added: Measured, typed: str) -> None:
    """Write what was put into the sample, before it is tasted; inside `Store.writing()`."""
    db.table("trial_added").insert(
        {
            "entry_id": entry_id,
            "added_ml": added.value,
            "added_step_ml": added.resolution,
            "typed": typed,
        }
    )


def add_remark(db: Database, entry_id: int, remark: str) -> None:
    """Write what is to be noted with the next verdict; inside `Store.writing()`."""
    db.table("trial_added").insert({"entry_id": entry_id, "remark": remark})


def add_verdict(
    db: Database, entry_id: int, code: str, number: int, verdict: Verdict, remark: str
) -> None:
    """Write what a step was found to be later; inside `Store.writing()`."""
    sql = """select s.entry_id from house_live e join trial_step s on s.entry_id = e.id
        where e.name = ? and s.of_step is null order by e.id limit 1 offset ?"""
    of_step = db.execute(sql, [code, number - 1]).fetchone()[0]
    db.table("trial_step").insert(
        {
            "entry_id": entry_id,
            "added_ml": None,
            "added_step_ml": None,
            "typed": "",
            "of_step": of_step,
            "verdict": verdict.value,
            "remark": remark,
        }
    )


def _trial(row: dict[str, Any]) -> Trial:
    return Trial(
        code=row["code"],
        at=instant(row["at"]),
        initials=row["initials"],
        base=Base(row["base"], row["sample_ml"], row["strength"], row["sugar_g_l"]),
        sample_u_ml=row["sample_u_ml"],
        bottle=row["bottle"],
        of=row["of_name"],
        portion=Portion(row["dropper"], Tool(row["tool"]), row["each_ml"], row["u"], row["source"]),
        thinned=row["thinned"],
        sip_ml=row["sip_ml"],
        ended=bool(row["ended"]),
    )
