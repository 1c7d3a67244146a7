"""The step of the schema that lets what is said of pars and prices be taken back; see `steps`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.store.checks import DAY, STAMP
from steepboard.store.script import run

if TYPE_CHECKING:
    from sqlite_utils import Database


def m012_said(db: Database) -> None:
    """Keep pars and prices in the diary of the house, whose entries know what came before them.

    When and by whom the pars and prices there are were said was never kept: they are signed by
    nobody, at the moment of this step, and stand before all else that was done.
    """
    run(
        db,
        f"""
        drop view house_live;
        create table house_entry_again(
            id integer primary key,
            topic text not null check(topic in
                ('dose', 'dropper', 'trial', 'formula', 'par', 'spirit price', 'botanical price')),
            name text not null check(length(trim(name)) between 1 and 80),
            act text not null
                check(act in ('keep', 'forget', 'step', 'verdict', 'end', 'undo')),
            at text not null check(at {STAMP}),
            source text not null check(source in ('board', 'command', 'notification')),
            initials text not null check(length(initials) <= 8),
            undoes integer unique references house_entry(id),
            after_entry integer not null default 0 check(after_entry >= 0),
            after_bottle_entry integer not null default 0 check(after_bottle_entry >= 0),
            check((act = 'undo') = (undoes is not null)),
            check(topic = 'trial' or act not in ('step', 'verdict', 'end'))
        ) strict;
        insert into house_entry_again select h.*,
            coalesce((select max(id) from entry where entry.at <= h.at), 0),
            coalesce((select max(id) from bottle_entry where bottle_entry.at <= h.at), 0)
            from house_entry h;
        drop table house_entry;
        alter table house_entry_again rename to house_entry;
        create index house_entry_by_name on house_entry(topic, name);
        create view house_live as select * from house_entry e where act <> 'undo'
            and not exists(select 1 from house_entry u where u.undoes = e.id);

        alter table par rename to par_before;
        create table par(
            entry_id integer primary key references house_entry(id),
            volume_ml real not null check(volume_ml >= 0)
        ) strict;
        alter table price rename to price_before;
        -- Of a litre of spirit, or of a kilogram of botanical; the amount is a decimal as text.
        create table price(
            entry_id integer primary key references house_entry(id),
            from_day text not null check(from_day {DAY}),
            amount text not null check(amount glob '[0-9]*' and not amount glob '*[^0-9.]*'
                and length(amount) <= 20),
            currency text not null check(currency glob '[A-Z][A-Z][A-Z]')
        ) strict;
        create temp table moved as select row_number() over () + (
                select coalesce(max(id), 0) from house_entry) as id, said.* from (
            select 'par' as topic, name, volume_ml, null as from_day, null as amount,
                null as currency from par_before
            union all select kind || ' price', name, null, from_day, amount, currency
                from price_before) said;
        insert into house_entry(id, topic, name, act, at, source, initials)
            select id, topic, name, 'keep', strftime('%Y-%m-%dT%H:%M:%f', 'now') || '000Z',
                'command', '' from moved;
        insert into par select id, volume_ml from moved where topic = 'par';
        insert into price select id, from_day, amount, currency from moved where topic <> 'par';
        drop table moved;
        drop table par_before;
        drop table price_before;
    """,
    )
