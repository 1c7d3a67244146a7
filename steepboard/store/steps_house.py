"""The step of the schema that brings house doses, droppers, trials and formulas; see `steps`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.store.checks import STAMP
from steepboard.store.script import run

if TYPE_CHECKING:
    from sqlite_utils import Database


def m007_house(db: Database) -> None:
    """House doses, droppers, bench trials and formulas, and the diary that tells of them."""
    name = "text not null check(length(trim({})) between 1 and 80)"
    run(
        db,
        f"""
        create table house_entry(
            id integer primary key,
            topic text not null check(topic in ('dose', 'dropper', 'trial', 'formula')),
            name {name.format("name")},
            act text not null
                check(act in ('keep', 'forget', 'step', 'verdict', 'end', 'undo')),
            at text not null check(at {STAMP}),
            source text not null check(source in ('board', 'command', 'notification')),
            initials text not null check(length(initials) <= 8),
            undoes integer unique references house_entry(id),
            check((act = 'undo') = (undoes is not null)),
            check(topic = 'trial' or act not in ('step', 'verdict', 'end'))
        ) strict;
        create index house_entry_by_name on house_entry(topic, name);
        create view house_live as select * from house_entry e where act <> 'undo'
            and not exists(select 1 from house_entry u where u.undoes = e.id);

        create table house_dose(
            entry_id integer primary key references house_entry(id),
            of_name {name.format("of_name")},
            gives text not null check(length(gives) <= 200),
            volume_ml real not null check(volume_ml > 0),
            intensity real not null check(intensity > 0),
            drink text not null default '' check(length(drink) <= 80),
            drink_ml real check(drink_ml > 0),
            drink_strength real check(drink_strength between 0 and 1),
            drink_sugar_g_l real check(drink_sugar_g_l >= 0),
            check((drink_ml is null) = (drink_strength is null)),
            check((drink_ml is null) = (drink_sugar_g_l is null))
        ) strict;
        create table dropper(
            entry_id integer primary key references house_entry(id),
            tool text not null check(tool in ('drop', 'dash')),
            each_ml real not null check(each_ml > 0),
            u real not null check(u between 0 and 1),
            strength real not null check(strength between 0 and 1),
            how text not null check(length(how) <= 80)
        ) strict;
        create table trial(
            entry_id integer primary key references house_entry(id),
            base {name.format("base")},
            sample_ml real not null check(sample_ml > 0),
            sample_u_ml real not null check(sample_u_ml >= 0),
            strength real not null check(strength between 0 and 1),
            sugar_g_l real not null check(sugar_g_l >= 0),
            bottle_id integer not null references bottle(id),
            dropper text not null check(length(dropper) <= 80),
            tool text not null check(tool in ('drop', 'dash')),
            each_ml real not null check(each_ml > 0),
            u real not null check(u between 0 and 1),
            source text not null check(length(source) <= 400),
            thinned real not null check(thinned >= 1),
            sip_ml real not null check(sip_ml >= 0)
        ) strict;
        create table trial_step(
            entry_id integer primary key references house_entry(id),
            added_ml real check(added_ml > 0),
            added_step_ml real check(added_step_ml >= 0),
            typed text not null check(length(typed) <= 80),
            of_step integer references trial_step(entry_id),
            verdict text not null check(verdict in ('too little', 'right', 'too much')),
            remark text not null check(length(remark) <= 500),
            check((added_ml is null) = (of_step is not null)),
            check((added_ml is null) = (added_step_ml is null))
        ) strict;
        create table formula(
            entry_id integer primary key references house_entry(id),
            base {name.format("base")},
            sample_ml real not null check(sample_ml > 0),
            strength real not null check(strength between 0 and 1),
            sugar_g_l real not null check(sugar_g_l >= 0),
            note text not null check(length(note) <= 500)
        ) strict;
        create table ingredient(
            entry_id integer not null references formula(entry_id),
            position integer not null,
            of_name {name.format("of_name")},
            index_ml_l real not null check(index_ml_l > 0),
            primary key(entry_id, position)
        ) strict;
    """,
    )


def m010_untasted(db: Database) -> None:
    """Additions to the sample of a trial, and remarks, before they are tasted."""
    run(
        db,
        """
        create table trial_added(
            entry_id integer primary key references house_entry(id),
            added_ml real check(added_ml > 0),
            added_step_ml real check(added_step_ml >= 0),
            typed text not null default '' check(length(typed) <= 80),
            remark text check(length(trim(remark)) between 1 and 500),
            check((added_ml is null) = (added_step_ml is null)),
            check((added_ml is null) = (remark is not null))
        ) strict;
    """,
    )
